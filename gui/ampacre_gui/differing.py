"""What differs between two tables that share all that an edit left alone."""

from collections.abc import Mapping

__all__ = ["differing"]


def differing(old: Mapping[str, object], new: Mapping[str, object]) -> set[str]:
    """Give the ids for which the tables do not hold the same object, or only one holds any.

    What was made of the same objects is as it was. An equal copy counts as another object.
    """
    if old is new:
        return set()
    fresh = {key for key, value in new.items() if old.get(key) is not value}
    return fresh | (old.keys() - new.keys())
