"""Conductors without a device at their supply end: feeder taps and transformer secondaries."""

from typing import Final, NamedTuple

__all__ = ["Tap", "tap_rule"]

TEN_FEET_M: Final = 3.048
TWENTY_FIVE_FEET_M: Final = 7.62
_SLACK_M: Final = 1e-6


class Tap(NamedTuple):
    """The rule that a tap comes under: floor of its ampacity [A], and the article.

    `one_device` tells that it must end in a single device not above its ampacity.
    """

    least_a: float
    cite_key: str
    one_device: bool
    why: str


def tap_rule(
    length_m: float | None, ahead_a: float | None, *, outdoors: bool, secondary: bool
) -> Tap | None:
    """Find the tap rule for a length (NEC 240.21(B)(1), (2), (5); (C)(2), (4), (6)).

    `ahead_a` is the feeder's device [A]; for a transformer's secondary the primary device times the
    ratio of primary to secondary voltage. A tap to 10 ft is taken to leave its enclosure. None
    where no rule allows the length, or it is not known.
    """
    if length_m is None:
        return None
    word = "secondary" if secondary else "tap"
    if length_m <= TEN_FEET_M + _SLACK_M:
        least_a = (ahead_a or 0.0) / 10
        return Tap(least_a, f"{word}_10", False, "a tenth of the device ahead, to 10 ft")
    if length_m <= TWENTY_FIVE_FEET_M + _SLACK_M:
        least_a = (ahead_a or 0.0) / 3
        return Tap(least_a, f"{word}_25", True, "a third of the device ahead, to 25 ft")
    if outdoors:
        return Tap(0.0, f"{word}_outside", True, "outdoors, of any length")
    return None
