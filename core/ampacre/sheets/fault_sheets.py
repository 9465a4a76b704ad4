"""Fault currents and voltages of every point, the working of the worst case, and grounding."""

from collections.abc import Iterator

from ampacre.model import records as r
from ampacre.quantity import show
from ampacre.sheets.labels import electrode_words
from ampacre.sheets.load_sheets import WORKSHEET
from ampacre.sheets.table import Column, Notes, Part, Table, without_blank
from ampacre.sheets.wording import (
    computed,
    length_words,
    line_row,
    number,
    piece_name,
    rated_ka,
    run_title,
    runs_in_order,
    tree_order,
    wire_words,
)
from ampacre.study.facts import EquipmentFacts, FaultLevels, RunFacts
from ampacre.study.study import Study

__all__ = ["fault_sheets", "grounding_sheets"]

_FAULTS = (
    Column("Point", 60),
    Column("Greatest fault, kA", 30, "right"),
    Column("between lines, kA", 29, "right"),
    Column("to neutral, kA", 28, "right"),
    Column("from the supply alone, kA", 31, "right"),
    Column("Least fault, kA", 27, "right"),
    Column("Rated, kA", 24, "right"),
    Column("Verdict", 36),
    Column("Voltage", 26, "right"),
    Column("Drop from the service", 26, "right"),
)
_DEVICES = (
    Column("Device of", 90),
    Column("Fault at its line side, kA", 40, "right"),
    Column("Interrupts, kA", 33, "right"),
    Column("Verdict", 45),
    Column("Least ground fault, A", 40, "right"),
    Column("on supply", 30),
    Column("Times the device", 37, "right"),
)
_STEPS = (
    Column("From the source down", 80),
    Column("What it adds", 110),
    Column("Fault here, kA", 45, "right"),
    Column("Impedance so far, Ω", 80, "right"),
)
_GROUNDING = (
    Column("At", 45),
    Column("Ungrounded conductors", 40),
    Column("Electrodes", 70),
    Column("Electrode conductor", 40),
    Column("at least", 35),
    Column("Bonding jumper", 50),
    Column("at least", 35),
)


def fault_sheets(study: Study) -> Iterator[Part]:
    """Make the fault and voltage tables, and the working of the point with least in hand."""
    points = [facts for facts in tree_order(study) if facts.fault]
    yield Table(
        "Fault current and voltage", _FAULTS, tuple(_point(study, facts) for facts in points)
    )
    yield Table("Overcurrent devices and faults", _DEVICES, tuple(_devices(study)))
    rated = list(_rated(study, points))
    if rated:
        what, worst, ka = max(rated, key=lambda each: _greatest(each[1]) / each[2])
        title = f"Worst case: {what}, {_greatest(worst):.2f} kA, rated {ka:g} kA"
        yield Table(title, _STEPS, tuple(_steps(study, worst)))
    yield Notes("How faults are computed", tuple(" ".join(said.split()) for said in _METHOD))


def _rated(
    study: Study, points: list[EquipmentFacts]
) -> Iterator[tuple[str, EquipmentFacts, float]]:
    """Give every rating, of points and of the devices of runs, with the point whose fault it sees."""
    for facts in points:
        own = rated_ka(facts)
        if own:
            yield facts.piece.name, facts, own
    with_fault = {facts.piece.id for facts in points}
    for run in study.all_runs():
        device = run.run.device
        if device and device.interrupting_ka and run.run.source in with_fault:
            at = study.equipment(run.run.source)
            yield f"device of {run_title(study, run.run)}", at, device.interrupting_ka


def _greatest(facts: EquipmentFacts) -> float:
    return facts.fault.greatest.greatest_ka if facts.fault else 0.0


def _verdict(fault_ka: float, rated: float | None, record: r.Standing) -> str:
    if rated is None:
        return "rating not read" if record.since is None else "rating to be chosen"
    return "within" if fault_ka <= rated * (1 + 1e-9) else "EXCEEDED"


def _point(study: Study, facts: EquipmentFacts) -> tuple[str, ...]:
    fault = facts.fault
    assert fault is not None
    rated = rated_ka(facts)
    feed = study.run(facts.feed) if facts.feed else None
    drop = feed.total_drop_pct if feed else None
    voltage = study.voltage(facts.piece.id)
    has_rating = isinstance(facts.piece, r.Point) and not isinstance(facts.piece, r.Transformer)
    return (
        facts.piece.name,
        computed(fault.greatest.greatest_ka, "ka"),
        computed(fault.greatest.line_line_ka or fault.greatest.three_phase_ka, "ka"),
        computed(fault.greatest.line_neutral_ka, "ka"),
        computed(fault.source.greatest_ka, "ka"),
        computed(_least(fault.least), "ka"),
        number(rated, "ka"),
        _verdict(fault.greatest.greatest_ka, rated, facts.piece) if has_rating else "",
        f"{voltage.lowest_pct:.1f} %" if voltage else "",
        "" if drop is None else f"{drop:.1f} %",
    )


def _least(levels: FaultLevels) -> float | None:
    """Give the smallest fault between conductors [kA]; what returns by ground stands elsewhere."""
    between = (levels.line_line_ka, levels.line_neutral_ka, levels.three_phase_ka)
    return min((level for level in between if level), default=None)


def _devices(study: Study) -> Iterator[tuple[str, ...]]:
    for facts in runs_in_order(study):
        run = facts.run
        if run.device is None and facts.device.value is None:
            continue
        at = study.equipment(run.source)
        stands_ka = facts.interrupting_ka.value
        fault = at.fault.greatest.seen_ka(len(facts.legs)) if at.fault else 0.0
        times = ""
        if facts.ground_a is not None and facts.ground_device_a:
            device = show(facts.ground_device_a, "a")
            times = f"{facts.ground_a / facts.ground_device_a:.1f} x {device}"
        yield (
            run_title(study, run),
            computed(fault or None, "ka"),
            number(stands_ka, "ka"),
            _verdict(fault, stands_ka, run) if fault else "",
            computed(facts.ground_a, "a"),
            _supply(facts),
            times,
        )


