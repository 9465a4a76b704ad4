"""Load before and after the work, side by side, with what the work adds, moves and removes."""

from collections.abc import Mapping
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.study.facts import Demand
from ampacre.study.fed import below
from ampacre.study.study import Study
from ampacre.study.tally import Category, connected_va, sorted_out

__all__ = ["Row", "before_and_after"]


class Row(NamedTuple):
    """One point: its demand now and in the result, None where it does not stand or is not fed.

    Connected load below it [VA]: what is there now and in the result, and what makes the
    difference. `added` is load that comes with the work, by category; `moved_here_va` and
    `moved_away_va` load that hung elsewhere before, and hangs elsewhere then; `removed_va` what
    does not stand any more. Demand is not additive: there the result is no sum of the others.
    """

    key: str
    name: str
    now: Demand | None
    result: Demand | None
    now_va: float
    added: dict[Category, float]
    moved_here_va: float
    moved_away_va: float
    removed_va: float
    result_va: float

    @property
    def added_va(self) -> float:
        """All load below the point that comes with the work, connected [VA]."""
        return sum(self.added.values())


class _State(NamedTuple):
    """A network with the connected load of each of its pieces by category [VA]."""

    study: Study
    connected: Mapping[str, Mapping[Category, float]]

    def va(self, key: str) -> float:
        """All connected load of a piece [VA], nothing where it does not stand."""
        return sum(self.connected.get(key, {}).values())


def before_and_after(study: Study) -> tuple[Row, ...]:
    """Compare every point of a property before any work and at the study's stage, in id order.

    Each is a network of its own, solved by itself.
    """
    now, result = (_State(each, _connected(each)) for each in (study.at(None), study))
    keys = now.study.found.equipment.keys() | study.found.equipment.keys()
    return tuple(_row(now, result, key) for key in sorted(keys) if _is_point(now, result, key))


def _connected(study: Study) -> dict[str, dict[Category, float]]:
    return {
        key: {category: connected_va(part) for category, part in sorted_out(facts.tally).items()}
        for key, facts in study.found.equipment.items()
        if facts.tally and not isinstance(facts.piece, r.Point)
    }


def _is_point(now: _State, result: _State, key: str) -> bool:
    facts = result.study.found.equipment.get(key) or now.study.found.equipment[key]
    return isinstance(facts.piece, r.Point)


def _row(now: _State, result: _State, key: str) -> Row:
    old, new = (state.study.found.equipment.get(key) for state in (now, result))
    before, after = _below(now.study, key), _below(result.study, key)
    added: dict[Category, float] = {}
    here_va = away_va = removed_va = 0.0
    for leaf in dict.fromkeys((*before, *after)):
        if leaf not in before and leaf in now.study.found.equipment:
            here_va += now.va(leaf)
        elif leaf not in after and leaf in result.study.found.equipment:
            away_va += now.va(leaf)
            continue
        was, will = now.connected.get(leaf, {}), result.connected.get(leaf, {})
        for category in dict.fromkeys((*was, *will)):
            more_va = will.get(category, 0.0) - was.get(category, 0.0)
            if more_va > 0:
                added[category] = added.get(category, 0.0) + more_va
            removed_va += max(-more_va, 0.0)
    facts = new or old
    assert facts is not None
    return Row(
        key,
        facts.piece.name,
        old.demand if old else None,
        new.demand if new else None,
        sum(map(now.va, before)),
        dict(sorted(added.items())),
        here_va,
        away_va,
        removed_va,
        sum(map(result.va, after)),
    )


def _below(study: Study, key: str) -> dict[str, None]:
    """Give the pieces that take load at or below a point, in order."""
    if key not in study.found.equipment:
        return {}
    return dict.fromkeys(
        facts.piece.id
        for facts in (study.equipment(key), *below(study, key))
        if not isinstance(facts.piece, r.Point)
    )
