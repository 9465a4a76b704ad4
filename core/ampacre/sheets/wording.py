"""How the schedules name and show things: numbers, names of runs, conductors, and their order."""

from collections.abc import Iterator

from ampacre.model import records as r
from ampacre.quantity import UnitSystem, show
from ampacre.sheets.piece_labels import with_choices
from ampacre.sheets.ratings import main_words
from ampacre.sheets.run_labels import BY_BUS, grounding_words, size_words
from ampacre.study.facts import Chosen, EquipmentFacts, Line, RunFacts
from ampacre.study.study import Study

__all__ = [
    "NOT_ENTERED",
    "NOT_READ",
    "amperes",
    "computed",
    "cover_words",
    "egc_words",
    "few",
    "length_words",
    "line_row",
    "marked",
    "nameplate",
    "number",
    "piece_name",
    "place_words",
    "rating_of",
    "run_title",
    "runs_in_order",
    "tree_order",
    "way_words",
    "wire_words",
]

NOT_READ, NOT_ENTERED = "not read", "to enter"

_RACEWAYS = {
    "pvc": "PVC",
    "pvc 80": "PVC 80",
    "imc": "IMC",
    "emt": "EMT",
    "fmc": "FMC",
    "lfmc": "LFMC",
    "lfnc": "LFNC",
    "ent": "ENT",
    "steel": "steel",
    "aluminum": "aluminum",
    "direct burial": "direct burial",
    "cable": "cable",
}


def number(value: float | None, unit: str) -> str:
    """Show a number without its unit, which the head of the column tells."""
    return "" if value is None else show(value, unit).rpartition(" ")[0]


_DECIMALS = {"a": 1, "ka": 2, "kva": 1, "va": 0}


def computed(value: float | None, unit: str) -> str:
    """Show a computed number for a column: without its unit, in as many decimals in every row."""
    return "" if value is None else f"{value:,.{_DECIMALS[unit]}f}"


def amperes(value: float | None, instead: str = NOT_READ) -> str:
    """Show a current with its unit, or say that there is none to show."""
    return instead if value is None else show(value, "a")


def marked(chosen: Chosen[str | None]) -> str:
    """Show a value of a run, with the mark of what is assumed."""
    return f"{chosen.value or ''}{'*' if chosen.value and chosen.how == 'assumed' else ''}"


def few(words: list[str], most: int) -> list[str]:
    """Give all words where they are no more than so many, else two: ["S1", "S2", "and 7 more"]."""
    return words if len(words) <= most else [*words[:2], f"and {len(words) - 2} more"]


def tree_order(study: Study) -> Iterator[EquipmentFacts]:
    """Give all standing pieces, each after what supplies it; what is not supplied comes last."""
    seen: set[str] = set()
    for island in study.islands:
        for key in island.order:
            seen.add(key)
            yield study.equipment(key)
    for facts in study.all_equipment():
        if facts.piece.id not in seen:
            yield facts


def runs_in_order(study: Study) -> Iterator[RunFacts]:
    """Give all standing runs in the order of what they supply."""
    fed = [facts.feed for facts in tree_order(study) if facts.feed]
    rest = [facts.run.id for facts in study.all_runs()]
    for key in dict.fromkeys((*fed, *rest)):
        yield study.run(key)


def piece_name(study: Study, key: str | None) -> str:
    """Give the name of a piece by its id."""
    piece = study.project.equipment.get(key or "")
    return piece.name if piece else ""


def run_title(study: Study, run: r.Run) -> str:
    """Name a run with both its ends: "F-1: S1 to ATS"."""
    ends = f"{piece_name(study, run.source)} to {piece_name(study, run.target)}"
    return f"{run.name}: {ends}" if run.name else ends


def length_words(run: r.Run, units: UnitSystem) -> str:
    """Give the length of a run; one of no length is a joint by bus."""
    if run.length_m is None:
        return NOT_READ if run.since is None else NOT_ENTERED
    return show(run.length_m, "m", units) if run.length_m else BY_BUS


