"""Overcurrent devices: standard ratings, limits for small conductors, interrupting steps."""

from functools import cache, lru_cache
from typing import Final, Literal

from ampacre.codebook.tables import Cited, rows

__all__ = [
    "INTERRUPTING_KA",
    "interrupting_step",
    "is_standard",
    "next_standard",
    "small_conductor_limit",
    "standard_below",
    "standard_ratings",
]

INTERRUPTING_KA: Final = tuple(
    float(row["interrupting_rating_ka"])
    for row in rows("interrupting_ratings")
    if row["interrupting_rating_ka"] != "5"
)
"""Interrupting ratings that devices are sold with [kA] (common practice); 5 kA is not marked."""

_TOLERANCE_A = 1e-9


@cache
def standard_ratings(
    edition: str, kind: Literal["breaker", "fuse"] = "breaker"
) -> tuple[float, ...]:
    """Standard ampere ratings in ascending order (NEC 240.6(A)).

    Fuses have 1, 3, 6 and 601 A besides; 10 A is a rating of breakers from 2023.
    """
    fuse_only = "fuse_only_2023" if edition == "2023" else "fuse_only_2017_2020"
    return tuple(
        float(row["rating_a"])
        for row in rows("standard_ocpd")
        if kind == "fuse" or row[fuse_only] == "no"
    )


@lru_cache(maxsize=4096)
def next_standard(
    amps: float, edition: str, kind: Literal["breaker", "fuse"] = "breaker"
) -> float | None:
    """Smallest standard rating that is not below `amps` (NEC 240.6(A)).

    None above the largest of them, 6000 A: the load has to be divided.
    """
    ratings = standard_ratings(edition, kind)
    return next((rating for rating in ratings if rating >= amps - _TOLERANCE_A), None)


def standard_below(amps: float, edition: str) -> float:
    """Largest standard breaker rating that does not exceed `amps`; 0 where all do."""
    fitting = [rating for rating in standard_ratings(edition) if rating <= amps + _TOLERANCE_A]
    return max(fitting, default=0.0)


def interrupting_step(fault_ka: float) -> Cited[float] | None:
    """Smallest interrupting rating sold that is not below a fault current [kA] (NEC 110.9).

    None above 200 kA.
    """
    for row in rows("interrupting_ratings"):
        rating_ka = float(row["interrupting_rating_ka"])
        if rating_ka in INTERRUPTING_KA and rating_ka >= fault_ka:
            return Cited(rating_ka, "interrupting", int(row["verified"]))
    return None


def is_standard(amps: float, edition: str, kind: Literal["breaker", "fuse"] = "breaker") -> bool:
    """Whether `amps` is a standard rating (NEC 240.6(A))."""
    return any(abs(amps - rating) <= _TOLERANCE_A for rating in standard_ratings(edition, kind))


def small_conductor_limit(size: str, material: str, edition: str) -> Cited[float] | None:
    """Largest device [A] for a small conductor (NEC 240.4(D)); None for larger conductors.

    The limits of copper and aluminum are the same in all three editions; `edition` names the
    list that is read.
    """
    item = "item_2023" if edition == "2023" else "item_2017_2020"
    metal = "al_cca" if material == "al" else "cu"
    for row in rows("small_conductor_limits"):
        if row["size_awg"] == size and row["material"] == metal and row[item]:
            return Cited(float(row["max_ocpd_a"]), "small_conductors", int(row["verified"]))
    return None
