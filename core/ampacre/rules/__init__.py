"""The rulebook: one file per topic; importing the package files every rule."""

from ampacre.rules import (
    chargers,
    conductors,
    drop,
    fault,
    grounding,
    inverters,
    load,
    managed_groups,
    neutrals,
    standby,
    supply,
    transformers,
)

__all__ = [
    "chargers",
    "conductors",
    "drop",
    "fault",
    "grounding",
    "inverters",
    "load",
    "managed_groups",
    "neutrals",
    "standby",
    "supply",
    "transformers",
]
