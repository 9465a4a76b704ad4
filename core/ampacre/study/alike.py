"""Tables of records compared by what of them matters, so that other edits pass a step by."""

from collections.abc import Callable, Mapping
from typing import Generic, TypeVar

__all__ = ["Alike", "alike"]

T = TypeVar("T")


def alike(old: Mapping[str, T], new: Mapping[str, T], shape: Callable[[T], object]) -> bool:
    """Whether two tables hold the same keys, and records of the same shape."""
    if old is new:
        return True
    if old.keys() != new.keys():
        return False
    altered = [key for key, record in new.items() if old[key] is not record]
    return all(shape(old[key]) == shape(new[key]) for key in altered)


class Alike(Generic[T]):
    """A table that is equal to any other with the same keys and records of the same shape."""

    __slots__ = ("shape", "table")
    __hash__ = None  # type: ignore[assignment]

    def __init__(self, table: Mapping[str, T], shape: Callable[[T], object]) -> None:
        self.table = table
        self.shape = shape

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, Alike)
            and self.shape is other.shape
            and alike(self.table, other.table, self.shape)
        )
