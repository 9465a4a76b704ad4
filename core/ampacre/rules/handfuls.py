"""All pieces and runs in handfuls of neighbours, for questions about everything there is.

An edit reaches what is near it. A question about every piece is asked of one handful after the
other, each with an answer of its own, so that an edit has only those asked anew that it reaches.
"""

from collections.abc import Callable, Iterable, Iterator
from functools import wraps
from itertools import chain
from typing import Final, NamedTuple, TypeVar
from zlib import crc32

from ampacre.rules.feeds import feeds
from ampacre.rules.recall import recalled
from ampacre.study.study import Study

__all__ = ["Handful", "gathered", "gathered_of_runs", "handfuls"]

T = TypeVar("T")

_USUAL: Final = 64
"""So many pieces make a handful, give or take."""


class Handful(NamedTuple):
    """Pieces that are near each other with the runs that feed them, or runs that feed nothing."""

    pieces: tuple[str, ...]
    runs: tuple[str, ...]


@recalled
def handfuls(study: Study) -> tuple[Handful, ...]:
    """Give all standing pieces and runs in handfuls; what no source supplies comes last."""
    order = list(chain.from_iterable(island.order for island in study.islands))
    reached = feeds(study)
    idle_pieces = sorted(set(study.standing.equipment).difference(order))
    idle_runs = sorted(set(study.standing.runs).difference(feed.run for feed in reached.values()))
    near = [
        Handful(pieces, tuple(reached[key].run for key in pieces if key in reached))
        for pieces in _parted(order + idle_pieces)
    ]
    return (*near, *(Handful((), runs) for runs in _parted(idle_runs)))


def _parted(keys: Iterable[str]) -> Iterator[tuple[str, ...]]:
    # an id alone says whether a handful begins with it: one more piece moves no other
    part: list[str] = []
    for key in keys:
        if part and crc32(key.encode()) % _USUAL == 0:
            yield tuple(part)
            part = []
        part.append(key)
    if part:
        yield tuple(part)


def gathered(find: Callable[[Study, str], Iterable[T]]) -> Callable[[Study], tuple[T, ...]]:
    """Let a function from the id of a piece say what it finds there; the answer gathers it all.

    In the order of handfuls, which is no order to show.
    """
    return _gathered(find, lambda handful: handful.pieces)


def gathered_of_runs(find: Callable[[Study, str], Iterable[T]]) -> Callable[[Study], tuple[T, ...]]:
    """Let a function from the id of a run say what it finds there; the answer gathers it all."""
    return _gathered(find, lambda handful: handful.runs)


def _gathered(
    find: Callable[[Study, str], Iterable[T]], part: Callable[[Handful], tuple[str, ...]]
) -> Callable[[Study], tuple[T, ...]]:
    @recalled
    def near(study: Study, keys: tuple[str, ...]) -> tuple[T, ...]:
        return tuple(found for key in keys for found in find(study, key))

    @recalled
    @wraps(find)
    def everywhere(study: Study) -> tuple[T, ...]:
        return tuple(chain.from_iterable(near(study, part(each)) for each in handfuls(study)))

    return everywhere
