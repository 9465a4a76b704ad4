"""Facts put together from parts, so that an edit costs only the parts that it made anew."""

from collections.abc import Mapping, Sequence
from typing import Generic, NamedTuple, TypeVar

__all__ = ["Joined", "join"]

T = TypeVar("T")


class Joined(NamedTuple, Generic[T]):
    """All facts in id order, the parts that they are from, and what changed with the last edit."""

    whole: Mapping[str, T]
    parts: Sequence[Mapping[str, T]] = ()
    changed: frozenset[str] = frozenset()


def join(old: Joined[T], parts: Sequence[Mapping[str, T]]) -> Joined[T]:
    """Put parts together that have no id in common, after those of the last edit.

    Facts that come out equal stay the same objects.
    """
    pairs = list(zip(parts, old.parts, strict=False))
    if len(parts) != len(old.parts) or any(new.keys() != one.keys() for new, one in pairs):
        return _anew(old, parts)
    whole = dict(old.whole)
    changed = set()
    for part, before in pairs:
        if part is not before:
            for key, value in part.items():
                if whole[key] is not value and whole[key] != value:
                    whole[key] = value
                    changed.add(key)
    return Joined(whole if changed else old.whole, parts, frozenset(changed))


def _anew(old: Joined[T], parts: Sequence[Mapping[str, T]]) -> Joined[T]:
    found = {key: value for part in parts for key, value in part.items()}
    whole: dict[str, T] = {}
    changed = set(old.whole.keys() - found.keys())
    for key in sorted(found):
        value, before = found[key], old.whole.get(key)
        if before is None or before != value:
            changed.add(key)
            whole[key] = value
        else:
            whole[key] = before
    return Joined(whole, parts, frozenset(changed))
