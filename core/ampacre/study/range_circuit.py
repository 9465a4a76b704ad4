"""Circuits of a household's ranges."""

from typing import Final

from ampacre.codebook.demand import cooking_demand_va
from ampacre.codebook.tables import Cited
from ampacre.study.neutral_load import SMALLEST_RANGE_VA

__all__ = ["LEAST_RANGE_A", "least_range_a", "range_circuit_va"]

LEAST_RANGE_A: Final = 40.0
"""Least rating of the circuit of a range of 8 3/4 kW or more (NEC 210.19(A)(3); 2023: (C))."""
_LARGE_RANGE_VA: Final = 8750.0


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
