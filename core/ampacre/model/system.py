"""Voltage systems: which legs there are, their voltages, and whether there is a neutral.

The systems are those that a rural property in North America meets (nominal voltages of
ANSI C84.1, as NEC 220.5(A) lists them for calculations).
"""

import cmath
import functools
import math
from typing import Literal

from msgspec import Struct

__all__ = ["SYSTEMS", "System", "SystemName", "legs_of_spaces", "narrowed", "volts_between"]

SystemName = Literal[
    "120",
    "240",
    "120/240",
    "120/208",
    "120/208 single-phase",
    "277/480",
    "480",
    "240/480",
    "240 delta",
    "480 delta",
    "120/240 high-leg",
    "primary",
]


class System(Struct, frozen=True):
    """One voltage system.

    `legs` names the ungrounded conductors; `leg_v` is each leg's phasor against the neutral (or,
    in a delta, against the middle of the system), `line_v` the nominal voltage between two legs.
    """

    name: SystemName
    legs: str
    leg_v: tuple[complex, ...]
    line_v: float
    neutral: bool
    ground_v: float

    @property
    def phases(self) -> int:
        """Three for a three-phase system, one for anything else."""
        return 3 if len(self.legs) == 3 else 1


def _at(volts: float, degrees: float) -> complex:
    return cmath.rect(volts, math.radians(degrees))


def _split(name: SystemName, leg_v: float) -> System:
    return System(name, "AB", (leg_v + 0j, -leg_v + 0j), 2 * leg_v, neutral=True, ground_v=leg_v)


def _three(name: SystemName, line_v: float, *, neutral: bool) -> System:
    leg_v = line_v / math.sqrt(3)
    turned = (_at(leg_v, 0), _at(leg_v, -120), _at(leg_v, 120))
    return System(
        name, "ABC", turned, line_v, neutral=neutral, ground_v=leg_v if neutral else line_v
    )


SYSTEMS: dict[SystemName, System] = {
    "120": System("120", "A", (120 + 0j,), 120.0, neutral=True, ground_v=120.0),
    "240": System("240", "AB", (120 + 0j, -120 + 0j), 240.0, neutral=False, ground_v=120.0),
    "120/240": _split("120/240", 120.0),
    "120/208": _three("120/208", 208.0, neutral=True),
    "120/208 single-phase": System(
        "120/208 single-phase",
        "AB",
        (_at(208 / math.sqrt(3), 0), _at(208 / math.sqrt(3), -120)),
        208.0,
        neutral=True,
        ground_v=208 / math.sqrt(3),
    ),
    "277/480": _three("277/480", 480.0, neutral=True),
    "480": System("480", "AB", (240 + 0j, -240 + 0j), 480.0, neutral=False, ground_v=480.0),
    "240/480": _split("240/480", 240.0),
    "240 delta": _three("240 delta", 240.0, neutral=False),
    "480 delta": _three("480 delta", 480.0, neutral=False),
    # The high leg stands 208 V from the neutral; B is the high leg (NEC 408.3(E)).
    "120/240 high-leg": System(
        "120/240 high-leg",
        "ABC",
        (120 + 0j, _at(120 * math.sqrt(3), -90), -120 + 0j),
        240.0,
        neutral=True,
        ground_v=120 * math.sqrt(3),
    ),
}


def legs_of_spaces(spaces: tuple[int, ...], system: System) -> str:
    """Legs that a circuit in these panel spaces is connected to.

    Spaces are numbered odd on the left and even on the right, so spaces 1 and 2 share leg A,
    3 and 4 leg B, and so on down the bus (common practice; NEC 408.3(E) fixes the order).
    """
    count = len(system.legs)
    return "".join(sorted({system.legs[((space - 1) // 2) % count] for space in spaces}))


def volts_between(legs: str, system: System) -> float:
    """Nominal voltage of a circuit on these legs [V]: to neutral for one, between legs for more."""
    if len(legs) == 1:
        return abs(system.leg_v[system.legs.index(legs)])
    return system.line_v


@functools.lru_cache(maxsize=256)
def narrowed(system: System, legs: str) -> System:
    """Give the part of a system that a circuit on some of its legs carries on.

    Two legs and the neutral of a 120/208 V wye are the single-phase system of that name.
    """
    if legs == system.legs:
        return system
    leg_v = tuple(system.leg_v[system.legs.index(leg)] for leg in legs)
    name: SystemName = system.name
    if name == "120/208" and len(legs) == 2:
        name = "120/208 single-phase"
    return System(
        name, legs, leg_v, system.line_v, neutral=system.neutral, ground_v=system.ground_v
    )
