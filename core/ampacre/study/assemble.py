"""Facts from what the passes found: one record for each standing piece and run."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import partial
from typing import Final, NamedTuple, TypeVar

from ampacre.codebook.articles import cite
from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.model.standing import work_of
from ampacre.model.system import System, volts_between
from ampacre.study.bays import of_keys
from ampacre.study.branch import Branch, Part
from ampacre.study.design_drop import design_drop
from ampacre.study.electrodes import grounding_at
from ampacre.study.facts import (
    EquipmentFacts,
    Fault,
    FaultLevels,
    GroundingFacts,
    Line,
    RacewayFacts,
    RunFacts,
    Worksheet,
)
from ampacre.study.fault import levels
from ampacre.study.impedance import HOT_C, Loops, conductor_impedance, transformer_ohms
from ampacre.study.leaves import charger_a, motor_a
from ampacre.study.measured import ASSUMED_POWER_FACTOR
from ampacre.study.memo import Memo
from ampacre.study.outlets import SELDOM_CONTINUOUS, outlet_load
from ampacre.study.settle import interrupting_of
from ampacre.study.shared import companions, raceway_facts
from ampacre.study.solve import Solved
from ampacre.study.upward import RECORD_NOT_USED
from ampacre.study.wires import Wires

__all__ = ["equipment_facts", "facts_of_raceways", "run_facts"]

T = TypeVar("T")

_NO_PIECES: Final[Mapping[str, EquipmentFacts]] = {}


def equipment_facts(
    project: Project, solved: Solved, memo: Memo
) -> list[Mapping[str, EquipmentFacts]]:
    """Facts of every standing piece: island by island, then of what nothing supplies."""
    spare = {key: branch for branch in solved.standby for key in branch.tree.island.order}
    found: list[Mapping[str, EquipmentFacts]] = []
    for branch in solved.normal:
        place = ("pieces", branch.tree.island.root)
        spares = {key: spare[key] for key in spare.keys() & branch.loads.keys()}
        make = partial(_pieces_of_branch, memo.within(place))
        found.append(memo.of(place, (branch, spares), make))
    idle = _besides(project.equipment, found)
    return [*found, memo.of("idle pieces", (idle,), _idle_pieces)]


def _idle_pieces(pieces: Mapping[str, r.AnyEquipment]) -> dict[str, EquipmentFacts]:
    return {
        key: EquipmentFacts(piece, work_of(piece), supplied=False) for key, piece in pieces.items()
    }


class _Spare(NamedTuple):
    """What a piece sees of faults on standby."""

    system: System
    greatest: Loops
    least: Loops


def _pieces_of_branch(
    memo: Memo, branch: Branch, spares: Mapping[str, Branch]
) -> dict[str, EquipmentFacts]:
    memo.turn()
    project, tree = branch.plot.whole.project, branch.tree
    grounding = {
        key: needs
        for key in tree.island.order
        if (needs := grounding_at(project, tree, branch.circuits, branch.wires, key)) is not None
    }
    found: dict[str, EquipmentFacts] = {}
    for part in branch.parts:
        keys = part.bay.keys
        spare = {
            key: _Spare(other.tree.gives[key], other.greatest[key], other.least[key])
            for key, other in of_keys(spares, keys).items()
        }
        made_from = (part, spare, of_keys(grounding, keys))
        found |= memo.of(part.bay.head, made_from, _pieces)
    return found


def _pieces(
    part: Part, spare: Mapping[str, _Spare], grounding: Mapping[str, GroundingFacts]
) -> dict[str, EquipmentFacts]:
    return {key: _piece(part, key, spare.get(key), grounding.get(key)) for key in part.bay.keys}


def _piece(
    part: Part, key: str, spare: _Spare | None, grounding: GroundingFacts | None
) -> EquipmentFacts:
    tree = part.bay.tree
    piece = part.bay.project.equipment[key]
    feed = tree.island.feed.get(key)
    loads = part.loads[key]
    at_service = key in tree.at_service
    separate = isinstance(piece, r.Transformer) and key not in tree.ahead
    return EquipmentFacts(
        piece=piece,
        work=work_of(piece),
        supplied=True,
        system=tree.gives[key],
        feed=feed.run if feed else None,
        parent=feed.parent if feed else None,
        runs_out=tuple(tree.island.feed[child].run for child in tree.children[key]),
        at_service=at_service,
        ahead_of_service=key in tree.ahead,
        may_bond=at_service or separate or key in tree.ahead,
        device_ahead_a=part.down.ahead[key].protecting_a,
        chosen=part.down.chosen.get(key, {}),
        tally=loads.below.tally,
        demand=loads.demand,
        transferred=loads.transferred,
        fault=_fault(part, key, spare),
        grounding=grounding,
        missing=tuple(_missing(piece, part, key)),
        assumptions=tuple(_assumed(piece)),
    )


def _fault(part: Part, key: str, spare: _Spare | None) -> Fault | None:
    system = part.bay.tree.gives[key]
    if system.name == "primary":
        return None
    source = levels(part.greatest[key], system)
    greatest = _raised(source, part.machines_ka[key])
    least = levels(part.least[key], system)
    at_most = bool(source.greatest_ka) and not least.greatest_ka
    if spare is not None:
        greatest = _either(greatest, levels(spare.greatest, spare.system), max)
        least = _either(least, levels(spare.least, spare.system), min)
    if not greatest.greatest_ka:
        # what lies ahead is not known: 0 kA would pass every rating and stand on a label
        return None
    return Fault(greatest, source, least, part.machines_ka[key], at_most)


def _raised(found: FaultLevels, by_ka: float) -> FaultLevels:
    """Add what machines contribute between two lines to every fault but one to ground.

    To a three-phase fault they give 2/sqrt(3) of it, as the source does.
    """

    def raised(level: float | None, factor: float = 1.0) -> float | None:
        return None if level is None else level + factor * by_ka

    return FaultLevels(
        raised(found.line_line_ka),
        raised(found.line_neutral_ka),
        raised(found.three_phase_ka, 2 / 3**0.5),
        found.ground_ka,
    )


def _either(
    one: FaultLevels, other: FaultLevels, choose: Callable[[float, float], float]
) -> FaultLevels:
    """Take the larger or the smaller of each kind of fault, of two states."""

    def pick(a: float | None, b: float | None) -> float | None:
        if a is None or b is None:
            return b if a is None else a
        return choose(a, b)

    return FaultLevels(
        pick(one.line_line_ka, other.line_line_ka),
        pick(one.line_neutral_ka, other.line_neutral_ka),
        pick(one.three_phase_ka, other.three_phase_ka),
        pick(one.ground_ka, other.ground_ka),
    )


def _missing(piece: r.Equipment, part: Part, key: str) -> Iterator[str]:
    """What would have to be read off or entered before this piece can be checked."""
    read = "read it off" if work_of(piece) != "new" else "enter it"
    if isinstance(piece, r.Charger) and charger_a(piece) is None:
        yield f"nameplate current of the charger: {read}"
    system = part.bay.tree.arrives[key]
    if isinstance(piece, r.Motor) and motor_a(piece, system.legs, system) is None:
        yield f"full-load current or horsepower of the motor: {read}"
    if isinstance(piece, r.Load) and not outlet_load(piece, part.bay.project.settings.edition):
        yield f"nameplate load: {read}"
    if isinstance(piece, r.DwellingLoad) and not piece.floor_area_m2:
        yield "floor area, by which the lighting of the dwelling counts: enter it"
    for line in part.loads[key].demand.worksheet.lines:
        if line.label == RECORD_NOT_USED and isinstance(piece, r.Point) and piece.basis:
            yield f"measured demand not used: {line.note}"
    if work_of(piece) == "new":
        return
    needs: dict[type[r.Equipment], tuple[str, str]] = {
        r.Transformer: ("kva", "kVA on the transformer's nameplate"),
        r.Panel: ("bus_a", "bus rating on the panel's label"),
        r.Meter: ("class_a", "class of the meter socket"),
        r.Disconnect: ("rating_a", "rating of the disconnect"),
        r.TransferSwitch: ("rating_a", "rating of the transfer switch"),
        r.Inverter: ("output_a", "output current of the inverter"),
        r.Generator: ("kw", "kW on the generator's nameplate"),
    }
    needed = needs.get(type(piece))
    if needed is not None and getattr(piece, needed[0]) is None:
        yield f"{needed[1]}: {read}"
    main = getattr(piece, "main", None)
    if isinstance(main, r.Device) and main.rating_a is None:
        yield f"rating of the main device: {read}"


def _assumed(piece: r.Equipment) -> Iterator[str]:
    if isinstance(piece, r.Transformer):
        if piece.impedance_pct is None:
            yield "impedance not known: the range usual for its size (verify in field)"
        elif piece.impedance_basis != "nameplate":
            yield "impedance not read from the nameplate: taken 10 % lower and higher"
    if isinstance(piece, r.UtilitySource) and piece.fault_ka is None:
        yield "utility fault current not stated: taken as infinite"
    if isinstance(piece, r.Load) and piece.continuous is None:
        if piece.category not in SELDOM_CONTINUOUS:
            yield "taken as continuous"
        if piece.category == "welder" and piece.duty_pct is None:
            yield "duty cycle of the welder not known: taken as 100 %"
    if isinstance(piece, r.DwellingLoad):
        typical = [each.name or each.kind for each in piece.appliances if each.typical]
        if typical:
            yield f"usual figures, not read off: {', '.join(typical)}"
    if isinstance(piece, r.Point) and piece.measured is not None and piece.basis == "measured":
        record = piece.measured
        if record.unit == "kW" and record.power_factor is None:
            yield f"power factor of the measured demand taken as {ASSUMED_POWER_FACTOR}"


def run_facts(
    project: Project,
    solved: Solved,
    pieces: Sequence[Mapping[str, EquipmentFacts]],
    memo: Memo,
) -> list[Mapping[str, RunFacts]]:
    """Facts of every standing run: island by island, then of what nothing supplies.

    `pieces` are the equipment facts, island by island too; they tell the faults at the devices.
    """
    found: list[Mapping[str, RunFacts]] = []
    on_standby = [("standby", branch, _NO_PIECES) for branch in solved.standby]
    normally = [("normal", *each) for each in zip(solved.normal, pieces, strict=False)]
    for state, branch, own in (*on_standby, *normally):
        place = (state, "runs", branch.tree.island.root)
        make = partial(_runs_of_branch, memo.within(place))
        found.append(memo.of(place, (branch, own), make))
    idle = _besides(project.runs, found)
    return [*found, memo.of("idle runs", (idle,), _idle_runs)]


def _idle_runs(runs: Mapping[str, r.Run]) -> dict[str, RunFacts]:
    return {
        key: RunFacts(
            run, work_of(run), supplied=False,
            interrupting_ka=interrupting_of(run.device, new=False, fault_ka=None),
        )
        for key, run in runs.items()
    }  # fmt: skip


def _besides(table: Mapping[str, T], found: Iterable[Mapping[str, object]]) -> dict[str, T]:
    """Give what of a table is in none of these."""
    known = set().union(*found)
    return {key: table[key] for key in table.keys() - known}


class _Runs(NamedTuple):
    """Facts of runs by their ids, and the drop from the service to each piece [per cent]."""

    facts: Mapping[str, RunFacts]
    at_piece: Mapping[str, float | None]


def _runs_of_branch(
    memo: Memo, branch: Branch, pieces: Mapping[str, EquipmentFacts]
) -> dict[str, RunFacts]:
    """Facts of an island's runs, on standby of those that the normal state does not supply."""
    memo.turn()
    known = branch.plot.known
    found: dict[str, RunFacts] = {}
    at_piece: dict[str, float | None] = {}
    for part in branch.parts:
        feeds = part.bay.tree.island.feed
        here = [feeds[key].run for key in part.bay.keys if key in feeds]
        wanted = tuple(run for run in here if known is None or run not in known)
        inside = of_keys(branch.plot.whole.inside, tuple(part.bay.project.raceways))
        above = at_piece.get(part.bay.above or "")
        drawn = part.bay.project.runs
        sources = {drawn[run].source for run in wanted}
        faults = {key: pieces[key].fault for key in sources if key in pieces}
        made_from = (part, wanted, inside, faults, above, known is None)
        runs = memo.of(part.bay.head, made_from, _runs)
        found |= runs.facts
        at_piece |= runs.at_piece
    return found


