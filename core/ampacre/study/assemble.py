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
from ampacre.study.design_drop import LAGGING, design_drop, lagging
from ampacre.study.electrodes import grounding_at
from ampacre.study.facts import (
    EquipmentFacts,
    Fault,
    FaultLevels,
    GroundingFacts,
    Line,
    RacewayFacts,
    RunFacts,
    Starting,
    Watched,
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
from ampacre.study.starting import starting_of, transient
from ampacre.study.upward import RECORD_NOT_USED, Loads
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
    """What a piece sees of a standby supply: loops of both studies, and its generator.

    `more` is by how much the generator's loop grows while a motor starts [ohm].
    """

    system: System
    greatest: Loops
    least: Loops
    name: str
    more: complex


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
        spare = {key: _spare(other, key) for key, other in of_keys(spares, keys).items()}
        made_from = (part, spare, of_keys(grounding, keys))
        found |= memo.of(part.bay.head, made_from, _pieces)
    return found


def _spare(branch: Branch, key: str) -> _Spare:
    root = branch.tree.island.root
    piece = branch.plot.whole.project.equipment[root]
    more = transient(piece, branch.least[root].line_line)
    return _Spare(
        branch.tree.gives[key], branch.greatest[key], branch.least[key], _root_name(branch), more
    )


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
    fault = _fault(part, key, spare)
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
        device_ahead_a=part.down.ahead[key].known_a,
        ahead_unread=part.down.ahead[key].unread,
        chosen=part.down.chosen.get(key, {}),
        tally=loads.below.tally,
        demand=loads.demand,
        transferred=loads.transferred,
        watched=tuple(_watched(part.bay.project, key, loads)),
        starting=_starting(piece, part, key, spare),
        fault=fault,
        grounding=grounding,
        missing=tuple(_missing(piece, part, key)),
        assumptions=(*_assumed(piece), *_bounded(piece, fault)),
    )


def _bounded(piece: r.Equipment, fault: Fault | None) -> Iterator[str]:
    if isinstance(piece, r.Gear) and fault is not None and fault.at_most:
        yield "fault current at most: conductors or length on the way to it are not known"


def _starting(piece: r.Equipment, part: Part, key: str, spare: _Spare | None) -> Starting | None:
    if not isinstance(piece, r.Motor):
        return None
    starts = [starting_of(piece, part.bay.tree.arrives[key], part.least[key], 0j, "")]
    if spare is not None:
        starts.append(starting_of(piece, spare.system, spare.least, spare.more, spare.name))
    known = (start for start in starts if start is not None)
    return max(known, key=lambda start: start.dip_pct, default=None)


def _watched(project: Project, key: str, loads: Loads) -> Iterator[Watched]:
    for group, held in loads.figure.held.items():
        record = project.groups[group]
        if isinstance(record, r.ManagedGroup) and record.measured_at == key:
            yield Watched(group, held.limit_a, held.load_a, held.uncontrolled_a)


def _fault(part: Part, key: str, spare: _Spare | None) -> Fault | None:
    system = part.bay.tree.gives[key]
    if system.name == "primary":
        return None
    source = levels(part.greatest[key], system)
    greatest = _raised(source, part.machines_ka[key])
    least = levels(part.least[key], system)
    if spare is not None:
        greatest = _either(greatest, levels(spare.greatest, spare.system), max)
        on_standby = levels(spare.least, spare.system)
        # a set that no switch is turned to feeds no other island than that of standby
        alone = isinstance(part.bay.project.equipment[key], r.Generator)
        least = on_standby if alone else _either(least, on_standby, min)
    if not greatest.greatest_ka:
        # what lies ahead is not known: 0 kA would pass every rating and stand on a label
        return None
    at_most = part.greatest[key].bounded or (spare is not None and spare.greatest.bounded)
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
    spare = {key: branch for branch in solved.standby for key in branch.tree.island.feed}
    found: list[Mapping[str, RunFacts]] = []
    on_standby = [("standby", branch, _NO_PIECES) for branch in solved.standby]
    normally = [("normal", *each) for each in zip(solved.normal, pieces, strict=False)]
    for state, branch, own in (*on_standby, *normally):
        place = (state, "runs", branch.tree.island.root)
        spares: Mapping[str, Branch] = {}
        if state == "normal":
            spares = {key: spare[key] for key in spare.keys() & branch.loads.keys()}
        make = partial(_runs_of_branch, memo.within(place))
        found.append(memo.of(place, (branch, own, spares), make))
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


