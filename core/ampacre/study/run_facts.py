"""Facts of runs and raceways from what the passes found: one record for each that stands."""

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from typing import Final, NamedTuple

from ampacre.codebook.articles import cite
from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.model.standing import work_of
from ampacre.model.system import System, volts_between
from ampacre.study.bays import besides, of_keys
from ampacre.study.branch import Branch, Part
from ampacre.study.design_drop import LAGGING, lagging
from ampacre.study.drops import Along, drop_of, total_drops
from ampacre.study.facts import (
    EquipmentFacts,
    Fault,
    Line,
    RacewayFacts,
    RunFacts,
    Worksheet,
)
from ampacre.study.fault import levels
from ampacre.study.impedance import Loops
from ampacre.study.memo import Memo
from ampacre.study.settle import interrupting_of
from ampacre.study.shared import companions, raceway_facts
from ampacre.study.solve import Solved
from ampacre.study.wires import Wires

__all__ = ["facts_of_raceways", "run_facts"]

_NO_PIECES: Final[Mapping[str, EquipmentFacts]] = {}


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
    idle = besides(project.runs, found)
    return [*found, memo.of("idle runs", (idle,), _idle_runs)]


def _idle_runs(runs: Mapping[str, r.Run]) -> dict[str, RunFacts]:
    return {
        key: RunFacts(
            run, work_of(run), supplied=False,
            interrupting_ka=interrupting_of(run.device, new=False, fault_ka=None),
        )
        for key, run in runs.items()
    }  # fmt: skip


class _Runs(NamedTuple):
    """Facts of runs by their ids, and the drop from the service to each piece."""

    facts: Mapping[str, RunFacts]
    at_piece: Mapping[str, Along]


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
    return _ground_fault(branch.least[key], branch.tree.gives[key], device_a, branch.source_name)


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
    on = "" if known is None else branch.source_name
    found: dict[str, RunFacts] = {}
    at_piece: dict[str, Along] = {}
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
    above: Along | None,
    on: str,
) -> _Runs:
    """Facts of the wanted runs of a bay. Drops are added up in the normal state only.

    `standby` are the ground faults of those that a standby source supplies too; `on` names the one
    that supplies the island, "" in the normal state.
    """
    feeds, drawn = part.bay.tree.island.feed, part.bay.project.runs
    drops = {run: drop_of(part, drawn[run]) for run in wanted}
    totals, at_piece = ({}, {}) if on else total_drops(part, drops, above)
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
                totals.get(run.id, Along(None)),
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
    along: Along,
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
    with_reactance_pct = drop_of(part, run, lagging)
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


def _run_assumptions(run: r.Run, wires: Wires) -> Iterator[str]:
    if run.length_m == 0:
        # a joint by bus has no conductors to assume anything of
        return
    if wires.terminal_c.how == "assumed" and run.owner == "customer":
        yield f"terminals taken at {wires.terminal_c.value} C: {wires.terminal_c.why}"
    if wires.insulation.how == "assumed" and run.owner == "customer":
        yield f"insulation taken as {wires.insulation.value}: {wires.insulation.why}"
    if wires.raceway.how == "assumed" and run.owner == "customer":
        yield f"raceway not known: {wires.raceway.why}"
