"""The downward pass: ratings, devices and wires of one island, settled from the source outward."""

from collections.abc import Mapping
from dataclasses import replace
from typing import NamedTuple

import msgspec

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.model.standing import work_of
from ampacre.study.bays import Bay
from ampacre.study.circuit import (
    Carried,
    Circuit,
    MotorOnCircuit,
    counted_conductors,
    is_whole_dwelling,
    place_between,
    rated_a,
    ways_of,
)
from ampacre.study.circuit_load import circuit_demand
from ampacre.study.facts import Demand
from ampacre.study.leaves import motor_a
from ampacre.study.loads import Loads
from ampacre.study.settle import chosen_values, filled, least_rating_a, main_of, settled_main
from ampacre.study.tally import Tally, connected_va
from ampacre.study.tree import Tree
from ampacre.study.wires import Wires, wires_of

__all__ = ["Ahead", "Downward", "Elsewhere", "Raceways", "counted_in", "downward"]

_LEAVES = (r.Use, r.DwellingLoad, r.Inverter, r.Battery)


class Ahead(NamedTuple):
    """The nearest device on the supply side of what hangs from a piece [A].

    `protecting_a` protects there; `measure_a` is what tap rules measure by, which at a transformer
    is the primary's device as the secondary sees it. `unread` tells that a nearer one was not read:
    these then only bound it from above, for what new work is chosen for.
    """

    protecting_a: float | None = None
    measure_a: float | None = None
    unread: bool = False

    @property
    def known_a(self) -> float | None:
        """What protects there; None where that was not read."""
        return None if self.unread else self.protecting_a


class Raceways(NamedTuple):
    """The runs in each raceway, and the counted conductors of each that is known."""

    inside: Mapping[str, tuple[str, ...]]
    counted: Mapping[str, int]


class Elsewhere(NamedTuple):
    """What the pass reads from beyond a bay.

    `dwellings` are those of the whole island, `soles` the pieces that circuits of the bay serve
    alone, `serving` counts the pieces of each dwelling in the whole project. `known` holds wires
    that another state has settled.
    """

    dwellings: frozenset[str]
    soles: Mapping[str, r.AnyEquipment]
    serving: Mapping[str, int]
    raceways: Raceways
    known: Mapping[str, Wires]


class Downward(NamedTuple):
    """What the pass settled in a bay.

    `settled` is its part of the project with chosen ratings filled in, `circuits` what the choice
    of each run's wires rested on.
    """

    settled: Project
    chosen: Mapping[str, Mapping[str, float]]
    circuits: Mapping[str, Circuit]
    wires: Mapping[str, Wires]
    ahead: Mapping[str, Ahead]


class _Below(NamedTuple):
    """What the pass reads before it starts."""

    loads: Mapping[str, Loads]
    carried: Mapping[str, Carried]
    elsewhere: Elsewhere
    limits: r.Settings


def downward(
    bay: Bay,
    loads: Mapping[str, Loads],
    carried: Mapping[str, Carried],
    elsewhere: Elsewhere,
    above: Ahead,
) -> Downward:
    """Settle ratings, devices and wires of a bay, from the device `above` it."""
    project, tree = bay.project, bay.tree
    edition = project.settings.edition
    below = _Below(loads, carried, elsewhere, _limits(project.settings))
    equipment = dict(project.equipment)
    chosen: dict[str, dict[str, float]] = {}
    circuits: dict[str, Circuit] = {}
    wires: dict[str, Wires] = {}
    ahead: dict[str, Ahead] = {}
    for key in bay.keys:
        piece = project.equipment[key]
        demand = loads[key].demand
        least_a = least_rating_a(project, tree, key, carried[key], elsewhere.dwellings)
        main_a = settled_main(piece, demand, edition, least_a)
        feed = tree.island.feed.get(key)
        arriving: float | None = None
        unread = False
        if feed is not None:
            here = ahead.get(feed.parent, above)
            run = project.runs[feed.run]
            rated = piece
            if isinstance(piece, r.Transformer):
                rated = filled(piece, chosen_values(piece, demand, main_a, None, least_a))
            circuit = _circuit(project, tree, below, key, run, rated, here, main_a)
            circuits[run.id] = circuit
            wires[run.id] = elsewhere.known.get(run.id) or wires_of(circuit)
            device = wires[run.id].device
            arriving = device.value or here.protecting_a
            unread = device.value is None and (here.unread or device.how == "unknown")
        values = chosen_values(piece, demand, main_a, arriving, least_a)
        if values:
            chosen[key] = values
            equipment[key] = filled(piece, values)
        if main_of(piece) is not None:
            unread = main_a is None
        ahead[key] = Ahead(main_a or arriving, main_a or arriving, unread)
        if isinstance(piece, r.Transformer):
            # no device of the primary protects behind it, but tap rules measure by it
            ratio = tree.arrives[key].line_v / tree.gives[key].line_v
            seen_a = None if arriving is None else arriving * ratio
            ahead[key] = Ahead(None, seen_a, unread)
    return Downward(replace(project, equipment=equipment), chosen, circuits, wires, ahead)


