"""The words that stand beside a piece on the one-line diagram.

How many lines a label has depends on the kind of piece, its name and what is entered for it, never
on a computed number. On the screen each line is shortened to the width reserved for it; sheets give
it the room that it needs (`rooms`).
"""

from typing import cast

from ampacre.model import records as r
from ampacre.model.standing import work_of
from ampacre.picture.lettering import shorten, text_width_mm, wrap
from ampacre.quantity import UnitSystem, show
from ampacre.sheets.labelling import METALS, WORK_MARKS, ShownWork, Words, shown_work
from ampacre.sheets.pen import CAPITALS_MM
from ampacre.sheets.ratings import bound_mark, main_words, rated_ka
from ampacre.study.facts import EquipmentFacts
from ampacre.study.settle import filled

__all__ = [
    "PIECE_LINES",
    "electrode_line",
    "electrode_words",
    "load_line",
    "load_words",
    "motor_words",
    "name_lines",
    "piece_words",
    "row_name",
    "sizing_line",
    "with_choices",
]

PIECE_LINES: dict[type[r.Equipment], int] = {
    r.UtilitySource: 2,
    r.Transformer: 4,
    r.Meter: 3,
    r.Disconnect: 4,
    r.Panel: 4,
    r.TransferSwitch: 4,
    r.Generator: 3,
    r.Inverter: 2,
    r.Battery: 2,
    r.Charger: 2,
    r.Motor: 1,
    r.Load: 1,
    r.DwellingLoad: 1,
    r.Pedestal: 2,
    r.Junction: 1,
}
"""Lines below the name, by kind."""


def row_name(piece: r.Equipment) -> str:
    """Give a piece's name in a list, with its mark where it does not simply stay."""
    work = shown_work(piece)
    return piece.name if work == "existing" else f"{WORK_MARKS[work]} {piece.name}"


def name_lines(name: str, work: ShownWork, width_mm: float) -> tuple[str, ...]:
    """Break a piece's name and its mark into one or two lines."""
    lines = wrap(f"{name or 'no name'} {WORK_MARKS[work]}", width_mm, CAPITALS_MM, bold=True)
    if len(lines) <= 2:
        return lines
    mark = f" {WORK_MARKS[work]}"
    room = width_mm - text_width_mm(mark, CAPITALS_MM, bold=True)
    rest = " ".join(lines[1:]).removesuffix(mark)
    return lines[0], shorten(rest, room, CAPITALS_MM, bold=True) + mark


def piece_words(piece: r.Equipment, facts: EquipmentFacts | None, units: UnitSystem) -> list[Words]:
    """Give the lines below a piece's name, as many as `PIECE_LINES` says."""
    if facts:
        piece = with_choices(facts)
    unread = "not chosen" if work_of(piece) == "new" else "not read"

    def rated(value: float | None, unit: str) -> str:
        return unread if value is None else show(value, unit)

    match piece:
        case r.UtilitySource():
            primary = piece.system == "primary"
            system = show(piece.primary_v, "v") if primary else f"{piece.system} V"
            stated = f"fault {show(piece.fault_ka, 'ka')}" if piece.fault_ka else "infinite source*"
            return [Words(f"{system} supply"), Words(stated, "fault")]
        case r.Transformer():
            return [
                Words(f"{rated(piece.kva, 'kva')}, {piece.system} V"),
                Words(f"impedance {rated(piece.impedance_pct, 'pct')}"),
                _kva_load(piece, facts),
                _fault(facts),
            ]
        case r.Meter():
            return [
                Words(f"class {rated(piece.class_a, 'a')}, {piece.role}"),
                load_line(facts),
                _fault(facts, rated_ka(piece)),
            ]
        case r.Disconnect():
            switch = f"switch {rated(piece.rating_a, 'a')}"
            rating = main_words(piece) if piece.main else switch
            return [
                Words(rating),
                load_line(facts),
                sizing_line(facts),
                _fault(facts, rated_ka(piece)),
            ]
        case r.Panel():
            volts = f", {facts.system.name} V" if facts and facts.system else ""
            loads = (load_line(facts).text, sizing_line(facts).text)
            return [
                Words(f"bus {rated(piece.bus_a, 'a')}{volts}"),
                Words(main_words(piece)),
                Words(", ".join(filter(None, loads)), "calculated"),
                _fault(facts, rated_ka(piece)),
            ]
        case r.TransferSwitch():
            automatic = {True: ", automatic", False: ", manual", None: ""}
            neutral = {True: "switched", False: "solid", None: unread}
            return [
                Words(f"{rated(piece.rating_a, 'a')}{automatic[piece.automatic]}"),
                Words(f"neutral {neutral[piece.neutral_switched]}"),
                load_line(facts),
                _fault(facts, rated_ka(piece)),
            ]
        case r.Generator():
            ratings = [show(piece.kw, "kw")] if piece.kw else []
            ratings += [show(piece.kva, "kva")] if piece.kva else []
            neutral = {True: "bonded", False: "floating", None: unread}
            return [
                Words(" / ".join(ratings) or f"rating {unread}"),
                Words(f"{piece.system} V"),
                Words(f"neutral {neutral[piece.neutral_bonded]}"),
            ]
        case r.Inverter():
            volts = f"{facts.system.name} V" if facts and facts.system else ""
            return [Words(f"output {rated(piece.output_a, 'a')}"), Words(volts)]
        case r.Battery():
            output = f", {show(piece.output_a, 'a')}" if piece.output_a else ""
            way = "can carry an island" if piece.forming else "follows the supply"
            return [Words(f"{rated(piece.energy_kwh, 'kwh')}{output}"), Words(way)]
        case r.Charger():
            locked = ", locked" if piece.setting_a and piece.setting_locked else ""
            setting = f"set to {show(piece.setting_a, 'a')}" if piece.setting_a else "no setting"
            return [
                Words(setting + locked, "setting"),
                Words(f"nameplate {rated(piece.nameplate_a, 'a')}"),
            ]
        case r.Pedestal():
            outlets = " + ".join(f"{rating}" for rating in piece.receptacles_a)
            return [Words(f"outlets {outlets} A"), load_line(facts)]
        case r.Motor() | r.Load() | r.DwellingLoad():
            return [load_words(piece, facts, units)]
    return [load_line(facts)]


