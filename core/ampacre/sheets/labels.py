"""The words that stand beside a piece or a run on the one-line diagram.

How many lines a label has depends on the kind of piece, its name and what is entered for it, never
on a computed number. On the screen each line is shortened to the width reserved for it; sheets give
it the room that it needs (`rooms`).
"""

from typing import Literal, NamedTuple, cast

from ampacre.model import records as r
from ampacre.model.standing import Work, work_of
from ampacre.picture.lettering import shorten, text_width_mm, wrap
from ampacre.quantity import UnitSystem, show
from ampacre.sheets.pen import CAPITALS_MM
from ampacre.sheets.ratings import bound_mark, main_words, rated_ka
from ampacre.study.facts import Chosen, EquipmentFacts, RunFacts
from ampacre.study.settle import filled

__all__ = [
    "BY_BUS",
    "PIECE_LINES",
    "WORK_MARKS",
    "ShownWork",
    "Words",
    "device_words",
    "electrode_line",
    "electrode_words",
    "goes_beside",
    "grounding_words",
    "load_line",
    "load_words",
    "motor_words",
    "name_lines",
    "named_device",
    "numbered_device",
    "piece_words",
    "rating_words",
    "row_name",
    "run_words",
    "shown_work",
    "size_words",
    "sizing_line",
    "spaces_words",
    "with_choices",
    "work_mark",
]

ShownWork = Work | Literal["replaced"]

WORK_MARKS: dict[ShownWork, str] = {
    "existing": "(E)",
    "new": "(N)",
    "replaced": "(replaced)",
    "reused": "(reused)",
    "removed": "(remove)",
}

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

_METALS = {"cu": "CU", "al": "AL"}
_RACEWAYS = {
    "pvc": "in PVC",
    "pvc 80": "in PVC 80",
    "imc": "in IMC",
    "emt": "in EMT",
    "fmc": "in FMC",
    "lfmc": "in LFMC",
    "lfnc": "in LFNC",
    "ent": "in ENT",
    "steel": "in steel",
    "aluminum": "in alum.",
    "direct burial": "buried",
    "cable": "cable",
}


class Words(NamedTuple):
    """One line of a label, and the name of the number that it shows."""

    text: str
    field: str = ""


def goes_beside(name: str) -> bool:
    """Tell whether a run's name is short enough to stand in one line with its device or mark."""
    return bool(name) and text_width_mm(f"{name}: ", CAPITALS_MM) <= 12.5


def row_name(piece: r.Equipment) -> str:
    """Give a piece's name in a list, with its mark where it does not simply stay."""
    work = shown_work(piece)
    return piece.name if work == "existing" else f"{WORK_MARKS[work]} {piece.name}"


def shown_work(record: r.Standing) -> ShownWork:
    """Give the word of the sheets for a record: what comes in place of what was is replaced."""
    was = record.was if isinstance(record, (r.Equipment, r.Run)) else None
    return "replaced" if was is not None and record.until is None else work_of(record)


def work_mark(record: r.Standing) -> str:
    """Give the mark beside a name: "(E)", "(N)"."""
    return WORK_MARKS[shown_work(record)]


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
    return Words("to enter" if work_of(piece) == "new" else "not read", "load")


def motor_words(motor: r.Motor, volts: float) -> str:
    """Give power, voltage and full-load current of a motor, of what is known."""
    volts = motor.volts or volts
    known = (
        show(motor.power_hp, "hp") if motor.power_hp else "",
        show(volts, "v") if volts else "",
        show(motor.full_load_a, "a") if motor.full_load_a else "",
    )
    return ", ".join(filter(None, known)) if motor.power_hp or motor.full_load_a else "not read"


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
    metal = _METALS[record.conductor_material or "cu"]
    conductor = f"{record.conductor} {metal}" if record.conductor else "not read"
    electrodes = electrode_words(record, units, brief=True) or "none read"
    return Words(f"GEC {conductor}: {electrodes}", "electrodes")


def _assumed(value: Chosen[str | None] | Chosen[float | None]) -> str:
    """Give the mark of what nobody entered or chose: to be verified in the field."""
    return "*" if value.how == "assumed" else ""


def _found(facts: RunFacts | None) -> RunFacts | None:
    """Give facts where they say more than the record: of what nothing supplies they say nothing."""
    return facts if facts and facts.supplied else None


def device_words(run: r.Run, facts: RunFacts | None) -> Words:
    """Give the device of a run: "150 A 2P, 22 kA"; of one that goes by the spaces that it takes."""
    facts = _found(facts)
    rating = facts.device.value if facts else (run.device.rating_a if run.device else None)
    if rating is None:
        return Words("device not read" if run.since is None else "device not chosen", "device")
    count = len(facts.legs) if facts else len(run.spaces)
    poles = f" {count}P" if count else ""
    mark = _assumed(facts.device) if facts else ""
    stated = run.device.interrupting_ka if run.device else None
    interrupting = facts.interrupting_ka.value if facts else stated
    kilo = f", {show(interrupting, 'ka')}" if interrupting else ""
    gone = f" {WORK_MARKS['removed']}" if run.until is not None else ""
    return Words(f"{show(rating, 'a')}{mark}{poles}{kilo}{gone}", "device")


