"""Load before and after the work, side by side, with what the work adds."""

from collections.abc import Mapping
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.study.facts import Demand
from ampacre.study.study import Study
from ampacre.study.tally import Category, Tally, connected_va

__all__ = ["Row", "before_and_after"]


class Row(NamedTuple):
    """One point: its demand now and in the result, None where it does not stand or is not fed.

    `added` is new load below it in the result, by category [VA connected]. Demand is not additive:
    the result is no sum of the others.
    """

    key: str
    name: str
    now: Demand | None
    added: Mapping[Category, float]
    result: Demand | None

    @property
    def added_va(self) -> float:
        """All new load below the point, connected [VA]."""
        return sum(self.added.values())


def before_and_after(study: Study) -> tuple[Row, ...]:
    """Compare every point of a property before any work and at the study's stage, in id order.

    Each is a network of its own, solved by itself.
    """
    now = study.at(None)
    before = {facts.piece.id: facts for facts in now.all_equipment()}
    after = {facts.piece.id: facts for facts in study.all_equipment()}
    rows = []
    for key in sorted(before.keys() | after.keys()):
        facts = after.get(key) or before[key]
        if not isinstance(facts.piece, r.Point):
            continue
        result = after.get(key)
        tally = result.tally if result and result.tally else {}
        rows.append(
            Row(
                key,
                facts.piece.name,
                before[key].demand if key in before else None,
                _added(tally),
                result.demand if result else None,
            )
        )
    return tuple(rows)


def _added(tally: Tally) -> dict[Category, float]:
    new = {key: amount for key, amount in tally.items() if key.new}
    return {
        category: connected_va({key: a for key, a in new.items() if key.category == category})
        for category in sorted({key.category for key in new})
    }