def wire_words(run: r.Run, facts: RunFacts) -> str:
    """Give conductors and insulation; a joint by bus has none."""
    if run.length_m == 0:
        return ""
    return size_words(run, facts, facts.insulation.value or "")


def egc_words(run: r.Run, facts: RunFacts) -> str:
    """Give the equipment grounding conductor; a joint by bus has none."""
    return "" if run.length_m == 0 else grounding_words(run, facts).removeprefix("+ ")


def way_words(run: r.Run, facts: RunFacts) -> str:
    """Give the wiring method: raceway and trade size, cable or direct burial."""
    kind = facts.raceway.value
    if run.length_m == 0 or kind is None:
        return ""
    size = f" {facts.trade_size.value} in" if facts.trade_size.value else ""
    if not size and run.reuses is not None and facts.trade_size.how == "unknown":
        size = f", trade size {NOT_ENTERED}"
    return f"{_RACEWAYS[kind]}{size}"


def place_words(run: r.Run, facts: RunFacts) -> str:
    """Give where a run lies; the way of reused wires is new work, and has to be entered."""
    return marked(facts.place) or ("" if run.reuses is None else NOT_ENTERED)


def cover_words(facts: RunFacts, units: UnitSystem) -> str:
    """Give the cover of a run in the ground, and the least that it must have."""
    said = []
    if facts.cover.value:
        said.append(show(facts.cover.value * 1000, "mm", units))
    if facts.cover_needed_m:
        said.append(f"least {show(facts.cover_needed_m * 1000, 'mm', units)}")
    return ", ".join(said)


def rating_of(facts: EquipmentFacts) -> str:
    """Give the rating of a piece as its nameplate has it, chosen ratings included."""
    return nameplate(with_choices(facts))


def nameplate(piece: r.Equipment) -> str:
    """Give the rating of a piece as its nameplate has it."""
    match piece:
        case r.Transformer():
            return show(piece.kva, "kva") if piece.kva else NOT_READ
        case r.Meter():
            return f"class {piece.class_a:g}" if piece.class_a else NOT_READ
        case r.Panel():
            return f"bus {amperes(piece.bus_a)}, {main_words(piece)}"
        case r.Disconnect():
            if piece.main:
                return f"{piece.main.kind} {amperes(piece.main.rating_a)}"
            return f"switch {amperes(piece.rating_a)}"
        case r.TransferSwitch():
            return amperes(piece.rating_a)
        case r.Generator():
            return show(piece.kw, "kw") if piece.kw else NOT_READ
        case r.Inverter():
            return f"output {amperes(piece.output_a)}"
        case r.Battery():
            return show(piece.energy_kwh, "kwh") if piece.energy_kwh else NOT_READ
        case r.Charger():
            return f"nameplate {amperes(piece.nameplate_a)}"
        case r.Motor() if piece.power_hp:
            current = f", {show(piece.full_load_a, 'a')}" if piece.full_load_a else ""
            return show(piece.power_hp, "hp") + current
        case r.Motor():
            return f"{amperes(piece.full_load_a)} full load"
        case r.Load():
            return NOT_READ if piece.va is None else show(piece.va, "va")
        case r.Pedestal():
            return f"outlets {' + '.join(str(each) for each in piece.receptacles_a)} A"
    return ""


def line_row(line: Line, units: UnitSystem) -> tuple[str, ...]:
    """Give a worksheet's line as cells: label, quantity, factor, result, source."""
    unit = line.unit.lower()
    note = f"{line.cite}; {line.note}" if line.cite and line.note else line.cite or line.note
    factor = "" if line.factor is None else f"{line.factor:.4g}"
    return (
        line.label,
        _shown(line.quantity, unit, units),
        factor,
        _shown(line.result, unit, units),
        note,
    )


def _shown(value: float | None, unit: str, units: UnitSystem) -> str:
    if value is None:
        return ""
    try:
        return show(value, unit, units)
    except KeyError:
        # a unit of the trade that no field has
        digits = f"{value:,.0f}" if value >= 1000 else f"{value:.4g}"
        return f"{digits} {unit}".rstrip()