def _runs(
    part: Part,
    wanted: tuple[str, ...],
    inside: Mapping[str, tuple[str, ...]],
    faults: Mapping[str, Fault | None],
    above: float | None,
    normal: bool,
) -> _Runs:
    """Facts of the wanted runs of a bay. Drops are added up in the normal state only."""
    feeds, drawn = part.bay.tree.island.feed, part.bay.project.runs
    drops = {run: _drop(part, drawn[run]) for run in wanted}
    totals, at_piece = _total_drops(part, drops, above) if normal else ({}, {})
    facts = {}
    for key in part.bay.keys:
        if key in feeds and feeds[key].run in wanted:
            run = drawn[feeds[key].run]
            fault = faults.get(run.source)
            facts[run.id] = _run(part, run, key, drops[run.id], totals.get(run.id), inside, fault)
    return _Runs(facts, at_piece)


def facts_of_raceways(project: Project, solved: Solved, memo: Memo) -> dict[str, RacewayFacts]:
    """Facts of every raceway that runs share, in id order."""
    if not project.raceways:
        return {}
    branches = (*solved.standby, *solved.normal)
    circuits = {key: circuit for branch in branches for key, circuit in branch.circuits.items()}
    wires = {key: wire for branch in branches for key, wire in branch.wires.items()}
    return raceway_facts(project, circuits, wires, memo)


