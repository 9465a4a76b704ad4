"""The calculation summary: points, runs, load worksheets, findings and assumptions, as tables."""

from collections.abc import Iterable, Iterator

from ampacre.model import records as r
from ampacre.model.standing import work_of
from ampacre.model.words import kind_of
from ampacre.quantity import UnitSystem, show
from ampacre.rules.review import Review
from ampacre.rules.rule import Finding
from ampacre.sheets.labels import grounding_words, rating_words, size_words, with_choices
from ampacre.sheets.table import Column, Notes, Table
from ampacre.study.facts import EquipmentFacts, Line, RunFacts
from ampacre.study.study import Study

__all__ = ["summary"]

_POINTS = (
    Column("Point", 60),
    Column("Kind", 37),
    Column("Load by", 42),
    Column("Load, A", 27, "right"),
    Column("Sizing, A", 29, "right"),
    Column("Neutral, A", 31, "right"),
    Column("Rating", 30),
    Column("Fault, kA", 29, "right"),
    Column("Rated, kA", 30, "right"),
)
_RUNS = (
    Column("Run", 60),
    Column("Device", 20),
    Column("Conductors", 50),
    Column("Grounding", 29),
    Column("Length", 25, "right"),
    Column("Load / sizing, A", 42, "right"),
    Column("Carries, A", 30, "right"),
    Column("Drop", 19, "right"),
    Column("Total", 20, "right"),
    Column("Work", 20),
)
_WORKSHEET = (
    Column("Line", 112),
    Column("Quantity", 34, "right"),
    Column("Factor", 24, "right"),
    Column("Result", 34, "right"),
    Column("Source", 111),
)
_FINDINGS = (
    Column("Grade", 24),
    Column("Finding", 190),
    Column("Source", 101),
)
_ACCEPTED = (
    Column("Finding", 140),
    Column("Source", 60),
    Column("Accepted because", 75),
    Column("By, when", 40),
)

_RACEWAYS = {"pvc": "PVC", "steel": "steel", "aluminum": "aluminum"}


def summary(study: Study, review: Review) -> list[Table | Notes]:
    """Make the tables of the calculation summary, in the order in which they are printed."""
    units = study.settings.units
    parts: list[Table | Notes] = [
        Table("Points", _POINTS, tuple(_points(study))),
        Table("Runs", _RUNS, tuple(_runs(study, units))),
    ]
    parts += _worksheets(study, units)
    parts += _findings(review)
    parts += _notes(study, review)
    return parts


def _number(value: float | None, unit: str) -> str:
    """Show a number without its unit, which the head of the column tells."""
    return "" if value is None else show(value, unit).rpartition(" ")[0]


def _in_tree_order(study: Study) -> Iterator[EquipmentFacts]:
    seen: set[str] = set()
    for island in study.islands:
        for key in island.order:
            seen.add(key)
            yield study.equipment(key)
    for facts in study.all_equipment():
        if facts.piece.id not in seen:
            yield facts


def _points(study: Study) -> Iterator[tuple[str, ...]]:
    for facts in _in_tree_order(study):
        piece, fault = facts.piece, facts.fault
        demand = facts.demand if facts.demand and facts.demand.connected_va else None
        if not isinstance(piece, (r.Point, r.UtilitySource, r.Generator, r.Pedestal)):
            continue
        yield (
            piece.name,
            kind_of(piece),
            demand.method if demand else "",
            _number(demand.heavier_a, "a") if demand else "",
            _number(demand.heavier_sizing_a, "a") if demand else "",
            _number(demand.neutral_a, "a") if demand else "",
            _rating(with_choices(facts)),
            _number(fault.greatest.greatest_ka, "ka") if fault else "",
            _number(_rated_ka(piece), "ka"),
        )


def _rating(piece: r.Equipment) -> str:
    match piece:
        case r.Transformer() if piece.kva:
            return show(piece.kva, "kva")
        case r.Meter() if piece.class_a:
            return f"class {piece.class_a:g}"
        case r.Panel() if piece.bus_a:
            return f"bus {show(piece.bus_a, 'a')}"
        case r.Disconnect() if piece.main and piece.main.rating_a:
            return show(piece.main.rating_a, "a")
        case r.Disconnect() | r.TransferSwitch() if piece.rating_a:
            return show(piece.rating_a, "a")
        case r.Generator() if piece.kw:
            return show(piece.kw, "kw")
    return ""


def _rated_ka(piece: r.Equipment) -> float | None:
    own: float | None = getattr(piece, "short_circuit_ka", None)
    main: r.Device | None = getattr(piece, "main", None)
    return own or (main.interrupting_ka if main else None)


