"""How pieces are reached in the normal state: of all that is known of them nothing else is read.

The way to a piece changes seldom, the facts of what lies on it with almost every edit.
"""

from collections.abc import Mapping

from ampacre.model.network import Feed
from ampacre.rules.recall import recalled
from ampacre.study.study import Study

__all__ = ["feeds", "way_up"]


@recalled
def feeds(study: Study) -> Mapping[str, Feed]:
    """Give how each piece is reached that a source supplies, the sources left out."""
    return {key: feed for island in study.islands for key, feed in island.feed.items()}


@recalled
def way_up(study: Study, key: str) -> tuple[Feed, ...]:
    """Give the runs and pieces from a piece up to its source."""
    reached = feeds(study)
    way: list[Feed] = []
    while key in reached:
        way.append(reached[key])
        key = way[-1].parent
    return tuple(way)
