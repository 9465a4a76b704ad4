"""All passes over one island, in their fixed order, from bay to bay."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property, partial
from typing import NamedTuple, TypeVar

from ampacre.model import records as r
from ampacre.model.network import Island
from ampacre.model.project import Project
from ampacre.study.bays import Bay, bays_of, of_keys
from ampacre.study.bonds import ahead_of_switches
from ampacre.study.circuit import Carried, Circuit, carried_below
from ampacre.study.downward import Ahead, Downward, Elsewhere, Raceways, counted_in, downward
from ampacre.study.facts import Voltage
from ampacre.study.fault import machine_ka
from ampacre.study.impedance import Bonds, Loops, Studied, loops_of
from ampacre.study.leaves import charger_a, groups_of, leaf_tally, limits
from ampacre.study.loads import Given, Loads
from ampacre.study.memo import Memo
from ampacre.study.shared import with_shared_grounding
from ampacre.study.tally import Amount, Tally, nominal_va
from ampacre.study.terms import Rules, rules_of
from ampacre.study.tree import Tree, grow, looks_of
from ampacre.study.upward import loads_of, parks_of
from ampacre.study.voltage import Swept, hot_ohms, running
from ampacre.study.wires import Wires

__all__ = ["Branch", "Part", "Plot", "Whole", "branch_of"]

T = TypeVar("T")


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
    in the normal state. `bonds` are those of a standby island whose set has none of its own.
    """

    island: Island
    whole: Whole
    known: Mapping[str, Wires] | None
    bonds: Bonds | None = None


@dataclass(frozen=True, eq=False)
class Part:
    """A bay with all that the passes found in it, the same only as itself.

    `down` is what the downward pass settled, `machines_ka` what motors and inverters add to the
    fault current at each piece, `member_of` the group that each piece counts in.
    """

    bay: Bay
    loads: Mapping[str, Loads]
    down: Downward
    wires: Mapping[str, Wires]
    greatest: Mapping[str, Loops]
    least: Mapping[str, Loops]
    machines_ka: Mapping[str, float]
    member_of: Mapping[str, str]

    @cached_property
    def ohms(self) -> Mapping[str, tuple[complex, complex]]:
        """Impedance of a line conductor and of the neutral of each run, one way and hot [ohm]."""
        return {
            run: hot_ohms(self.bay.project.runs[run], wires) for run, wires in self.wires.items()
        }

    @cached_property
    def tallies(self) -> Mapping[str, Tally]:
        """Tallies of the pieces that use power, for the voltage sweep.

        A charger draws what it is set to, whatever least load the code has it counted at.
        """
        found: dict[str, Tally] = {}
        for key in self.bay.keys:
            piece, system = self.bay.project.equipment[key], self.bay.tree.arrives[key]
            tally = leaf_tally(self.bay.project, self.member_of, piece, system.legs, system)
            if isinstance(piece, r.Charger):
                drawn_va = nominal_va(charger_a(piece) or 0.0, system.legs, system)
                tally = {k: Amount(drawn_va) for k in tally}
            if tally:
                found[key] = tally
        return found


@dataclass(frozen=True, eq=False)
class Branch:
    """One energised island with all that the passes found on it, the same only as itself.

    `plot` is what it was made from, `parts` are its bays, and the rest is put together from them:
    `settled` the project with chosen ratings filled in, `circuits` what the choice of each run's
    wires rested on. `sweeps` keeps the last running case.
    """

    plot: Plot
    tree: Tree
    rules: Rules
    parts: tuple[Part, ...]
    loads: Mapping[str, Loads]
    settled: Project
    circuits: Mapping[str, Circuit]
    wires: Mapping[str, Wires]
    least: Mapping[str, Loops]
    greatest: Mapping[str, Loops]
    sweeps: Memo

    @property
    def source_name(self) -> str:
        """Name of the source that forms it, for what is said of standby."""
        return self.plot.whole.project.equipment[self.tree.island.root].name or "standby"

    @cached_property
    def running(self) -> Swept:
        """Voltages and currents with everything on, worked out when they are first asked for."""
        tallies = _together(part.tallies for part in self.parts)
        tallies |= _dwelling_tallies(self.settled, tallies, self.loads)
        resting = _resting(self.settled, self.loads, self.rules)
        ohms = _together(part.ohms for part in self.parts)
        sources = {
            key: piece
            for key, piece in self.settled.equipment.items()
            if key == self.tree.island.root or isinstance(piece, r.Transformer)
        }
        behind = {key: self.least[key] for key in sources}
        limits = {
            group: limit._replace(part=self.loads[limit.at].figure.held[group].part)
            if limit.at
            else limit
            for group, limit in self.rules.limits.items()
        }
        made_from = (sources, self.tree, ohms, tallies, limits, resting, behind)
        return self.sweeps.of("running", made_from, running)

    @cached_property
    def voltages(self) -> Mapping[str, Voltage]:
        """Voltages with everything on, of the pieces where they can be told."""
        if not self.running.converged:
            return {}
        return {
            key: _against_nominal(leg_v, self.tree.gives[key].leg_v)
            for key, leg_v in self.running.volts.items()
        }


