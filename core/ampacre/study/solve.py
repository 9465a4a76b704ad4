"""A standing project solved: its islands in the normal state, and on standby."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property, partial
from typing import Final

from ampacre.model import records as r
from ampacre.model.network import Island, Network, energised
from ampacre.model.project import Project
from ampacre.model.records import Position
from ampacre.study.bays import part_of
from ampacre.study.bonds import bonds_of
from ampacre.study.branch import Branch, Plot, Whole, branch_of
from ampacre.study.circuit import runs_in, serving
from ampacre.study.facts import Running, Voltage
from ampacre.study.impedance import Bonds
from ampacre.study.memo import Memo
from ampacre.study.wires import Wires

__all__ = ["Solved", "solve"]


@dataclass(frozen=True, eq=False)
class Solved:
    """Islands of the normal state, and of the standby state where there is one."""

    normal: tuple[Branch, ...]
    standby: tuple[Branch, ...]

    @cached_property
    def home(self) -> Mapping[str, Branch]:
        """The island of the normal state that each piece is in."""
        return {key: branch for branch in self.normal for key in branch.tree.island.order}

    @cached_property
    def _fed(self) -> Mapping[str, tuple[Branch, str]]:
        """The island of each run, of the normal state if it is in one, and the piece it feeds."""
        return {
            feed.run: (branch, key)
            for branch in (*self.standby, *self.normal)
            for key, feed in branch.tree.island.feed.items()
        }

    def voltage(self, key: str) -> Voltage | None:
        """Voltages at a piece with everything on; None where it is not supplied or can't be told."""
        branch = self.home.get(key)
        return branch.voltages.get(key) if branch is not None else None

    def running(self, run: str) -> Running:
        """Currents of a run with everything on; of no leg where it is not supplied."""
        if run not in self._fed:
            return Running()
        branch, key = self._fed[run]
        leg_a = branch.running.amperes.get(key, ())
        neutral = leg_a and branch.tree.arrives[key].neutral
        return Running(tuple(map(abs, leg_a)), abs(sum(leg_a)) if neutral else None)


def solve(
    project: Project,
    network: Network,
    moved: frozenset[str] = frozenset(),
    memo: Memo | None = None,
) -> Solved:
    """Compute a standing project, with what `memo` keeps of an earlier time.

    `moved` is existing load that the work moved to where no measured record has seen it.
    """
    memo = memo or Memo()
    around = memo.same(
        "around",
        Whole(replace(project, equipment={}, runs={}), serving(project), runs_in(project), moved),
    )
    normal = tuple(
        _solved(project, around, island, None, memo)
        for island in memo.of("normal islands", (network, _NORMAL), energised)
    )
    switches: dict[str, Position] = {
        key: "standby" for key, (kind, _) in network.kinds.items() if kind is r.TransferSwitch
    }
    if not switches:
        return Solved(normal, ())
    known = {run: wires for branch in normal for run, wires in branch.wires.items()}
    home = Solved(normal, ()).home
    standby = tuple(
        _solved(project, around, island, known, memo, bonds_of(project, island, home))
        for island in memo.of("standby islands", (network, switches), energised)
        if isinstance(project.equipment[island.root], r.Generator)
    )
    return Solved(normal, standby)


_NORMAL: Final[Mapping[str, Position]] = {}


def _solved(
    project: Project,
    around: Whole,
    island: Island,
    known: Mapping[str, Wires] | None,
    memo: Memo,
    bonds: Bonds | None = None,
) -> Branch:
    """Compute one island, or give what `memo` keeps of an equal one.

    `around` is what every island is asked about, its project without pieces and runs.
    """
    place = ("normal" if known is None else "standby", island.root)
    feeds = tuple(feed.run for feed in island.feed.values())
    made_from = (
        around,
        island,
        tuple(map(project.equipment.get, island.order)),
        tuple(map(project.runs.get, feeds)),
        None if known is None else tuple(map(known.get, feeds)),
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
    part = replace(part, grounding=at_home)
    inside = {key: around.inside[key] for key in part.raceways}
    known = None
    if own_wires is not None:
        known = {run.id: wires for run, wires in zip(own_runs, own_wires, strict=True) if wires}
    moved = around.moved.intersection(pieces)
    return Plot(island, Whole(part, around.serving, inside, moved), known, bonds)
