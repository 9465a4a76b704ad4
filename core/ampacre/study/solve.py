"""A standing project solved: its islands in the normal state, and on standby."""

from collections.abc import Callable, KeysView, Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import Final, NamedTuple

from ampacre.model import records as r
from ampacre.model.network import Island, Network, energised
from ampacre.model.project import Project
from ampacre.model.records import Position
from ampacre.study.bays import part_of
from ampacre.study.bonds import bonds_of
from ampacre.study.branch import Branch, Plot, Whole, branch_of
from ampacre.study.facts import Running, Voltage
from ampacre.study.frame import Frame
from ampacre.study.impedance import Bonds
from ampacre.study.memo import Memo
from ampacre.study.wires import Wires

__all__ = ["Solved", "solve"]


class _Places(NamedTuple):
    """Where pieces and runs are, of islands in a row.

    `pieces` gives the place of the island that a piece is in, `runs` that of a run and the piece
    that it feeds there.
    """

    pieces: Mapping[str, int]
    runs: Mapping[str, tuple[int, str]]


@dataclass(frozen=True, eq=False)
class Solved:
    """Islands of the normal state, and of the standby state where there is one."""

    normal: tuple[Branch, ...]
    standby: tuple[Branch, ...]
    _at_home: _Places
    _on_standby: _Places

    def home(self, key: str) -> Branch | None:
        """Give the island of the normal state that a piece is in; None where it is in none."""
        return _home(self.normal, self._at_home, key)

    def voltage(self, key: str) -> Voltage | None:
        """Voltages at a piece with everything on; None where it is not supplied or can't be told."""
        branch = self.home(key)
        return None if branch is None else branch.voltages.get(key)

    def running(self, run: str) -> Running:
        """Currents of a run with everything on; of no leg where it is not supplied."""
        for branches, places in (self.normal, self._at_home), (self.standby, self._on_standby):
            if run in places.runs:
                at, key = places.runs[run]
                leg_a = branches[at].running.amperes.get(key, ())
                neutral = leg_a and branches[at].tree.arrives[key].neutral
                return Running(tuple(map(abs, leg_a)), abs(sum(leg_a)) if neutral else None)
        return Running()


def solve(project: Project, frame: Frame, moved: frozenset[str], memo: Memo) -> Solved:
    """Compute a standing project, with what `memo` keeps of an earlier time.

    `moved` is existing load that the work moved to where no measured record has seen it.
    """
    bare = replace(project, equipment={}, runs={})
    around = memo.same("around", Whole(bare, frame.serving, frame.inside, moved))
    islands = memo.of("normal islands", (frame.network, _NORMAL), energised)
    at_home = memo.of("at home", (islands,), _places)
    normal = tuple(_solved(project, around, island, None, memo) for island in islands)

    islands = memo.of("standby islands", (frame.network,), _standby_islands)
    on_standby = memo.of("on standby", (islands,), _places)
    home = partial(_home, normal, at_home)
    known = partial(_wires, normal, at_home)
    standby = tuple(
        _solved(project, around, island, known, memo, bonds_of(project, island, home))
        for island in islands
    )
    return Solved(normal, standby, at_home, on_standby)


_NORMAL: Final[Mapping[str, Position]] = {}


def _standby_islands(network: Network) -> tuple[Island, ...]:
    switches: dict[str, Position] = {
        key: "standby" for key, (kind, _) in network.kinds.items() if kind is r.TransferSwitch
    }
    return energised(network, switches, r.Generator) if switches else ()


def _places(islands: tuple[Island, ...]) -> _Places:
    pieces = {key: at for at, island in enumerate(islands) for key in island.order}
    runs = {
        feed.run: (at, key)
        for at, island in enumerate(islands)
        for key, feed in island.feed.items()
    }
    return _Places(pieces, runs)


def _home(branches: tuple[Branch, ...], places: _Places, key: str) -> Branch | None:
    at = places.pieces.get(key)
    return None if at is None else branches[at]


def _wires(branches: tuple[Branch, ...], places: _Places, run: str) -> Wires | None:
    return branches[places.runs[run][0]].wires.get(run) if run in places.runs else None


def _solved(
    project: Project,
    around: Whole,
    island: Island,
    known: Callable[[str], Wires | None] | None,
    memo: Memo,
    bonds: Bonds | None = None,
) -> Branch:
    """Compute one island, or give what `memo` keeps of an equal one.

    `around` is what every island is asked about, its project without pieces and runs; `known`
    gives wires that the normal state has settled.
    """
    place = ("normal" if known is None else "standby", island.root)
    feeds = [feed.run for feed in island.feed.values()]
    made_from = (
        around,
        island,
        tuple(map(project.equipment.get, island.order)),
        tuple(map(project.runs.get, feeds)),
        None if known is None else tuple(map(known, feeds)),
        bonds,
    )
    plot = memo.of((place, "plot"), made_from, _plot)
    within = memo.within(place)
    return memo.of(place, (plot,), partial(branch_of, within))


def _plot(
    around: Whole,
    island: Island,
    own_pieces: tuple[r.AnyEquipment, ...],
    own_runs: tuple[r.Run, ...],
    own_wires: tuple[Wires | None, ...] | None,
    bonds: Bonds | None,
) -> Plot:
    pieces = {piece.id: piece for piece in own_pieces}
    runs = {run.id: run for run in own_runs}
    part = part_of(around.project, pieces, runs)
    records = around.project.grounding.items()
    at_home = {
        key: record
        for key, record in records
        if record.at in pieces or record.at in part.structures
    }
    groups = _groups_at(around.project.groups, pieces.keys())
    part = replace(part, grounding=at_home, groups=groups)
    inside = {key: around.inside[key] for key in part.raceways}
    known = None
    if own_wires is not None:
        known = {run.id: wires for run, wires in zip(own_runs, own_wires, strict=True) if wires}
    moved = around.moved.intersection(pieces)
    return Plot(island, Whole(part, around.serving, inside, moved), known, bonds)


def _groups_at(groups: Mapping[str, r.AnyGroup], pieces: KeysView[str]) -> dict[str, r.AnyGroup]:
    """Groups that hold or measure some of these pieces, and those nested in them or around them."""
    found = {
        key
        for key, group in groups.items()
        if not pieces.isdisjoint(group.members)
        or (isinstance(group, r.ManagedGroup) and group.measured_at in pieces)
    }
    wider = found
    while wider:
        found |= wider
        inner = {member for key in wider for member in groups[key].members if member in groups}
        outer = {key for key, group in groups.items() if not wider.isdisjoint(group.members)}
        wider = (inner | outer) - found
    return {key: group for key, group in groups.items() if key in found}
