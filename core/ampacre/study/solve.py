"""All passes over a standing project, in their fixed order, for its normal and standby states."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property, partial
from typing import Final, NamedTuple

from ampacre.model import records as r
from ampacre.model.network import Island, Network, energised
from ampacre.model.project import Project
from ampacre.model.records import Position
from ampacre.study.circuit import runs_in, serving
from ampacre.study.downward import downward
from ampacre.study.facts import Running, Voltage
from ampacre.study.fault import machine_ka
from ampacre.study.impedance import Loops, loops_of
from ampacre.study.leaves import charger_a, groups_of, leaf_tally, limits
from ampacre.study.memo import Memo
from ampacre.study.tally import Amount, Tally, nominal_va
from ampacre.study.terms import Rules, rules_of
from ampacre.study.tree import Tree, grow
from ampacre.study.upward import Loads, loads_of
from ampacre.study.voltage import Swept, running
from ampacre.study.wires import Circuit, Wires

__all__ = ["Branch", "Plot", "Solved", "Whole", "solve"]


class Whole(NamedTuple):
    """What is known of the whole project before any island is looked at.

    `serving` counts the pieces of each dwelling, `inside` gives the runs in each raceway, `moved`
    is existing load that the work moved.
    """

    project: Project
    serving: Mapping[str, int]
    inside: Mapping[str, tuple[str, ...]]
    moved: frozenset[str]


class Plot(NamedTuple):
    """An island with all of the whole that its numbers rest on, and nothing else.

    So an equal plot has an equal result. `known` are wires that the normal state has settled; None
    in the normal state.
    """

    island: Island
    whole: Whole
    known: Mapping[str, Wires] | None


@dataclass(frozen=True, eq=False)
class Branch:
    """One energised island with all that the passes found on it, the same only as itself.

    `plot` is what it was made from, `settled` its project with chosen ratings filled in, `circuits`
    what the choice of each run's wires rested on, `ahead_a` the nearest device on the supply side
    of each piece.
    """

    plot: Plot
    tree: Tree
    loads: Mapping[str, Loads]
    rules: Rules
    settled: Project
    chosen: Mapping[str, Mapping[str, float]]
    circuits: Mapping[str, Circuit]
    wires: Mapping[str, Wires]
    ahead_a: Mapping[str, float | None]
    greatest: Mapping[str, Loops]
    least: Mapping[str, Loops]
    machines_ka: Mapping[str, float]

    @cached_property
    def running(self) -> Swept:
        """Voltages and currents with everything on, worked out when they are first asked for."""
        tallies = _running_tallies(self.settled, self.tree, self.loads)
        resting = _resting(self.settled, self.loads, self.rules)
        return running(
            self.settled, self.tree, self.wires, tallies, self.rules.limits, resting, self.least
        )


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
    return memo.of(place, (plot,), partial(_branch, within))


def _branch(memo: Memo, plot: Plot) -> Branch:
    memo.turn()
    project, serves, inside, moved = plot.whole
    tree = grow(project, plot.island)
    member_of = groups_of(project)
    rules = _rules(project, tree, member_of, moved)
    loads = loads_of(project, tree, member_of, serves, rules, memo)
    down = downward(project, tree, loads, serves, inside, plot.known)
    settled, wires = down.settled, down.wires
    greatest = loops_of(settled, tree, wires, "greatest")
    least = loops_of(settled, tree, wires, "least")
    machines = machine_ka(settled, tree, wires, greatest)
    return Branch(
        plot, tree, loads, rules, settled, down.chosen, down.circuits, wires, down.ahead_a, greatest,
        least, machines,
    )  # fmt: skip


def _rules(
    project: Project, tree: Tree, member_of: Mapping[str, str], moved: frozenset[str]
) -> Rules:
    va_per_a = {
        key: nominal_va(1.0, tree.arrives[key].legs, tree.arrives[key])
        for key in tree.island.order
        if isinstance(project.equipment[key], r.Charger)
    }
    return rules_of(project, limits(project, member_of, va_per_a), moved)


def _running_tallies(project: Project, tree: Tree, loads: Mapping[str, Loads]) -> dict[str, Tally]:
    """Tallies of the pieces that use power, for the voltage sweep.

    A dwelling's is cut down to its calculated load. A charger draws what it is set to, whatever
    least load the code has it counted at.
    """
    member_of = groups_of(project)
    by_method = {
        dwelling: va for load in loads.values() for dwelling, va in load.dwelling_va.items()
    }
    found: dict[str, Tally] = {}
    for key in tree.island.order:
        piece = project.equipment[key]
        system = tree.arrives[key]
        tally = leaf_tally(project, member_of, piece, system.legs, system)
        if isinstance(piece, r.DwellingLoad):
            connected = loads[key].demand.connected_va
            counted = by_method.get(key, loads[key].demand.calculated_va)
            part = counted / connected if connected else 0.0
            tally = {k: Amount(part * a.va) for k, a in tally.items()}
        if isinstance(piece, r.Charger):
            drawn_va = nominal_va(charger_a(piece) or 0.0, system.legs, system)
            tally = {k: Amount(drawn_va) for k in tally}
        if tally:
            found[key] = tally
    return found


def _resting(project: Project, loads: Mapping[str, Loads], rules: Rules) -> frozenset[str]:
    """Members of noncoincident groups that stand still while the largest runs."""
    return frozenset(
        member for group in rules.noncoincident for member in _smaller(project, loads, group)
    )


def _smaller(project: Project, loads: Mapping[str, Loads], group: str) -> Iterator[str]:
    members = [member for member in project.groups[group].members if member in loads]
    members.sort(key=lambda member: (loads[member].demand.connected_va, member))
    yield from members[:-1]
