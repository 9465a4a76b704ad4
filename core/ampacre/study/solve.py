"""A standing project solved: its islands in the normal state, and on standby."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property, partial
from typing import Final

from ampacre.model import records as r
from ampacre.model.network import Island, Network, energised
from ampacre.model.project import Project
from ampacre.model.records import Position
from ampacre.study.branch import Branch, Plot, Whole, branch_of
from ampacre.study.circuit import runs_in, serving
from ampacre.study.facts import Running, Voltage
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
        if branch is None or not branch.running.converged or key not in branch.running.volts:
            return None
        leg_v = branch.running.volts[key]
        nominal = branch.tree.gives[key].leg_v
        pct = [100 * abs(v) / abs(n) for v, n in zip(leg_v, nominal, strict=True)]
        return Voltage(leg_v, min(pct), max(pct))

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
    whole = Whole(project, serving(project), runs_in(project), moved)
    normal = tuple(
        _solved(_plot(whole, island, None), "normal", memo)
        for island in memo.of("normal islands", (network, _NORMAL), energised)
    )
    switches: dict[str, Position] = {
        key: "standby" for key, (kind, _) in network.kinds.items() if kind is r.TransferSwitch
    }
    if not switches:
        return Solved(normal, ())
    known = {run: wires for branch in normal for run, wires in branch.wires.items()}
    standby = tuple(
        _solved(_plot(whole, island, known), "standby", memo)
        for island in memo.of("standby islands", (network, switches), energised)
        if isinstance(project.equipment[island.root], r.Generator)
    )
    return Solved(normal, standby)


_NORMAL: Final[Mapping[str, Position]] = {}


def _plot(whole: Whole, island: Island, known: Mapping[str, Wires] | None) -> Plot:
    project = whole.project
    pieces = {key: project.equipment[key] for key in island.order}
    runs = {feed.run: project.runs[feed.run] for feed in island.feed.values()}
    homes = {piece.structure for piece in pieces.values() if piece.structure is not None}
    ways = {segment.raceway for run in runs.values() for segment in run.segments}
    part = Project(
        equipment=pieces,
        runs=runs,
        structures={key: project.structures[key] for key in homes},
        groups=project.groups,
        raceways={key: project.raceways[key] for key in ways},
        grounding={
            key: record
            for key, record in project.grounding.items()
            if record.at in pieces or record.at in homes
        },
        project=project.project,
    )
    inside = {key: whole.inside[key] for key in ways}
    settled = None if known is None else {run: known[run] for run in runs if run in known}
    moved = whole.moved.intersection(pieces)
    return Plot(island, Whole(part, whole.serving, inside, moved), settled)


def _solved(plot: Plot, state: str, memo: Memo) -> Branch:
    """Compute one island, or give what `memo` keeps of an equal one."""
    place = (state, plot.island.root)
    within = memo.within(place)
    return memo.of(place, (plot,), partial(branch_of, within))