def _run(
    part: Part,
    run: r.Run,
    target: str,
    drop_pct: float | None,
    total_pct: float | None,
    inside: Mapping[str, tuple[str, ...]],
    fault: Fault | None,
) -> RunFacts:
    circuit = part.down.circuits[run.id]
    wires = part.wires[run.id]
    system = circuit.system
    volts = volts_between(system.legs, system)
    least = levels(part.least[target], part.bay.tree.gives[target])
    lines = [*circuit.demand.worksheet.lines, *wires.lines]
    if drop_pct is not None and run.length_m:
        lines.append(
            Line(
                "Design drop at calculated current, conductors at 75 C", None, None,
                drop_pct * volts / 100, "V", cite(_drop_article(run), circuit.edition),
                f"{drop_pct:.2f} %; resistances of NEC Chapter 9 Table 9",
            )
        )  # fmt: skip
    missing = list(wires.missing)
    if run.length_m is None and _leaves_structure(part, run):
        missing.append("length")
    bundle = _bundle(part, run)
    fault_ka = None
    if fault is not None and wires.device.value is not None:
        fault_ka = fault.greatest.seen_ka(len(system.legs)) or None
    return RunFacts(
        run=run,
        work=circuit.work,
        supplied=True,
        system=system,
        legs=system.legs,
        volts=volts,
        demand=circuit.demand,
        device=wires.device,
        interrupting_ka=interrupting_of(run.device, new=circuit.work == "new", fault_ka=fault_ka),
        protecting_a=wires.protecting_a,
        size=wires.size,
        material=wires.material,
        insulation=wires.insulation,
        neutral=wires.neutral,
        grounding=wires.grounding,
        grounding_material=wires.grounding_material,
        raceway=wires.raceway,
        terminal_c=wires.terminal_c,
        ampacity=wires.ampacity,
        upsized_from=wires.upsized_from,
        grounding_needed=wires.grounding_needed,
        sets=wires.sets,
        needed=wires.needed,
        governs=wires.governs,
        largest_device=wires.largest_device,
        met_by_310_12=wires.met_by_310_12,
        tap=wires.tap,
        current_carrying=wires.current_carrying,
        hottest_c=wires.hottest_c,
        wet=wires.wet,
        neutral_needed=wires.neutral_needed,
        place=wires.place,
        trade_size=wires.trade_size,
        fill=wires.fill,
        cover=wires.cover,
        cover_needed_m=wires.cover_needed_m,
        companions=companions(run, inside),
        drop_v=None if drop_pct is None else drop_pct * volts / 100,
        drop_pct=drop_pct,
        total_drop_pct=total_pct,
        ground_a=None if least.ground_ka is None else 1000 * least.ground_ka,
        worksheet=Worksheet(f"Run to {part.down.settled.equipment[target].name}", tuple(lines)),
        missing=() if bundle else tuple(missing),
        assumptions=tuple(_run_assumptions(run, wires)),
    )


