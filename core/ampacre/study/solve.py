"""All passes over a standing project, in their fixed order, for its normal and standby states."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.model.network import Island, Network, energised
from ampacre.model.project import Project
from ampacre.model.records import Position
from ampacre.model.standing import work_of
from ampacre.study.demand import Rules
from ampacre.study.facts import Demand
from ampacre.study.fault import machine_ka
from ampacre.study.impedance import Loops, loops_of
from ampacre.study.leaves import charger_a, groups_of, leaf_tally, limits
from ampacre.study.settle import chosen_values, filled, settled_main
from ampacre.study.tally import Amount, Tally, nominal_va
from ampacre.study.tree import Tree, grow
from ampacre.study.upward import Loads, circuit_demand, loads_of
from ampacre.study.voltage import Running, running
from ampacre.study.wires import Circuit, Wires, wires_of

__all__ = ["Branch", "Solved", "solve"]

_LEAVES = (r.Use, r.DwellingLoad, r.Inverter, r.Battery)


class Branch(NamedTuple):
    """One energised island with all that the passes found on it.

    `settled` is the project with chosen ratings filled in, `circuits` what the choice of each
    run's wires rested on, `ahead_a` the nearest device on the supply side of each piece.
    """

    tree: Tree
    loads: Mapping[str, Loads]
    settled: Project
    chosen: Mapping[str, Mapping[str, float]]
    circuits: Mapping[str, Circuit]
    wires: Mapping[str, Wires]
    ahead_a: Mapping[str, float | None]
    greatest: Mapping[str, Loops]
    least: Mapping[str, Loops]
    machines_ka: Mapping[str, float]
    running: Running


class Solved(NamedTuple):
    """Islands of the normal state, and of the standby state where there is one."""

    normal: tuple[Branch, ...]
    standby: tuple[Branch, ...]


def solve(project: Project, network: Network) -> Solved:
    """Compute a standing project from nothing."""
    normal = tuple(_branch(project, island, None) for island in energised(project, network, None))
    switches: dict[str, Position] = {
        key: "standby"
        for key, piece in project.equipment.items()
        if isinstance(piece, r.TransferSwitch)
    }
    if not switches:
        return Solved(normal, ())
    state = r.State(id="standby", name="On standby", positions=switches)
    known = {run: wires for branch in normal for run, wires in branch.wires.items()}
    standby = tuple(
        _branch(project, island, known)
        for island in energised(project, network, state)
        if isinstance(project.equipment[island.root], r.Generator)
    )
    return Solved(normal, standby)


def _branch(project: Project, island: Island, known: Mapping[str, Wires] | None) -> Branch:
    """Compute one island. `known` holds wires that the normal state has settled already."""
    tree = grow(project, island)
    member_of = groups_of(project)
    rules = _rules(project, tree, member_of)
    loads = loads_of(project, tree, member_of, rules)
    settled, chosen, circuits, wires, ahead_a = _downward(project, tree, loads, known)
    greatest = loops_of(settled, tree, wires, "greatest")
    least = loops_of(settled, tree, wires, "least")
    machines = machine_ka(settled, tree, wires, greatest)
    tallies = _running_tallies(settled, tree, loads, member_of)
    resting = _resting(project, loads, rules)
    ran = running(settled, tree, wires, tallies, rules.limits, resting, least)
    return Branch(
        tree, loads, settled, chosen, circuits, wires, ahead_a, greatest, least, machines, ran
    )


def _rules(project: Project, tree: Tree, member_of: Mapping[str, str]) -> Rules:
    settings = project.settings
    va_per_a = {
        key: nominal_va(1.0, tree.arrives[key].legs, tree.arrives[key])
        for key in tree.island.order
        if isinstance(project.equipment[key], r.Charger)
    }
    return Rules(
        settings.edition,
        settings.mixed_optional,
        settings.optional_chargers,
        limits(project, member_of, va_per_a),
        frozenset(
            key for key, group in project.groups.items() if isinstance(group, r.NoncoincidentGroup)
        ),
        settings.why_not_farm,
    )


def _downward(
    project: Project, tree: Tree, loads: Mapping[str, Loads], known: Mapping[str, Wires] | None
) -> tuple[
    Project, dict[str, dict[str, float]], dict[str, Circuit], dict[str, Wires],
    dict[str, float | None],
]:  # fmt: skip
    """Settle ratings, devices and wires from the source outward."""
    edition = project.settings.edition
    equipment = dict(project.equipment)
    chosen: dict[str, dict[str, float]] = {}
    circuits: dict[str, Circuit] = {}
    wires: dict[str, Wires] = {}
    ahead: dict[str, float | None] = {}
    for key in tree.island.order:
        piece = project.equipment[key]
        demand = loads[key].demand
        main_a = settled_main(piece, demand, edition)
        feed = tree.island.feed.get(key)
        arriving: float | None = None
        if feed is not None:
            run = project.runs[feed.run]
            circuit = _circuit(project, tree, loads, key, run, ahead[feed.parent], main_a)
            circuits[run.id] = circuit
            settled = known.get(run.id) if known else None
            wires[run.id] = settled or wires_of(circuit)
            arriving = wires[run.id].device.value or ahead[feed.parent]
        values = chosen_values(piece, demand, main_a, arriving)
        if values:
            chosen[key] = values
            equipment[key] = filled(piece, values)
        ahead[key] = None if isinstance(piece, r.Transformer) else main_a or arriving
    return replace(project, equipment=equipment), chosen, circuits, wires, ahead


def _circuit(
    project: Project,
    tree: Tree,
    loads: Mapping[str, Loads],
    key: str,
    run: r.Run,
    ahead_a: float | None,
    main_a: float | None,
) -> Circuit:
    settings = project.settings
    piece = project.equipment[key]
    system = tree.arrives[key]
    demand = _run_demand(project, tree, loads, key)
    tally = loads[key].below.tally
    uses_neutral = not isinstance(piece, _LEAVES) or any(k.neutral for k in tally)
    branch = run.role == "branch"
    return Circuit(
        run,
        work_of(run),
        system,
        demand,
        isinstance(piece, r.Motor),
        uses_neutral,
        ahead_a,
        main_a,
        settings.branch_drop_pct if branch else settings.feeder_drop_pct,
        settings.ambient_c if run.ambient_c is None else run.ambient_c,
        settings.edition,
    )


def _run_demand(project: Project, tree: Tree, loads: Mapping[str, Loads], key: str) -> Demand:
    """Load that a run carries: that of the point it feeds, or of its one piece as a circuit."""
    piece = project.equipment[key]
    if isinstance(piece, (r.Charger, r.Motor, r.Load, r.Pedestal)):
        return circuit_demand(
            piece, loads[key].below.tally, tree.arrives[key], project.settings.edition
        )
    if isinstance(piece, (r.Inverter, r.Battery)):
        return _source_demand(piece, tree, key)
    if isinstance(piece, r.Transformer):
        return _primary_demand(loads[key].demand, tree, key)
    feed = tree.island.feed.get(key)
    transferred = loads[key].transferred
    if transferred is not None and feed and project.runs[feed.run].lands_on == "standby":
        return transferred
    return loads[key].demand


def _source_demand(piece: r.Inverter | r.Battery, tree: Tree, key: str) -> Demand:
    """An inverter's circuit carries its output, continuous: 125 % (NEC 690.8, 705.28)."""
    legs = len(tree.arrives[key].legs)
    amperes = piece.output_a or 0.0
    va = amperes * tree.arrives[key].line_v
    return Demand(
        method="source output",
        worksheet=circuit_demand(piece, {}, tree.arrives[key], "2023").worksheet,
        connected_va=va,
        calculated_va=va,
        sizing_va=1.25 * va,
        calculated_a=(amperes,) * legs,
        sizing_a=(1.25 * amperes,) * legs,
        neutral_a=0.0,
    )


