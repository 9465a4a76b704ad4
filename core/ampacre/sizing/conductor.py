"""The smallest conductor for a load behind its device, and the limit that kept it from being less.

Every limit that applies is tried on every size from the smallest up; the one that the next smaller
size does not meet is said to govern.
"""

from functools import lru_cache
from typing import Final, Literal, NamedTuple

from ampacre.codebook.conductors import SIZES
from ampacre.sizing.ampacity import ConductorAmpacity, conductor_ampacity
from ampacre.sizing.protection import DWELLING_A, DWELLING_SHARE, largest_device_a

__all__ = [
    "SMALLEST_IN_PARALLEL",
    "Conditions",
    "Limit",
    "Needs",
    "Smallest",
    "rungs",
    "smallest_conductor",
    "smallest_size",
    "unmet",
]

SMALLEST_IN_PARALLEL: Final = "1/0"
"""NEC 310.10(G) (2017: 310.10(H))."""

_SLACK: Final = 1 - 1e-9
"""So that what is equal but for the last digit of a float counts as equal."""

Limit = Literal["terminations", "insulation", "device", "dwelling table", "least", ""]


class Conditions(NamedTuple):
    """How a conductor lies and ends: all that its ampacity depends on besides its size.

    `current_carrying` counts the current-carrying conductors in each raceway or cable;
    temperatures are in degree Celsius.
    """

    material: str
    insulation: str | None
    terminal_c: int
    ambient_c: float
    wet: bool
    current_carrying: int = 3


class Needs(NamedTuple):
    """What a run's line conductors have to do, all parallel sets together [A].

    Uncorrected they carry `sizing_a`, the corrected ampacity `calculated_a`, and a device
    of `device_a` must be allowed on them (None: none protects them). `round_up` tells that the next
    standard rating above the ampacity is allowed, `whole_dwelling` that they carry one dwelling's
    whole load and nothing else, `least_a` is a floor of their ampacity (taps, secondaries,
    generator outputs).
    """

    sizing_a: float
    calculated_a: float
    device_a: float | None
    edition: str
    round_up: bool = True
    whole_dwelling: bool = False
    least_a: float = 0.0

    @property
    def by_dwelling_table(self) -> bool:
        """Whether NEC 310.12 stands for the limits of device and terminations."""
        least_a, most_a = DWELLING_A
        return (
            self.whole_dwelling and self.device_a is not None and least_a <= self.device_a <= most_a
        )


class Smallest(NamedTuple):
    """A size, its ampacity in one set [A], and the limit that the next smaller size did not meet."""

    size: str
    ampacity: ConductorAmpacity
    governs: Limit


@lru_cache(maxsize=2048)
def rungs(conditions: Conditions) -> tuple[tuple[str, ConductorAmpacity], ...]:
    """Give every size of the table with its ampacity in one set, ascending."""
    material, insulation, terminal_c, ambient_c, wet, current_carrying = conditions
    found = (
        (
            size,
            conductor_ampacity(
                size,
                material,
                insulation=insulation,
                terminal_c=terminal_c,
                ambient_c=ambient_c,
                wet=wet,
                current_carrying=current_carrying,
            ),
        )
        for size in SIZES
    )
    return tuple((size, carried) for size, carried in found if carried is not None)


def unmet(
    size: str, material: str, terminal_a: float, corrected_a: float, needs: Needs
) -> Limit | None:
    """Give the first limit that a conductor of these ampacities does not meet; None if it does all.

    In the order of the working: terminations, insulation corrected and adjusted, device, floor.
    Where NEC 310.12 applies, 83 per cent of the device's rating stands for the first and the third.
    """
    allowed_a = min(terminal_a, corrected_a)
    by_table = needs.by_dwelling_table
    if not by_table and terminal_a < needs.sizing_a * _SLACK:
        return "terminations"
    if corrected_a < needs.calculated_a * _SLACK:
        return "insulation"
    if by_table:
        assert needs.device_a is not None
        if allowed_a < DWELLING_SHARE * needs.device_a * _SLACK:
            return "dwelling table"
    elif needs.device_a is not None:
        largest = largest_device_a(
            allowed_a, size, material, needs.edition, round_up=needs.round_up
        )
        if largest.rating_a < needs.device_a * _SLACK:
            return "device"
    return "least" if allowed_a < needs.least_a * _SLACK else None


def smallest_conductor(needs: Needs, conditions: Conditions, sets: int = 1) -> Smallest | None:
    """Smallest size that meets every limit, `sets` in parallel; None when nothing in the table does.

    NEC 210.19, 215.2, 230.42 (load), 240.4 (device), 310.12 (dwellings). Parallel sets start at
    1/0 AWG.
    """
    governs: Limit = ""
    first = SIZES.index(SMALLEST_IN_PARALLEL) if sets > 1 else 0
    for size, carried in rungs(conditions):
        if SIZES.index(size) < first:
            continue
        missed = unmet(
            size, conditions.material, carried.terminal_a * sets, carried.corrected_a * sets, needs
        )
        if missed is None:
            return Smallest(size, carried, governs)
        governs = missed
    return None


def smallest_size(
    sizing_a: float,
    calculated_a: float,
    device_a: float | None,
    material: str,
    *,
    insulation: str | None,
    terminal_c: int,
    ambient_c: float,
    wet: bool,
    sets: int,
    edition: str,
    current_carrying: int = 3,
    round_up: bool = True,
) -> str | None:
    """As `smallest_conductor`, by its parts: give the trade size alone."""
    needs = Needs(sizing_a, calculated_a, device_a, edition, round_up)
    how = Conditions(material, insulation, terminal_c, ambient_c, wet, current_carrying)
    found = smallest_conductor(needs, how, sets)
    return found.size if found else None