class _Along(NamedTuple):
    """Design drop from the service to a piece [per cent], and the part of it in windings."""

    total_pct: float | None = 0.0
    windings_pct: float = 0.0


class _Runs(NamedTuple):
    """Facts of runs by their ids, and the drop from the service to each piece."""

    facts: Mapping[str, RunFacts]
    at_piece: Mapping[str, _Along]


class _GroundFault(NamedTuple):
    """The least ground fault at the far end of a run in one state [A].

    `device_a` has to open then, `on` is the generator that supplies it, "" in the normal state.
    """

    amperes: float | None
    device_a: float | None
    on: str

    @property
    def weight(self) -> float:
        """How well it is cleared: times the device, or the current where no device is known."""
        return (self.amperes or 0.0) / (self.device_a or 1.0)


def _on_standby(branch: Branch, key: str) -> _GroundFault:
    run = branch.tree.island.feed[key].run
    wires = branch.wires[run]
    device_a = wires.protecting_a
    if device_a is not None and wires.device.value is None:
        # no device at its head: the one that is ahead of it on standby opens
        device_a = branch.circuits[run].device_ahead_a or device_a
    return _ground_fault(branch.least[key], branch.tree.gives[key], device_a, _root_name(branch))


def _root_name(branch: Branch) -> str:
    return branch.plot.whole.project.equipment[branch.tree.island.root].name or "standby"


def _ground_fault(loops: Loops, system: System, device_a: float | None, on: str) -> _GroundFault:
    least = levels(loops, system).ground_ka
    return _GroundFault(None if least is None else 1000 * least, device_a, on)


def _runs_of_branch(
    memo: Memo,
    branch: Branch,
    pieces: Mapping[str, EquipmentFacts],
    spares: Mapping[str, Branch],
) -> dict[str, RunFacts]:
    """Facts of an island's runs, on standby of those that the normal state does not supply."""
    memo.turn()
    known = branch.plot.known
    on = "" if known is None else _root_name(branch)
    found: dict[str, RunFacts] = {}
    at_piece: dict[str, _Along] = {}
    for part in branch.parts:
        feeds = part.bay.tree.island.feed
        here = [feeds[key].run for key in part.bay.keys if key in feeds]
        wanted = tuple(run for run in here if known is None or run not in known)
        inside = of_keys(branch.plot.whole.inside, tuple(part.bay.project.raceways))
        above = at_piece.get(part.bay.above or "")
        drawn = part.bay.project.runs
        sources = {drawn[run].source for run in wanted}
        faults = {key: pieces[key].fault for key in sources if key in pieces}
        standby = {
            feeds[key].run: _on_standby(spares[key], key)
            for key in part.bay.keys
            if key in spares and spares[key].tree.island.feed[key].run == feeds[key].run
        }
        made_from = (part, wanted, inside, faults, standby, above, on)
        runs = memo.of(part.bay.head, made_from, _runs)
        found |= runs.facts
        at_piece |= runs.at_piece
    return found