def _runs(study: Study, units: UnitSystem) -> Iterator[tuple[str, ...]]:
    done: set[str] = set()
    fed = [facts.feed for facts in _in_tree_order(study) if facts.feed]
    rest = [facts.run.id for facts in study.all_runs()]
    for key in (*fed, *rest):
        if key in done:
            continue
        done.add(key)
        facts = study.run(key)
        run = facts.run
        total = facts.total_drop_pct
        yield (
            _run_name(study, run),
            rating_words(run, facts).text,
            _wires(run, facts),
            _grounding(run, facts),
            _length(run, units),
            f"{_number(facts.calculated_a, 'a')} / {_number(facts.sizing_a, 'a')}",
            _number(facts.ampacity.allowed_a, "a") if facts.ampacity else "",
            "" if facts.drop_pct is None else f"{facts.drop_pct:.1f} %",
            "" if total is None else f"{total:.1f} %",
            work_of(run),
        )


def _length(run: r.Run, units: UnitSystem) -> str:
    if run.length_m is None:
        return "not read"
    return show(run.length_m, "m", units) if run.length_m else "joint"


def _run_name(study: Study, run: r.Run) -> str:
    source, target = (study.project.equipment[key].name for key in (run.source, run.target))
    return f"{run.name}: {source} to {target}" if run.name else f"{source} to {target}"


def _wires(run: r.Run, facts: RunFacts) -> str:
    if facts.size.value is None:
        return "" if run.length_m == 0 else size_words(run, facts)
    size, kind = facts.trade_size.value, facts.raceway.value
    raceway = f", {_RACEWAYS[kind]} {size} in" if size and kind in _RACEWAYS else ""
    return f"{size_words(run, facts)} {facts.insulation.value or ''}".strip() + raceway


def _grounding(run: r.Run, facts: RunFacts) -> str:
    if facts.grounding.value is None and run.length_m == 0:
        return ""
    return grounding_words(run, facts).removeprefix("+ ")


def _worksheets(study: Study, units: UnitSystem) -> Iterator[Table]:
    for facts in _in_tree_order(study):
        panel = isinstance(facts.piece, r.Panel) or facts.at_service
        own = isinstance(facts.piece, r.Point) and facts.piece.basis is not None
        if facts.demand and (panel or own):
            rows = tuple(_line(line, units) for line in facts.demand.worksheet.lines)
            title = f"{facts.piece.name}: {_lower(facts.demand.worksheet.title)}"
            yield Table(title, _WORKSHEET, rows)


def _lower(title: str) -> str:
    return title[:1].lower() + title[1:]


def _line(line: Line, units: UnitSystem) -> tuple[str, ...]:
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
        return f"{value:,.4g} {unit}".rstrip()  # a unit of the trade that no field has


def _findings(review: Review) -> Iterator[Table | Notes]:
    standing = [finding for finding in review.findings if review.accepted(finding) is None]
    if not standing:
        yield Notes("Findings", ("No finding stands open.",))
    else:
        rows = tuple(
            (finding.severity, review.message(finding), review.cite(finding))
            for finding in standing
        )
        yield Table("Findings", _FINDINGS, rows)
    accepted = tuple(_accepted(review, finding) for finding in review.findings)
    if any(accepted):
        yield Table("Accepted findings", _ACCEPTED, tuple(filter(None, accepted)))


def _accepted(review: Review, finding: Finding) -> tuple[str, ...]:
    record = review.accepted(finding)
    if record is None:
        return ()
    signed = ", ".join(filter(None, (record.who, record.when)))
    return review.message(finding), review.cite(finding), record.reason, signed


def _notes(study: Study, review: Review) -> Iterator[Notes]:
    settings = study.settings
    said = _gathered(study, _assumptions(study))
    if said:
        yield Notes("Assumptions, to be verified in the field", said)
    missing = _gathered(study, ((item.where, item.text) for item in review.missing))
    if missing:
        yield Notes("Not checked for want of an entry", missing)
    words = tuple(filter(None, (settings.why_not_farm, settings.notes)))
    if words:
        yield Notes("Notes", words)


def _gathered(study: Study, said: Iterable[tuple[str, str]]) -> tuple[str, ...]:
    """Say each text once, followed by all the places that it holds for."""
    places: dict[str, list[str]] = {}
    for where, text in said:
        places.setdefault(text, []).append(_place(study, where))
    return tuple(f"{text}: {'; '.join(dict.fromkeys(at))}" for text, at in places.items())


def _assumptions(study: Study) -> Iterable[tuple[str, str]]:
    for facts in _in_tree_order(study):
        yield from ((facts.piece.id, text) for text in facts.assumptions)
    for run in study.all_runs():
        yield from ((run.run.id, text) for text in run.assumptions)


def _place(study: Study, key: str) -> str:
    piece = study.project.equipment.get(key)
    run = study.project.runs.get(key)
    return piece.name if piece else _run_name(study, run) if run else "The project"
