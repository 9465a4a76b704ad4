"""Ranges, ovens and dryers of a household on circuits of their own, told by their names."""

import re
from typing import Final, Literal

from ampacre.codebook.demand import cooking_demand_va
from ampacre.codebook.tables import Cited
from ampacre.model import records as r
from ampacre.study.neutral_load import SMALLEST_RANGE_VA

__all__ = ["LEAST_RANGE_A", "HouseholdKind", "household_kind", "least_range_a", "range_circuit_va"]

HouseholdKind = Literal["range", "cooking unit", "dryer"]

LEAST_RANGE_A: Final = 40.0
"""Least rating of the circuit of a range of 8 3/4 kW or more (NEC 210.19(A)(3); 2023: (C))."""
_LARGE_RANGE_VA: Final = 8750.0

_NAMED: Final[tuple[tuple[HouseholdKind, re.Pattern[str]], ...]] = (
    ("range", re.compile(r"\b(range(?!\s*hood)|stove|cooker)s?\b", re.IGNORECASE)),
    ("cooking unit", re.compile(r"\b(oven|cook[\s-]?top|hob)s?\b", re.IGNORECASE)),
    ("dryer", re.compile(r"\b(dryer|drier)s?\b", re.IGNORECASE)),
)


def household_kind(piece: r.Equipment) -> HouseholdKind | None:
    """Tell by its name whether an appliance cooks or dries; None for every other load.

    Whether it is a household's depends on where it stands.
    """
    if not isinstance(piece, r.Load) or piece.category != "appliance":
        return None
    return next((kind for kind, words in _NAMED if words.search(piece.name)), None)


def range_circuit_va(va: float) -> Cited[float]:
    """Load of the branch circuit of one household range [VA] (NEC Table 220.55 note 4).

    A wall-mounted oven or a counter-mounted unit counts at its nameplate, by the same note.
    """
    if va <= SMALLEST_RANGE_VA:
        return Cited(va, "cooking", 2)
    return cooking_demand_va([va])


def least_range_a(va: float) -> float:
    """Least rating of the circuit of one household range [A], 0 for a small one."""
    return LEAST_RANGE_A if va >= _LARGE_RANGE_VA else 0.0
