"""The tally: load below a point, kept by category so that demand factors apply at any level."""

import math
from typing import Literal, NamedTuple

from ampacre.model.system import System

__all__ = [
    "Amount",
    "Category",
    "Key",
    "Tally",
    "added",
    "connected_va",
    "counted",
    "leg_amperes",
    "nominal_va",
    "picked",
    "ratings",
    "sorted_out",
]

Category = Literal[
    "dwelling general",
    "cooking",
    "dryer",
    "fixed appliance",
    "water heater",
    "cooling",
    "heat pump",
    "supplementary heat",
    "space heat",
    "storage heat",
    "lighting",
    "receptacles",
    "heat",
    "appliance",
    "motor",
    "charger",
    "show window",
    "sign",
    "track lighting",
    "kitchen",
    "welder",
    "elevator",
    "pedestal",
    "vehicle site",
    "slip",
    "lot",
    "other",
    "block",
    "measured",
]


class Key(NamedTuple):
    """What loads must have in common to be counted as one amount.

    `legs` are those the load is on, by the point's system. `neutral` tells that it uses the
    neutral, `one_leg` that it is on one leg nobody named, so that only the neutral sees it whole.
    `rating_va` tells apart what the tables count by rating (ranges, dryers, appliances). `group`
    is the managed or noncoincident group, `member` which alternative of a noncoincident one.
    `detail` is what a table asks besides: the occupancy of lighting, the part of a dwelling's
    general load. `unit` is the point whose method keeps these loads together at the points above.
    `new` load comes with the work.
    """

    category: Category
    legs: str
    continuous: bool = False
    neutral: bool = False
    one_leg: bool = False
    dwelling: str = ""
    rating_va: float = 0.0
    group: str = ""
    member: str = ""
    shed: bool = False
    detail: str = ""
    unit: str = ""
    new: bool = False
    nonlinear: bool = False


class Amount(NamedTuple):
    """Connected volt-amperes of like loads, how many they are, and the largest motor among them."""

    va: float
    pieces: int = 1
    motor_a: float = 0.0
    motor_va: float = 0.0

    def plus(self, other: "Amount") -> "Amount":
        """Add two amounts; the larger motor is kept."""
        motor_a, motor_va = max((self.motor_a, self.motor_va), (other.motor_a, other.motor_va))
        return Amount(self.va + other.va, self.pieces + other.pieces, motor_a, motor_va)


Tally = dict[Key, Amount]


def added(*tallies: Tally) -> Tally:
    """Merge tallies: like loads become one amount."""
    first, *rest = [tally for tally in tallies if tally] or [{}]
    # a copy of a whole dict spares hashing its keys, which is what takes the time here
    total = dict(first)
    for tally in rest:
        for key, amount in tally.items():
            present = total.get(key)
            total[key] = amount if present is None else present.plus(amount)
    return total


def connected_va(tally: Tally) -> float:
    """All that is connected below a point, without any demand factor [VA]."""
    return sum(amount.va for amount in tally.values())


def picked(tally: Tally, *categories: Category) -> Tally:
    """The part of a tally in these categories."""
    return {key: amount for key, amount in tally.items() if key.category in categories}


def sorted_out(tally: Tally) -> dict[Category, Tally]:
    """All of a tally by its categories."""
    found: dict[Category, Tally] = {}
    for key, amount in tally.items():
        part = found.get(key.category)
        if part is None:
            found[key.category] = {key: amount}
        else:
            part[key] = amount
    return found


def counted(tally: Tally) -> int:
    """How many pieces a tally holds."""
    return sum(amount.pieces for amount in tally.values())


def ratings(tally: Tally) -> list[float]:
    """Rating of each piece of a tally [VA]."""
    return [key.rating_va for key, amount in tally.items() for _ in range(amount.pieces)]


def leg_amperes(legs: str, va: float, system: System) -> dict[str, float]:
    """Current that a load draws in each leg it is on, at nominal voltage [A].

    One leg: VA / V to neutral. Two: VA / V between them. Three: VA / (sqrt(3) V).
    """
    if len(legs) == 1:
        amperes = va / abs(system.leg_v[system.legs.index(legs)])
    elif len(legs) == 2:
        amperes = va / system.line_v
    else:
        amperes = va / (math.sqrt(3) * system.line_v)
    return dict.fromkeys(legs, amperes)


def nominal_va(amperes: float, legs: str, system: System) -> float:
    """Volt-amperes of a current on these legs at nominal voltage [VA]; undoes `leg_amperes`."""
    if len(legs) == 1:
        return amperes * abs(system.leg_v[system.legs.index(legs)])
    return amperes * system.line_v * (math.sqrt(3) if len(legs) == 3 else 1.0)