def _against_nominal(leg_v: tuple[complex, ...], nominal: tuple[complex, ...]) -> Voltage:
    pct = [100 * abs(v) / abs(n) for v, n in zip(leg_v, nominal, strict=True)]
    return Voltage(leg_v, min(pct), max(pct))


def branch_of(memo: Memo, plot: Plot) -> Branch:
    """Compute an island, with what `memo` keeps of its bays."""
    memo.turn()
    project, serves, _, moved = plot.whole
    legs = {key: (run.spaces, run.legs) for key, run in project.runs.items()}
    tree = memo.of("tree", (plot.island, looks_of(project), legs), grow)
    bays = bays_of(project, tree, memo)
    rules = _rules(project, tree, moved)
    given = memo.same("given", Given(rules, groups_of(project, rules.limits), serves))
    carried, loads = _upward(memo, project, tree, bays, given)
    downs = _downward(memo, plot, tree, bays, serves, carried, loads)
    circuits = _together(down.circuits for down in downs)
    wires = _together(down.wires for down in downs)
    if project.raceways and plot.known is None:
        wires = with_shared_grounding(project, circuits, wires, memo)
    own = (of_keys(down.settled.equipment, bay.keys) for bay, down in zip(bays, downs, strict=True))
    settled = replace(project, equipment=_together(own))
    greatest: dict[str, Loops] = {}
    least: dict[str, Loops] = {}
    studies: tuple[tuple[dict[str, Loops], Studied], ...] = (
        (greatest, "greatest"),
        (least, "least"),
    )
    own_wires = [of_keys(wires, tuple(down.wires)) for down in downs]
    for bay, down, laid in zip(bays, downs, own_wires, strict=True):
        made_from = (bay, down.settled, laid)
        for found, studied in studies:
            above = found.get(bay.above or "")
            here = (*made_from, above, studied, plot.bonds)
            found.update(memo.of((studied, bay.head), here, loops_of))
    if plot.bonds is not None:
        for found, studied in studies:
            found.update(ahead_of_switches(project, tree, wires, found, plot.bonds, studied))
    machines = _machines(memo, settled, tree, wires, greatest)
    parts = tuple(
        memo.of(
            ("part", bay.head),
            (
                bay, of_keys(loads, bay.keys), down, laid,
                of_keys(greatest, bay.keys), of_keys(least, bay.keys), of_keys(machines, bay.keys),
                given.member_of,
            ),
            Part,
        )
        for bay, down, laid in zip(bays, downs, own_wires, strict=True)
    )  # fmt: skip
    sweeps = memo.within("sweeps")
    return Branch(
        plot, tree, given.rules, parts, loads, settled, circuits, wires, least, greatest, sweeps
    )


def _together(parts: Iterable[Mapping[str, T]]) -> dict[str, T]:
    found: dict[str, T] = {}
    for part in parts:
        found |= part
    return found


