"""Local amendments: where a project departs from the code's limits and common practice."""

from ampacre.model import records as r

__all__ = ["AMENDABLE", "amended"]

AMENDABLE = (
    "ambient_c",
    "feeder_drop_pct",
    "branch_drop_pct",
    "total_drop_pct",
    "least_cover_m",
    "required_material",
    "required_insulation",
)
"""Settings that a place may set by itself; `field_word` has the words for them."""


def amended(settings: r.Settings) -> tuple[str, ...]:
    """Names of the amendable settings that are not as the program has them, in their order."""
    usual = r.Settings(id=settings.id)
    return tuple(name for name in AMENDABLE if getattr(settings, name) != getattr(usual, name))