def with_choices(facts: EquipmentFacts) -> r.Equipment:
    """Give a piece with the ratings that were chosen for it in place."""
    piece = cast("r.AnyEquipment", facts.piece)
    return filled(piece, dict(facts.chosen)) if facts.chosen else piece


def load_words(piece: r.Equipment, facts: EquipmentFacts | None, units: UnitSystem) -> Words:
    """Give the load of a piece in a few characters: "17 A", "5.5 kVA"."""
    match piece:
        case r.Motor(full_load_a=float() | int() as current):
            return Words(show(current, "a"), "load")
        case r.Motor(power_hp=float() | int() as power):
            return Words(show(power, "hp"), "load")
        case r.Load(va=float() | int() as va):
            return Words(_va(va), "load")
        case r.DwellingLoad():
            if facts and facts.demand:
                return Words(_va(facts.demand.connected_va), "load")
            return Words(show(piece.floor_area_m2, "m2", units), "load")
    return Words(_not_known(piece), "load")


def _not_known(piece: r.Equipment) -> str:
    return "to enter" if work_of(piece) == "new" else "not read"


def motor_words(motor: r.Motor, volts: float) -> str:
    """Give power, voltage and full-load current of a motor, of what is known."""
    volts = motor.volts or volts
    known = (
        show(motor.power_hp, "hp") if motor.power_hp else "",
        show(volts, "v") if volts else "",
        show(motor.full_load_a, "a") if motor.full_load_a else "",
    )
    if motor.power_hp or motor.full_load_a:
        return ", ".join(filter(None, known))
    return _not_known(motor)


def _va(va: float) -> str:
    return show(va / 1000, "kva") if va >= 1000 else show(va, "va")


def load_line(facts: EquipmentFacts | None) -> Words:
    """Say the calculated current of the heavier leg."""
    if not facts or not facts.demand:
        return Words("", "calculated")
    return Words(f"load {show(facts.demand.heavier_a, 'a')}", "calculated")


def sizing_line(facts: EquipmentFacts | None) -> Words:
    """Say the current that devices face."""
    if not facts or not facts.demand:
        return Words("", "sizing")
    return Words(f"sizing {show(facts.demand.heavier_sizing_a, 'a')}", "sizing")


def _kva_load(piece: r.Transformer, facts: EquipmentFacts | None) -> Words:
    if not facts or not facts.demand:
        return Words("", "calculated")
    va = facts.demand.calculated_va
    share = f", {va / piece.kva / 10:.0f} %" if piece.kva else ""
    return Words(f"load {show(va / 1000, 'kva')}{share}", "calculated")


def _fault(facts: EquipmentFacts | None, rated_ka: float | None = None) -> Words:
    if not facts or not facts.fault:
        return Words("", "fault")
    fault, mark = show(facts.fault.greatest.greatest_ka, "ka"), bound_mark(facts)
    if rated_ka:
        share = f"{fault.removesuffix(' kA')}{mark} of {show(rated_ka, 'ka')}"
        return Words(f"fault {share}", "fault")
    return Words(f"fault {fault}{mark}", "fault")


_COUNTED = ("rod", "ring", "plate", "metal water pipe")


def electrode_words(record: r.Grounding, units: UnitSystem, *, brief: bool = False) -> str:
    """Say the electrodes of a place: "2 rods 8 ft, 6 ft apart"; in brief without their length."""
    parts = []
    for each in record.electrodes:
        plural = f"{each.kind}s" if each.kind in _COUNTED else f"x {each.kind}"
        words = f"{each.count} {plural}" if each.count > 1 else each.kind
        if each.length_m and not brief:
            words += f" {show(each.length_m, 'm', units)}"
        if each.spacing_m:
            words += f", {show(each.spacing_m, 'm', units)} apart"
        if each.resistance_ohm is not None:
            words += f", measured {each.resistance_ohm:g} ohm"
        parts.append(words)
    return "; ".join(parts)


def electrode_line(record: r.Grounding, units: UnitSystem) -> Words:
    """Give the line beside a piece: electrode conductor, then the electrodes."""
    metal = METALS[record.conductor_material or "cu"]
    conductor = f"{record.conductor} {metal}" if record.conductor else "not read"
    electrodes = electrode_words(record, units, brief=True) or "none read"
    return Words(f"GEC {conductor}: {electrodes}", "electrodes")