def _runs(
    part: Part,
    wanted: tuple[str, ...],
    inside: Mapping[str, tuple[str, ...]],
    faults: Mapping[str, Fault | None],
    standby: Mapping[str, _GroundFault],
    above: _Along | None,
    on: str,
) -> _Runs:
    """Facts of the wanted runs of a bay. Drops are added up in the normal state only.

    `standby` are the ground faults of those that a standby source supplies too; `on` names the one
    that supplies the island, "" in the normal state.
    """
    feeds, drawn = part.bay.tree.island.feed, part.bay.project.runs
    drops = {run: _drop(part, drawn[run]) for run in wanted}
    totals, at_piece = ({}, {}) if on else _total_drops(part, drops, above)
    facts = {}
    for key in part.bay.keys:
        if key in feeds and feeds[key].run in wanted:
            run = drawn[feeds[key].run]
            fault = faults.get(run.source)
            device_a = part.wires[run.id].protecting_a
            system = part.bay.tree.gives[key]
            grounds = [_ground_fault(part.least[key], system, device_a, on)]
            grounds += [standby[run.id]] if run.id in standby else []
            facts[run.id] = _run(
                part,
                run,
                key,
                drops[run.id],
                totals.get(run.id, _Along(None)),
                inside,
                fault,
                grounds,
            )
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
    along: _Along,
    inside: Mapping[str, tuple[str, ...]],
    fault: Fault | None,
    grounds: Sequence[_GroundFault],
) -> RunFacts:
    circuit = part.down.circuits[run.id]
    wires = part.wires[run.id]
    system = circuit.system
    volts = volts_between(system.legs, system)
    known = [each for each in grounds if each.amperes is not None]
    ground = min(known, key=lambda each: each.weight, default=_GroundFault(None, None, ""))
    lines = [*circuit.demand.worksheet.lines, *wires.lines]
    if drop_pct is not None and run.length_m:
        lines.append(
            Line(
                "Design drop at calculated current, conductors at 75 C", None, None,
                drop_pct * volts / 100, "V", cite(_drop_article(run), circuit.edition),
                f"{drop_pct:.2f} %; resistances of NEC Chapter 9 Table 9",
            )
        )  # fmt: skip
    with_reactance_pct = _drop(part, run, lagging)
    if drop_pct and with_reactance_pct is not None and with_reactance_pct > drop_pct:
        lines.append(
            Line(
                f"With reactance, were the load at a power factor of {LAGGING:g}", None, None,
                with_reactance_pct * volts / 100, "V", cite("impedance_table", circuit.edition),
                f"{with_reactance_pct:.2f} %, {100 * with_reactance_pct / drop_pct - 100:.0f} % "
                "more; the limit is compared with the design drop",
            )
        )  # fmt: skip
    if along.windings_pct and along.total_pct is not None:
        lines.append(
            Line(
                "Regulation of transformers ahead, at their calculated load", None, None,
                along.windings_pct, "pct", "common practice",
                f"by resistance; in the {along.total_pct:.2f} % from the service",
            )
        )  # fmt: skip
    missing = list(wires.missing)
    if run.length_m is None and not circuit.bundle and _leaves_structure(part, run):
        missing.append("length")
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
        neutral_enlarged=wires.neutral_enlarged,
        place=wires.place,
        trade_size=wires.trade_size,
        fill=wires.fill,
        cover=wires.cover,
        cover_needed_m=wires.cover_needed_m,
        companions=companions(run, inside),
        drop_v=None if drop_pct is None else drop_pct * volts / 100,
        drop_pct=drop_pct,
        total_drop_pct=along.total_pct,
        windings_drop_pct=along.windings_pct,
        ground_a=ground.amperes,
        ground_device_a=ground.device_a,
        ground_from=ground.on,
        lagging_drop_pct=with_reactance_pct,
        worksheet=Worksheet(f"Run to {part.down.settled.equipment[target].name}", tuple(lines)),
        missing=() if run.owner == "utility" else tuple(missing),
        assumptions=tuple(_run_assumptions(run, wires)),
    )


def _leaves_structure(part: Part, run: r.Run) -> bool:
    pieces = part.down.settled.equipment
    return pieces[run.source].structure != pieces[run.target].structure


def _drop_article(run: r.Run) -> str:
    return "drop_branch" if run.role == "branch" else "drop_feeder"


def _drop(part: Part, run: r.Run, seen_as: Callable[[complex], complex] = complex) -> float | None:
    """Design drop of a run alone [per cent]; None where its wires or length are not known.

    `seen_as` makes of an impedance what stands for its resistance.
    """
    circuit = part.down.circuits[run.id]
    wires = part.wires[run.id]
    if isinstance(part.down.settled.equipment[run.target], r.DwellingLoad):
        return 0.0
    line = conductor_impedance(run, wires, wires.size.value, HOT_C)
    if line is None:
        return None
    neutral = conductor_impedance(run, wires, wires.neutral.value, HOT_C)
    back = None if neutral is None else seen_as(neutral)
    return design_drop(circuit.demand.calculated_a, circuit.system, seen_as(line), back)


def _total_drops(
    part: Part, drops: Mapping[str, float | None], above: _Along | None
) -> tuple[dict[str, _Along], dict[str, _Along]]:
    """Design drops added along the path from the service, a customer transformer's included.

    By run and by piece, from the `drops` of the bay's runs and what came together `above` it.
    """
    tree = part.bay.tree
    at_piece: dict[str, _Along] = {}
    totals: dict[str, _Along] = {}
    for key in part.bay.keys:
        feed = tree.island.feed.get(key)
        if feed is None or key in tree.ahead or key in tree.at_service:
            at_piece[key] = _Along()
            continue
        before = at_piece.get(feed.parent, above) or _Along(None)
        totals[feed.run] = at_piece[key] = before._replace(
            total_pct=_plus(before.total_pct, drops[feed.run])
        )
        regulation = _regulation(part, key, tree.gives[key])
        at_piece[key] = _Along(
            _plus(at_piece[key].total_pct, regulation), before.windings_pct + regulation
        )
    return totals, at_piece


def _plus(one: float | None, other: float | None) -> float | None:
    return None if one is None or other is None else one + other


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
