"""Results kept while what they were made from is the same."""

from collections.abc import Callable, Hashable
from typing import Any, TypeVar

__all__ = ["Memo"]

T = TypeVar("T")


class Memo:
    """The last result of each step at each place, with what it was made from.

    What it was made from is compared by equality, which for shared objects is identity; a result
    is made anew as soon as anything differs, so keeping it can never change it. A new result that
    equals the old gives way to it. Only what the present walk or the one before it asked for is
    kept, so that a memo never grows.
    """

    def __init__(self) -> None:
        self._before: dict[Hashable, tuple[tuple[Any, ...], Any]] = {}
        self._kept: dict[Hashable, tuple[tuple[Any, ...], Any]] = {}

    def turn(self) -> None:
        """Begin another walk: what the last one did not ask for is forgotten."""
        self._before, self._kept = self._kept, {}

    def of(self, place: Hashable, made_from: tuple[Any, ...], make: Callable[..., T]) -> T:
        """Give `make(*made_from)`, or the result that stands at this place for equal inputs."""
        kept = self._kept.get(place) or self._before.get(place)
        if kept is None or kept[0] != made_from:
            made = make(*made_from)
            kept = (made_from, kept[1] if kept is not None and kept[1] == made else made)
        self._kept[place] = kept
        result: T = kept[1]
        return result

    def same(self, place: Hashable, value: T) -> T:
        """Give the value that stood at this place if it is equal, so that it is the same object."""
        kept: T = self.of(place, (value,), _itself)
        return kept

    def within(self, place: Hashable) -> "Memo":
        """Give the memo of a part of the walk, which may rest while other parts go on."""
        return self.of(("within", place), (), Memo)

    def copy(self) -> "Memo":
        """Give a memo that starts with the same results and goes its own way."""
        other = Memo()
        other._before = _copied(self._before)
        other._kept = _copied(self._kept)
        return other


def _itself(value: T) -> T:
    return value


def _copied(
    kept: dict[Hashable, tuple[tuple[Any, ...], Any]],
) -> dict[Hashable, tuple[tuple[Any, ...], Any]]:
    return {
        place: (made_from, result.copy() if isinstance(result, Memo) else result)
        for place, (made_from, result) in kept.items()
    }
