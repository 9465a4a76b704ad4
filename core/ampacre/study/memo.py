"""Results kept while what they were made from is the same."""

from collections.abc import Callable, Hashable
from typing import Any, TypeVar

__all__ = ["Memo"]

T = TypeVar("T")


class Memo:
    """The last result of each step at each place, with what it was made from.

    What it was made from is compared by equality, which for shared objects is identity; a result
    is made anew as soon as anything differs, so keeping it can never change it.
    """

    def __init__(self) -> None:
        self._kept: dict[Hashable, tuple[tuple[Any, ...], Any]] = {}

    def of(self, place: Hashable, made_from: tuple[Any, ...], make: Callable[..., T]) -> T:
        """Give `make(*made_from)`, or the result that stands at this place for equal inputs."""
        kept = self._kept.get(place)
        if kept is not None and kept[0] == made_from:
            result: T = kept[1]
            return result
        result = make(*made_from)
        self._kept[place] = (made_from, result)
        return result

    def copy(self) -> "Memo":
        """Give a memo that starts with the same results and goes its own way."""
        other = Memo()
        other._kept = dict(self._kept)
        return other