def numbered_device(run: r.Run, facts: RunFacts | None) -> Words:
    """Give the device of a run with the number that its circuit has in the panel it leaves."""
    words = device_words(run, facts)
    if not run.spaces or run.protected_at != "supply":
        return words
    return Words(f"{words.text}, ckt {spaces_words(run)}", words.field)


def named_device(run: r.Run, words: Words) -> Words:
    """Put a run's name before the words of its device, where it is short: "F-1: 60 A 2P"."""
    if not goes_beside(run.name):
        return words
    return Words(f"{run.name}: {words.text}".removesuffix(": "), words.field or "name")


def rating_words(run: r.Run, facts: RunFacts | None) -> Words:
    """Give the rating alone, for a list: "30 A"; nothing where there is no device."""
    facts = _found(facts)
    rating = facts.device.value if facts else (run.device.rating_a if run.device else None)
    if rating is None:
        return Words("" if run.protected_at == "none" else "?", "device")
    return Words(show(rating, "a") + (_assumed(facts.device) if facts else ""), "device")


def size_words(run: r.Run, facts: RunFacts | None, insulation: str = "") -> str:
    """Give the circuit conductors of a run: "3-4/0 AL", "(2) 2-350 AL, 4/0 N"."""
    facts = _found(facts)
    size = facts.size.value if facts else run.conductors.size
    if size is None:
        if run.owner == "utility":
            return "utility's conductors"
        return "wire not read" if run.since is None else "wire not chosen"
    metal = (facts.material.value if facts else run.conductors.material) or ""
    neutral = facts.neutral.value if facts else run.conductors.neutral
    count = len(facts.legs) if facts and facts.legs else 0
    whole = neutral == size and count
    number = f"{count + bool(whole)}-" if count else ""
    count_sets = facts.sets.value if facts else run.conductors.sets or 1
    sets = f"({count_sets}) " if count_sets > 1 else ""
    beside = "" if whole or neutral in (None, "none") else f", {neutral} N"
    mark = _assumed(facts.size) if facts else ""
    words = f"{sets}{number}{size} {_METALS.get(metal, '')}".rstrip()
    return f"{words}{mark} {insulation}".rstrip() + beside


def grounding_words(run: r.Run, facts: RunFacts | None) -> str:
    """Give the equipment grounding conductor of a run: "+ 6 CU EGC"."""
    facts = _found(facts)
    ground = facts.grounding.value if facts else run.conductors.grounding
    metal = (facts.grounding_material.value if facts else run.conductors.grounding_material) or ""
    if ground is None:
        if run.owner == "utility" or run.role in _NO_EGC:
            return ""
        return "EGC not read" if run.since is None else "EGC not chosen"
    if ground in ("none", "raceway"):
        return {"none": "no EGC", "raceway": "EGC is raceway"}[ground]
    mark = _assumed(facts.grounding) if facts else ""
    return f"+ {ground} {_METALS.get(metal, '')}".rstrip() + f" EGC{mark}"


_NO_EGC = ("utility", "service", "supply-side source", "transformer secondary")


BY_BUS = "joint by bus"
"""What is said of a run of no length, which has no conductors."""


def run_words(run: r.Run, facts: RunFacts | None, units: UnitSystem) -> list[Words]:
    """Give the three lines beside a run: conductors; grounding and raceway; length and drop."""
    facts = _found(facts)
    raceway = facts.raceway.value if facts else run.raceway
    grounding = grounding_words(run, facts)
    way = _RACEWAYS.get(raceway or "", "")
    if facts and facts.trade_size.value and way.startswith("in "):
        way = f"{facts.trade_size.value} {way}"
    insulation = (facts.insulation.value if facts else run.conductors.insulation) or ""
    unknown = "length not read" if run.since is None else "length to enter"
    length = unknown if run.length_m is None else show(run.length_m, "m", units)
    drop = f", {facts.drop_pct:.1f} % drop" if facts and facts.drop_pct is not None else ""
    shown = shown_work(run)
    mark = f" {WORK_MARKS[shown]}" if shown in ("reused", "replaced") else ""
    return [
        Words(size_words(run, facts, insulation), "size"),
        Words(", ".join(filter(None, (grounding, way))), "grounding"),
        Words(length + drop + mark, "drop"),
    ]


def spaces_words(run: r.Run) -> str:
    """Give the panel spaces of a run: "1,3", "2-6" where there are more than two."""
    if len(run.spaces) > 2:
        return f"{run.spaces[0]}-{run.spaces[-1]}"
    return ",".join(map(str, run.spaces))