def _primary_demand(demand: Demand, tree: Tree, key: str) -> Demand:
    """The load of a transformer as its primary sees it, on all its legs alike."""
    system = tree.arrives[key]
    per_va = {1: 1 / abs(system.leg_v[0]), 2: 1 / system.line_v, 3: 1 / (3**0.5 * system.line_v)}
    factor = per_va[len(system.legs)]
    legs = len(system.legs)
    return Demand(
        demand.method, demand.worksheet, demand.connected_va, demand.calculated_va,
        demand.sizing_va, (demand.calculated_va * factor,) * legs,
        (demand.sizing_va * factor,) * legs, 0.0, balanced=True,
    )  # fmt: skip


def _running_tallies(
    project: Project, tree: Tree, loads: Mapping[str, Loads], member_of: Mapping[str, str]
) -> dict[str, Tally]:
    """Tallies of the pieces that use power, for the voltage sweep.

    A dwelling's is cut down to its calculated load. A charger draws what it is set to, whatever
    least load the code has it counted at.
    """
    blocks = {
        key.dwelling: amount.va
        for key, amount in loads[tree.island.root].below.with_blocks.items()
        if key.category == "block"
    }
    found: dict[str, Tally] = {}
    for key in tree.island.order:
        piece = project.equipment[key]
        system = tree.arrives[key]
        tally = leaf_tally(project, member_of, piece, system.legs, system)
        if isinstance(piece, r.DwellingLoad):
            connected = loads[key].demand.connected_va
            counted = blocks.get(key, loads[key].demand.calculated_va)
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
