"""The largest overcurrent device that a conductor may have."""

from functools import lru_cache
from typing import Final, NamedTuple

from ampacre.codebook.devices import (
    is_standard,
    next_standard,
    small_conductor_limit,
    standard_below,
)

__all__ = ["DWELLING_A", "DWELLING_SHARE", "LargestDevice", "dwelling_device_a", "largest_device_a"]

DWELLING_A: Final = (100.0, 400.0)
"""Ratings of services and feeders that NEC 310.12 is for [A]."""
DWELLING_SHARE: Final = 0.83
"""Ampacity over rating that the whole load of one dwelling needs (NEC 310.12)."""

_ROUND_UP_LIMIT_A: Final = 800.0


class LargestDevice(NamedTuple):
    """A rating [A], why it is the largest, and the article that says so."""

    rating_a: float
    why: str
    cite_key: str


@lru_cache(maxsize=4096)
def largest_device_a(
    allowed_a: float, size: str, material: str, edition: str, *, round_up: bool = True
) -> LargestDevice:
    """Largest standard device for conductors of ampacity `allowed_a` [A] (NEC 240.4(B) to (D)).

    An ampacity that is no standard rating may have the next one up, to 800 A; `round_up` false
    for taps, transformer secondaries and receptacle circuits, which may not. 0 A where no
    standard rating is small enough.
    """
    if is_standard(allowed_a, edition):
        found = LargestDevice(allowed_a, f"ampacity {allowed_a:g} A", "device_rating")
    elif round_up and 0 < allowed_a <= _ROUND_UP_LIMIT_A:
        found = LargestDevice(
            next_standard(allowed_a, edition) or _ROUND_UP_LIMIT_A,
            f"next standard rating above {allowed_a:g} A",
            "next_size_up",
        )
    else:
        found = LargestDevice(
            standard_below(allowed_a, edition),
            f"standard rating not above {allowed_a:g} A",
            "over_800" if allowed_a > _ROUND_UP_LIMIT_A else "device_rating",
        )
    limit = small_conductor_limit(size, material, edition)
    if limit is not None and limit.value < found.rating_a:
        metal = "aluminum" if material == "al" else "copper"
        return LargestDevice(limit.value, f"limit of {size} AWG {metal}", limit.cite_key)
    return found


def dwelling_device_a(allowed_a: float, edition: str) -> LargestDevice | None:
    """Largest device for conductors that carry one dwelling's whole load (NEC 310.12).

    None where the ampacity `allowed_a` [A] reaches none of the ratings from 100 to 400 A.
    """
    least_a, most_a = DWELLING_A
    rating_a = min(most_a, standard_below(allowed_a / DWELLING_SHARE, edition))
    if rating_a < least_a:
        return None
    return LargestDevice(rating_a, f"{allowed_a:g} A is 83 % of it or more", "dwelling_83")