def _upward(
    memo: Memo, project: Project, tree: Tree, bays: tuple[Bay, ...], given: Given
) -> tuple[dict[str, Carried], dict[str, Loads]]:
    parks = parks_of(project, tree)
    carried: dict[str, Carried] = {}
    loads: dict[str, Loads] = {}
    for bay in reversed(bays):
        nearby = of_keys(carried, bay.further)
        carried |= memo.of(("carried", bay.head), (bay, nearby), carried_below)
        made_from = (
            bay, given, of_keys(carried, bay.keys), of_keys(parks, bay.keys),
            of_keys(loads, bay.further),
        )  # fmt: skip
        within = memo.within(bay.head)
        loads |= memo.of(("loads", bay.head), made_from, partial(loads_of, within))
    return carried, loads


def _downward(
    memo: Memo,
    plot: Plot,
    tree: Tree,
    bays: tuple[Bay, ...],
    serves: Mapping[str, int],
    carried: Mapping[str, Carried],
    loads: Mapping[str, Loads],
) -> list[Downward]:
    project = plot.whole.project
    dwellings = frozenset(k for k, p in project.equipment.items() if isinstance(p, r.DwellingLoad))
    counted = counted_in(project, tree, loads, carried)
    found: list[Downward] = []
    ahead: dict[str, Ahead] = {}
    for bay in bays:
        soles = {each.sole for each in of_keys(carried, bay.keys).values() if each.sole}
        elsewhere = Elsewhere(
            dwellings,
            {key: project.equipment[key] for key in soles},
            serves,
            _raceways(bay, plot.whole.inside, counted),
            of_keys(plot.known or {}, tuple(bay.project.runs)),
        )
        made_from = (
            bay, of_keys(loads, bay.keys), of_keys(carried, bay.keys), elsewhere,
            ahead.get(bay.above or "", Ahead()),
        )  # fmt: skip
        down = memo.of(("down", bay.head), made_from, downward)
        ahead |= down.ahead
        found.append(down)
    return found


def _raceways(
    bay: Bay, inside: Mapping[str, tuple[str, ...]], counted: Mapping[str, int]
) -> Raceways:
    here = of_keys(inside, tuple(bay.project.raceways))
    return Raceways(here, {run: counted[run] for run in _runs(here) if run in counted})


def _runs(inside: Mapping[str, tuple[str, ...]]) -> Iterator[str]:
    for runs in inside.values():
        yield from runs


_MACHINES = (r.Motor, r.DwellingLoad, r.Transformer, r.Inverter, r.Battery)


def _machines(
    memo: Memo,
    settled: Project,
    tree: Tree,
    wires: Mapping[str, Wires],
    loops: Mapping[str, Loops],
) -> dict[str, float]:
    pieces = {key: p for key, p in settled.equipment.items() if isinstance(p, _MACHINES)}
    return memo.of("machines", (pieces, settled.runs, tree, wires, loops), machine_ka)


def _rules(project: Project, tree: Tree, moved: frozenset[str]) -> Rules:
    va_per_a = {
        key: nominal_va(1.0, tree.arrives[key].legs, tree.arrives[key])
        for key in tree.island.order
        if isinstance(project.equipment[key], r.Charger)
    }
    for group in project.groups.values():
        at = group.measured_at if isinstance(group, r.ManagedGroup) else None
        if at is not None and at in tree.gives:
            va_per_a[at] = nominal_va(1.0, tree.gives[at].legs, tree.gives[at])
    parents = {key: feed.parent for key, feed in tree.island.feed.items()} if project.groups else {}
    return rules_of(project, limits(project, va_per_a, parents), moved)


def _dwelling_tallies(
    project: Project, tallies: Mapping[str, Tally], loads: Mapping[str, Loads]
) -> dict[str, Tally]:
    """Cut the tallies of dwellings down to their calculated load, at which they run."""
    dwellings = [key for key in tallies if isinstance(project.equipment[key], r.DwellingLoad)]
    by_method: dict[str, float] = {}
    for load in loads.values() if dwellings else ():
        by_method |= load.dwelling_va
    found: dict[str, Tally] = {}
    for key in dwellings:
        connected = loads[key].demand.connected_va
        counted = by_method.get(key, loads[key].demand.calculated_va)
        part = counted / connected if connected else 0.0
        found[key] = {each: Amount(part * a.va) for each, a in tallies[key].items()}
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