def counted_in(
    project: Project, tree: Tree, loads: Mapping[str, Loads], carried: Mapping[str, Carried]
) -> dict[str, int]:
    """Count the current-carrying conductors of the runs of an island that lie in raceways."""
    counted: dict[str, int] = {}
    for key, feed in tree.island.feed.items() if project.raceways else ():
        run = project.runs[feed.run]
        if run.segments:
            neutral = _uses_neutral(project, tree, loads, carried[key], run, key)
            nonlinear = _mostly_nonlinear(loads[key].below.tally)
            one_set = counted_conductors(tree.arrives[key], neutral, nonlinear)
            counted[run.id] = one_set * (run.conductors.sets or 1)
    return counted


def _uses_neutral(
    project: Project,
    tree: Tree,
    loads: Mapping[str, Loads],
    carried: Carried,
    run: r.Run,
    key: str,
) -> bool:
    """Whether a run brings the neutral: to a panel always, to one piece if that uses it.

    A transformer's primary takes it only where it is connected to one leg: across two legs, or in
    delta, it has none.
    """
    if isinstance(project.equipment[key], r.Transformer):
        return len(tree.arrives[key].legs) == 1
    to_one_piece = isinstance(project.equipment[key], _LEAVES) or (
        run.role == "branch" and carried.sole
    )
    return not to_one_piece or any(k.neutral for k in loads[key].below.tally)


def _mostly_nonlinear(tally: Tally) -> bool:
    """Whether nonlinear load is the major portion of a load: half of what is connected or more."""
    nonlinear_va = sum(amount.va for key, amount in tally.items() if key.nonlinear)
    return nonlinear_va > 0 and 2 * nonlinear_va >= connected_va(tally)


def _circuit(
    project: Project,
    tree: Tree,
    below: _Below,
    key: str,
    run: r.Run,
    rated: r.AnyEquipment,
    ahead: Ahead,
    main_a: float | None,
) -> Circuit:
    """Gather a run's circuit; `rated` is the piece that it supplies with its chosen ratings."""
    settings = project.settings
    piece = project.equipment[key]
    system = tree.arrives[key]
    carried = below.carried[key]
    branch = run.role == "branch"
    sole = below.elsewhere.soles[carried.sole] if branch and carried.sole else piece
    residential = any(
        structure is not None and project.structures[structure].use == "dwelling"
        for structure in (piece.structure, project.equipment[run.source].structure)
    )
    return Circuit(
        run=run,
        work=work_of(run),
        system=system,
        demand=_run_demand(project, tree, below.loads, key, sole),
        settings=below.limits,
        uses_neutral=_uses_neutral(project, tree, below.loads, carried, run, key),
        device_ahead_a=None if ahead.unread else ahead.measure_a,
        ahead_unread=ahead.unread,
        load_end_device_a=main_a,
        drop_limit_pct=_drop_limit(run, settings),
        motor=_motor(sole, tree, key),
        rated_a=rated_a(rated, project.equipment[run.source], system),
        whole_dwelling=is_whole_dwelling(carried, below.elsewhere.serving) and system.phases == 1,
        source_behind=carried.source,
        several_receptacles=branch and _several_receptacles(piece),
        bundle=run.length_m == 0 or isinstance(piece, r.DwellingLoad),
        residential=residential,
        nonlinear=_mostly_nonlinear(below.loads[key].below.tally),
        place_between=place_between(project, run),
        ways=ways_of(project, run, *below.elsewhere.raceways),
    )


def _limits(settings: r.Settings) -> r.Settings:
    """Of the settings what a choice of wires reads, so that a new title alters no circuit."""
    return msgspec.structs.replace(
        r.Settings(id=settings.id),
        edition=settings.edition,
        units=settings.units,
        ambient_c=settings.ambient_c,
        least_cover_m=settings.least_cover_m,
        required_material=settings.required_material,
        required_insulation=settings.required_insulation,
    )


def _drop_limit(run: r.Run, settings: r.Settings) -> float | None:
    """Drop limit of a run by itself; the code names none for services and outputs of sources."""
    if run.role == "branch":
        return settings.branch_drop_pct
    if run.role in ("feeder", "tap", "transformer secondary"):
        return settings.feeder_drop_pct
    return None


def _motor(piece: r.Equipment, tree: Tree, key: str) -> MotorOnCircuit | None:
    if not isinstance(piece, r.Motor):
        return None
    system = tree.arrives[key]
    return MotorOnCircuit(
        motor_a(piece, system.legs, system) or 0.0,
        system.phases,
        piece.compressor,
        piece.minimum_circuit_a,
        piece.maximum_device_a,
    )


def _several_receptacles(piece: r.Equipment) -> bool:
    if not isinstance(piece, r.Load) or piece.category != "receptacles":
        return False
    return piece.receptacles != 1


def _run_demand(
    project: Project, tree: Tree, loads: Mapping[str, Loads], key: str, sole: r.Equipment
) -> Demand:
    """Load that a run carries: that of the point it feeds, or of its one piece as a circuit."""
    piece = project.equipment[key]
    if isinstance(sole, (r.Charger, r.Motor, r.Load, r.Pedestal)):
        return circuit_demand(
            sole, loads[key].below.tally, tree.arrives[key], project.settings.edition
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
