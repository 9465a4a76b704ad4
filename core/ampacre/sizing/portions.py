"""Which part of a run's way decides its ampacity."""

from collections.abc import Sequence
from typing import Final, NamedTuple

from ampacre.codebook.conductors import ambient_factor, bundling_factor

__all__ = ["SHORT_M", "Portion", "adjusted", "governing"]

SHORT_M: Final = 3.048
"""A lower ampacity over no more than 10 ft may be left out (NEC 310.14(A)(2) exception)."""
_SHORT_PART: Final = 0.1
_NIPPLE_M: Final = 0.6096
"""Raceways of 24 in or less are not adjusted for what else is in them (NEC 310.15(C)(1))."""


class Portion(NamedTuple):
    """A part of a run: where it lies, its ambient [C], and what is in its raceway.

    `current_carrying` counts all current-carrying conductors in the raceway, the run's own too.
    `length_m` is None where the run's length is not known.
    """

    name: str
    length_m: float | None
    ambient_c: float
    current_carrying: int


def adjusted(portion: Portion) -> Portion:
    """A nipple is not adjusted for bundling."""
    if portion.length_m is not None and portion.length_m <= _NIPPLE_M:
        return portion._replace(current_carrying=min(3, portion.current_carrying))
    return portion


def governing(portions: Sequence[Portion], column_c: int) -> Portion:
    """Give the portion whose ampacity is that of the run (NEC 310.14(A)(2); 2017: 310.15(A)(2)).

    The lowest along the way, unless it holds for no more than 10 ft and no more than a tenth of
    what lies at the higher one. `column_c` is the insulation's column, in which the ambient is
    corrected. Several portions of one ampacity count together.
    """
    if len(portions) == 1:
        return portions[0]
    by_factor: dict[float, list[Portion]] = {}
    for portion in portions:
        ambient = ambient_factor(portion.ambient_c, column_c)
        factor = ambient.value if ambient else 0.0
        factor *= bundling_factor(adjusted(portion).current_carrying).value
        by_factor.setdefault(factor, []).append(portion)
    lower: list[Portion] = []
    for factor in sorted(by_factor):
        lower += by_factor[factor]
        higher = [portion for portion in portions if portion not in lower]
        if not higher or not _may_be_left_out(lower, higher):
            return by_factor[factor][0]
    raise AssertionError("the highest factor leaves nothing higher")


def _may_be_left_out(lower: Sequence[Portion], higher: Sequence[Portion]) -> bool:
    short, rest = _length(lower), _length(higher)
    if short is None or rest is None:
        return False
    return short <= min(SHORT_M, _SHORT_PART * rest)


def _length(portions: Sequence[Portion]) -> float | None:
    lengths = [portion.length_m for portion in portions]
    known = [length for length in lengths if length is not None]
    return sum(known) if len(known) == len(lengths) else None