def _supply(facts: RunFacts) -> str:
    """Give the state in which the ground fault of a run is least."""
    return "" if facts.ground_a is None else facts.ground_from or "normal"


def _steps(study: Study, worst: EquipmentFacts) -> Iterator[tuple[str, ...]]:
    path = [worst]
    while path[-1].parent:
        path.append(study.equipment(path[-1].parent))
    for facts in reversed(path):
        feed = study.run(facts.feed) if facts.feed else None
        added = [_run_part(study, feed)] if feed and feed.run.length_m != 0 else []
        piece = facts.piece
        if isinstance(piece, r.UtilitySource):
            stated = show(piece.fault_ka, "ka") if piece.fault_ka else "taken as infinite"
            added.append(f"utility's figure {stated}")
        elif isinstance(piece, r.Transformer):
            pct = f"{piece.impedance_pct:g} %" if piece.impedance_pct else "impedance assumed"
            added.append(f"{show(piece.kva, 'kva') if piece.kva else 'not read'}, {pct}")
        source = (
            facts.fault.source.line_line_ka or facts.fault.source.greatest_ka if facts.fault else 0
        )
        ohms = ""
        if source and facts.system:
            factor = 3**0.5 if facts.fault and facts.fault.source.three_phase_ka else 1.0
            ohms = f"{facts.system.line_v / factor / source / 1000:.5f}"
        yield (
            piece.name,
            "; ".join(added) or "joint by bus, nothing",
            computed(source or None, "ka"),
            ohms,
        )
    if worst.fault and worst.fault.machines_ka:
        extra = computed(worst.fault.machines_ka, "ka")
        greatest = computed(_greatest(worst), "ka")
        yield "Motors and inverters", f"add {extra} kA to the supply's", greatest, ""


def _run_part(study: Study, facts: RunFacts) -> str:
    length = length_words(facts.run, study.settings.units)
    return f"{length} of {wire_words(facts.run, facts)}"


_METHOD = (
    """Greatest: conductors at 25 °C, the utility's greatest figure (infinite until one is entered),
    nameplate impedance as marked, with what motors and inverters add; for interrupting and
    short-circuit ratings (NEC 110.9, 110.10).""",
    """Least: conductors at 75 °C, the utility's least figure, no machines; for clearing. The least
    ground fault returns by the grounding conductor to the bond (NEC 250.4(A)(5)).""",
    """Voltage is that of the running case with everything on, the utility's part included; drop is
    the design drop added along the path from the service, at calculated currents.""",
)


def grounding_sheets(study: Study) -> Iterator[Part]:
    """Make the grounding schedule, with the working of all places in one table."""
    records = {record.at: record for record in study.project.grounding.values()}
    places = [f for f in tree_order(study) if f.grounding or f.piece.id in records]
    rows = tuple(_grounding(study, facts, records.get(facts.piece.id)) for facts in places)
    yield Table("Grounding electrode system and bonding", _GROUNDING, rows)
    bonds = tuple(_bonds(study))
    yield Notes("Where the neutral is bonded", bonds or ("No bond is entered.",))
    units = study.settings.units
    working = tuple(
        (facts.piece.name, *line_row(line, units))
        for facts in places
        if facts.grounding
        for line in facts.grounding.worksheet.lines
    )
    table = Table("How the least sizes follow", (Column("At", 45), *WORKSHEET), working)
    yield without_blank(table, "Quantity", "Factor")


def _grounding(study: Study, facts: EquipmentFacts, own: r.Grounding | None) -> tuple[str, ...]:
    """Give the row of a place; `own` is the record that names the piece itself."""
    needs = facts.grounding
    record = needs.record if needs and needs.record else own
    hot = least = jumper = ""
    if needs:
        sets = f"({needs.hot_sets}) " if needs.hot_sets > 1 else ""
        hot = f"{sets}{needs.hot} {needs.hot_material.upper()}"
        least = ", ".join(f"{size} {metal.upper()}" for metal, size in needs.electrode.items())
        if needs.jumper_kind:
            jumper = ", ".join(f"{size} {metal.upper()}" for metal, size in needs.jumper.items())
    electrodes = electrode_words(record, study.settings.units) if record else ""
    bonds = bool(record and record.bonding_jumper) or bool(needs and needs.jumper_kind)
    return (
        facts.piece.name,
        hot,
        electrodes or "to be entered",
        _size(record.conductor, record.conductor_material) if record else "to be chosen",
        least,
        _size(record.bonding_jumper, record.bonding_jumper_material)
        if record and bonds
        else "none belongs here",
        jumper,
    )


def _size(size: str | None, metal: str | None) -> str:
    return f"{size} {(metal or 'cu').upper()}" if size else "not read"


def _bonds(study: Study) -> Iterator[str]:
    for facts in tree_order(study):
        bonded = getattr(facts.piece, "neutral_bonded", None)
        if bonded is None or facts.piece.owner == "utility":
            continue
        allowed = "the bond belongs here" if facts.may_bond else "no bond belongs here"
        state = "neutral bonded" if bonded else "neutral apart from grounding"
        structure = study.project.structures.get(facts.piece.structure or "")
        where = f" in {structure.name}" if structure else ""
        fed = f", fed from {piece_name(study, facts.parent)}" if facts.parent else ""
        yield f"{facts.piece.name}{where}{fed}: {state}; {allowed}."