def _bundle(part: Part, run: r.Run) -> bool:
    """A run that is a joint by bus, or stands for all circuits of a dwelling, has no wires."""
    target = part.down.settled.equipment[run.target]
    return run.length_m == 0 or isinstance(target, r.DwellingLoad) or run.owner == "utility"


def _leaves_structure(part: Part, run: r.Run) -> bool:
    pieces = part.down.settled.equipment
    return pieces[run.source].structure != pieces[run.target].structure


def _drop_article(run: r.Run) -> str:
    return "drop_branch" if run.role == "branch" else "drop_feeder"


def _drop(part: Part, run: r.Run) -> float | None:
    """Design drop of a run alone [per cent]; None where its wires or length are not known."""
    circuit = part.down.circuits[run.id]
    wires = part.wires[run.id]
    if isinstance(part.down.settled.equipment[run.target], r.DwellingLoad):
        return 0.0
    line = conductor_impedance(run, wires, wires.size.value, HOT_C)
    if line is None:
        return None
    neutral = conductor_impedance(run, wires, wires.neutral.value, HOT_C)
    return design_drop(circuit.demand.calculated_a, circuit.system, line, neutral)


def _total_drops(
    part: Part, drops: Mapping[str, float | None], above: float | None
) -> tuple[dict[str, float | None], dict[str, float | None]]:
    """Design drops added along the path from the service, a customer transformer's included.

    By run and by piece, from the `drops` of the bay's runs and what came together `above` it.
    """
    tree = part.bay.tree
    at_piece: dict[str, float | None] = {}
    totals: dict[str, float | None] = {}
    for key in part.bay.keys:
        feed = tree.island.feed.get(key)
        if feed is None or key in tree.ahead or key in tree.at_service:
            at_piece[key] = 0.0
            continue
        before = at_piece.get(feed.parent, above)
        here = drops[feed.run]
        totals[feed.run] = None if before is None or here is None else before + here
        at_piece[key] = totals[feed.run]
        regulation = _regulation(part, key, tree.gives[key])
        if regulation and at_piece[key] is not None:
            at_piece[key] = (at_piece[key] or 0.0) + regulation
    return totals, at_piece


def _regulation(part: Part, key: str, system: System) -> float:
    """Drop in a customer transformer's winding at its calculated load [per cent].

    The resistance alone, as in the runs: of the full winding over the line voltage, for three
    phases of a leg over its voltage.
    """
    piece = part.down.settled.equipment[key]
    if not isinstance(piece, r.Transformer):
        return 0.0
    ohms = transformer_ohms(piece, system, "least")
    if ohms is None:
        return 0.0
    across_v = system.line_v / (3**0.5 if system.phases == 3 else 1.0)
    return 100 * part.loads[key].demand.heavier_a * ohms.real / across_v


def _run_assumptions(run: r.Run, wires: Wires) -> Iterator[str]:
    if run.length_m == 0:
        # a joint by bus has no conductors to assume anything of
        return
    if wires.terminal_c.how == "assumed" and run.owner == "customer":
        yield f"terminals taken at {wires.terminal_c.value} C: {wires.terminal_c.why}"
    if wires.insulation.how == "assumed" and run.owner == "customer":
        yield f"insulation taken as {wires.insulation.value}: {wires.insulation.why}"
    if wires.raceway.how == "assumed":
        yield f"raceway not known: {wires.raceway.why}"
