"""What a study and its review found, as text for a terminal."""

import textwrap
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from ampacre.codebook.conductors import size_word
from ampacre.model.words import kind_of, value_word
from ampacre.quantity import UnitSystem, show
from ampacre.rules.reading import place_name
from ampacre.rules.review import SEVERITIES, Review
from ampacre.rules.rule import Finding
from ampacre.study.capacity import capacity_worksheet
from ampacre.study.facts import (
    Chosen,
    Demand,
    EquipmentFacts,
    Fault,
    Line,
    RunFacts,
    Worksheet,
)
from ampacre.study.study import Study

__all__ = ["check_text", "numbers_text"]

_WIDTH = 96
_HEADINGS = {
    "violation": "Violations",
    "warning": "Warnings",
    "ask": "To ask the authority",
    "advice": "Advice",
}
_COUNTED = {
    "violation": ("violation", "violations"),
    "warning": ("warning", "warnings"),
    "ask": ("question to the authority", "questions to the authority"),
    "advice": ("piece of advice", "pieces of advice"),
}


def check_text(review: Review) -> str:
    """Write the findings for a terminal: counts, then each with its citation and remedies."""
    settings = review.study.settings
    standing = review.standing
    accepted = [f for f in review.findings if review.accepted(f)]
    counts = [
        _count(sum(f.severity == severity for f in standing), *_COUNTED[severity])
        for severity in SEVERITIES
        if severity != "ask" or any(f.severity == "ask" for f in standing)
    ]
    if accepted:
        counts.append(f"{len(accepted)} accepted")
    lines = [f"{settings.name} (NEC {settings.edition}): {', '.join(counts)}"]
    for severity in SEVERITIES:
        found = [f for f in standing if f.severity == severity]
        if found:
            lines += ["", _HEADINGS[severity], *_findings_lines(review, found)]
    if accepted:
        lines += ["", "Accepted", *_findings_lines(review, accepted)]
    if review.missing:
        lines += ["", "Not checked, for want of"]
        for missing in review.missing:
            lines += _wrapped(f"{place_name(review.study, missing.where)}: {missing.text}", 2)
    return "\n".join(lines)


