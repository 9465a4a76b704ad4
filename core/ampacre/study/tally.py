"""The tally: load below a point, kept by category so that demand factors apply at any level."""

from typing import Literal, NamedTuple

__all__ = ["Amount", "Category", "Key", "Tally", "added"]

Category = Literal[
    "dwelling general",
    "cooking",
    "dryer",
    "fixed appliance",
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
    "pedestal",
    "other",
    "block",
]


class Key(NamedTuple):
    """What loads must have in common to be counted as one amount.

    `legs` are those the load is on, by the point's system; `rating_va` tells apart ranges, dryers
    and single appliances, of which the tables want count and rating. `group` is the managed or
    noncoincident group and `member` which alternative of a noncoincident one.
    """

    category: Category
    legs: str
    continuous: bool = False
    neutral: bool = False
    dwelling: str = ""
    rating_va: float = 0.0
    group: str = ""
    member: str = ""
    shed: bool = False


class Amount(NamedTuple):
    """Connected volt-amperes of like loads, how many they are, and the largest motor among them."""

    va: float
    count: int
    motor_a: float = 0.0
    motor_va: float = 0.0

    def plus(self, other: "Amount") -> "Amount":
        """Add two amounts; the larger motor is kept."""
        larger = max(
            (self.motor_a, self.motor_va), (other.motor_a, other.motor_va)
        )
        return Amount(self.va + other.va, self.count + other.count, *larger)


Tally = dict[Key, Amount]


def added(*tallies: Tally) -> Tally:
    """Merge tallies: like loads become one amount."""
    total: Tally = {}
    for tally in tallies:
        for key, amount in tally.items():
            present = total.get(key)
            total[key] = amount if present is None else present.plus(amount)
    return total
