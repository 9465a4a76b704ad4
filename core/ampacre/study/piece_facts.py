"""Facts of pieces from what the passes found: one record for each that stands."""

from collections.abc import Callable, Iterator, Mapping
from functools import partial
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.model.standing import work_of
from ampacre.model.system import System
from ampacre.study.bays import besides, of_keys
from ampacre.study.branch import Branch, Part
from ampacre.study.electrodes import grounding_at
from ampacre.study.facts import (
    EquipmentFacts,
    Fault,
    FaultLevels,
    GroundingFacts,
    Starting,
    Watched,
)
from ampacre.study.fault import levels
from ampacre.study.impedance import Loops
from ampacre.study.leaves import charger_a, motor_a
from ampacre.study.loads import Loads
from ampacre.study.measured import ASSUMED_POWER_FACTOR
from ampacre.study.memo import Memo
from ampacre.study.outlets import outlet_load, taken_continuous
from ampacre.study.solve import Solved
from ampacre.study.starting import starting_of, transient
from ampacre.study.upward import RECORD_NOT_USED

__all__ = ["equipment_facts"]


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
    idle = besides(project.equipment, found)
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
        branch.tree.gives[key], branch.greatest[key], branch.least[key], branch.source_name, more
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
    if isinstance(piece, r.DwellingLoad):
        unread = [a.name or a.kind for a in piece.appliances if a.va is a.full_load_a is None]
        if unread:
            yield f"nameplate load of {', '.join(unread)}: {read}"
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
        if taken_continuous(piece):
            yield "taken as continuous"
        if piece.category == "welder" and piece.duty_pct is None:
            yield "duty cycle of the welder not known: taken as 100 %"
    if isinstance(piece, r.DwellingLoad):
        typical = [each.name or each.kind for each in piece.appliances if each.typical]
        if typical:
            yield f"usual figures, not read off: {', '.join(typical)}"
    if isinstance(piece, r.Motor) and piece.serves and piece.conditioning is None:
        as_what = "heat pump" if piece.compressor else "motor that neither heats nor cools rooms"
        yield f"taken as a {as_what}"
    if isinstance(piece, r.Point) and piece.measured is not None and piece.basis == "measured":
        record = piece.measured
        if record.unit == "kW" and record.power_factor is None:
            yield f"power factor of the measured demand taken as {ASSUMED_POWER_FACTOR}"