def _count(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"


def _findings_lines(review: Review, findings: Iterable[Finding]) -> Iterator[str]:
    """Write findings as lines for a terminal."""
    for finding in findings:
        yield from _wrapped(review.message(finding), 2)
        yield from _wrapped(f"{review.cite(finding)}; rule {finding.rule}", 6)
        accepted = review.accepted(finding)
        if accepted:
            yield from _wrapped(f"accepted: {accepted.reason}", 6)
            continue
        for edit in review.remedies(finding):
            yield from _wrapped(f"could be cleared: {edit.label}", 6)


def _wrapped(text: str, indent: int) -> list[str]:
    first, rest = " " * indent, " " * (indent + 2)
    return textwrap.wrap(
        text, _WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False
    )


def numbers_text(study: Study) -> str:
    """Write every computed number for a terminal, each piece below the one that feeds it."""
    lines = [f"{study.settings.name} (NEC {study.settings.edition})"]
    worked: dict[Worksheet, str] = {}
    shown: set[str] = set()
    for island in study.islands:
        for key in island.order:
            shown.add(key)
            feed = island.feed.get(key)
            if feed:
                lines += ["", *_run_lines(study, study.run(feed.run))]
            lines += ["", *_piece_lines(study, study.equipment(key), worked)]
    for facts in study.all_equipment():
        if facts.piece.id not in shown:
            lines += ["", *_piece_lines(study, facts, worked)]
    return "\n".join(lines)


def _piece_lines(
    study: Study, facts: EquipmentFacts, worked: dict[Worksheet, str]
) -> Iterator[str]:
    """Write a piece; a working that stood at an earlier piece is only referred to."""
    units = study.settings.units
    fed = "" if facts.parent is None else f", fed from {study.equipment(facts.parent).piece.name}"
    supplied = "" if facts.supplied else ", not supplied"
    yield f"{facts.piece.name}: {kind_of(facts.piece)}, {facts.work}{fed}{supplied}"
    yield from _load_lines(facts.demand, "load", units)
    yield from _load_lines(facts.transferred, "on standby", units)
    yield from _fault_lines(facts.fault, units)
    voltage = study.voltage(facts.piece.id)
    if voltage:
        lowest, highest = voltage.lowest_pct, voltage.highest_pct
        text = f"{show(lowest, 'pct', units)} to {show(highest, 'pct', units)} of nominal"
        yield _entry("voltage", text)
    yield from _notes(facts.missing, facts.assumptions)
    for demand in (facts.demand, facts.transferred):
        if demand and demand.worksheet in worked:
            yield _entry("working", f"as for {worked[demand.worksheet]}")
        elif demand:
            yield from _worksheet_lines(demand.worksheet.title, demand.worksheet.lines)
            worked[demand.worksheet] = facts.piece.name
    others = [capacity_worksheet(facts)]
    if facts.grounding:
        others.append(facts.grounding.worksheet)
    for sheet in others:
        if sheet.lines:
            yield from _worksheet_lines(sheet.title, sheet.lines)


def _run_lines(study: Study, facts: RunFacts) -> Iterator[str]:
    units = study.settings.units
    run, project = facts.run, study.project
    ends = f"{project.equipment[run.source].name} to {project.equipment[run.target].name}"
    length = "" if run.length_m is None else f", {show(run.length_m, 'm', units)}"
    named = f"{run.name}, {ends}" if run.name else f"Run from {ends}"
    yield f"{named}: {run.role}, {facts.work}{length}"
    yield from _load_lines(facts.demand, "load", units)
    if facts.device.value is not None:
        yield _entry("device", _given(facts.device, show(facts.device.value, "a", units)))
    yield from _wire_lines(facts, units)
    if facts.governs:
        yield _entry("sized by", facts.governs)
    if facts.ampacity:
        carried = show(facts.ampacity.allowed_a, "a", units)
        yield _entry("carries", f"{carried}, by {facts.ampacity.governs}")
    if facts.drop_pct is not None and facts.total_drop_pct is not None:
        whole = show(facts.total_drop_pct, "pct", units)
        yield _entry("drop", f"{show(facts.drop_pct, 'pct', units)}, {whole} in all")
    if facts.ground_a is not None:
        on = f", on {facts.ground_from}" if facts.ground_from else ""
        yield _entry("ground fault", f"{show(facts.ground_a, 'a', units)} at least{on}")
    yield from _notes(facts.missing, facts.assumptions)
    of_load = facts.demand.worksheet.lines if facts.demand else ()
    yield from _worksheet_lines(
        facts.worksheet.title, [line for line in facts.worksheet.lines if line not in of_load]
    )


def _wire_lines(facts: RunFacts, units: UnitSystem) -> Iterator[str]:
    if facts.size.value is None:
        return
    sets = facts.sets.value
    several = f"{sets} sets of " if sets > 1 else ""
    metal, insulation = value_word(facts.material.value), facts.insulation.value or ""
    wire = f"{several}{size_word(facts.size.value)} {metal} {insulation}".rstrip()
    yield _entry("conductors", _given(facts.size, wire))
    for label, wire_of in (("neutral", facts.neutral), ("grounding", facts.grounding)):
        if wire_of.value is not None:
            bare = wire_of.value in ("none", "raceway")
            size = wire_of.value if bare else size_word(wire_of.value)
            yield _entry(label, _given(wire_of, size))
    if facts.raceway.value is not None:
        yield _entry("raceway", _given(facts.raceway, facts.raceway.value))
    if facts.trade_size.value is not None:
        size = f"{facts.trade_size.value} in"
        yield _entry("trade size", _given(facts.trade_size, size))
    if facts.cover.value is not None and facts.cover_needed_m is not None:
        cover = show(1000 * facts.cover.value, "mm", units)
        yield _entry("cover", _given(facts.cover, cover))


def _given(choice: Chosen[Any], text: str) -> str:
    """Say of a value that was not entered where it comes from."""
    if choice.how == "entered":
        return text
    return f"{text} ({choice.how}: {choice.why})" if choice.why else f"{text} ({choice.how})"


def _load_lines(demand: Demand | None, label: str, units: UnitSystem) -> Iterator[str]:
    if demand is None:
        return
    yield _entry(
        label,
        f"{show(demand.heavier_a, 'a', units)} calculated, "
        f"{show(demand.heavier_sizing_a, 'a', units)} sizing, "
        f"neutral {show(demand.neutral_a, 'a', units)}; "
        f"{show(demand.calculated_va, 'va', units)} of "
        f"{show(demand.connected_va, 'va', units)} connected ({demand.method})",
    )


def _fault_lines(fault: Fault | None, units: UnitSystem) -> Iterator[str]:
    if fault is None:
        return
    for label, levels in (("fault at most", fault.greatest), ("fault at least", fault.least)):
        between = {
            "between legs": levels.line_line_ka,
            "leg to neutral": levels.line_neutral_ka,
            "three-phase": levels.three_phase_ka,
            "to ground": levels.ground_ka,
        }
        known = [
            f"{show(ka, 'ka', units)} {name}" for name, ka in between.items() if ka is not None
        ]
        if known:
            yield _entry(label, ", ".join(known))


def _notes(missing: Iterable[str], assumptions: Iterable[str]) -> Iterator[str]:
    for text in missing:
        yield _entry("missing", text)
    for text in assumptions:
        yield _entry("assumed", text)


def _entry(label: str, text: str) -> str:
    return f"  {label:<15} {text}"


def _worksheet_lines(title: str, lines: Sequence[Line]) -> Iterator[str]:
    if not lines:
        return
    yield f"  {title}"
    rows = [
        (line.label, _terms(line), "; ".join(filter(None, (line.note, line.cite))))
        for line in lines
    ]
    label_width = max(len(label) for label, _, _ in rows)
    terms_width = max(len(terms) for _, terms, _ in rows)
    for label, terms, why in rows:
        yield f"    {label:<{label_width}}  {terms:<{terms_width}}  {why}".rstrip()


def _terms(line: Line) -> str:
    """Write quantity x factor = result, as far as the line has them."""
    terms = [] if line.quantity is None else [f"{show(line.quantity, '')} {line.unit}"]
    if line.factor is not None:
        terms.append(f"x {show(line.factor, '')}")
    if line.result is not None:
        terms.append(f"{'= ' if terms else ''}{show(line.result, '')} {line.unit}")
    return " ".join(terms)
