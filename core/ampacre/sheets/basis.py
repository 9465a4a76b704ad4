"""Findings open and accepted, what is assumed, and what the numbers rest on with their sources."""

import re
from collections.abc import Iterable, Iterator

from ampacre.model import records as r
from ampacre.model.words import field_word, signed
from ampacre.rules.questions import QUESTIONS
from ampacre.rules.review import Review
from ampacre.rules.rule import Finding
from ampacre.sheets.frame import CAUTIONS
from ampacre.sheets.table import Column, Notes, Part, Table
from ampacre.sheets.wording import run_title, tree_order
from ampacre.study.facts import Worksheet
from ampacre.study.study import Study

__all__ = ["basis_sheets", "finding_sheets"]

_FINDINGS = (
    Column("No.", 14),
    Column("Grade", 24),
    Column("Finding", 180),
    Column("Source", 97),
)
_ACCEPTED = (
    Column("Finding", 140),
    Column("Source", 60),
    Column("Accepted because", 75),
    Column("By, when", 40),
)
_ANSWERS = (
    Column("Seen at", 55),
    Column("Question", 135),
    Column("Answer", 22),
    Column("Note", 63),
    Column("By, when", 40),
)
_CITATIONS = (
    Column("Source", 110),
    Column("Used for", 205),
)
_POLICY = (
    Column("Where the code leaves room", 150),
    Column("Taken here", 165),
)
_MISSING = (
    Column("Lacking", 120),
    Column("At", 195),
)
_ASSUMED = (
    Column("Assumed", 120),
    Column("For", 195),
)
_POLICIES = (
    "mixed_optional",
    "optional_chargers",
    "cooking",
    "existing_hvac",
    "measured_solar",
    "noncoincident_motor",
    "unnamed_leg",
)


_CHOICES = {
    ("mixed_optional", "tally"): "the dwelling's loads join the others, by Part III",
    ("mixed_optional", "block"): "the dwelling's optional-method result joins as one load",
    ("optional_chargers", "outside"): "counted apart, at 100 %",
    ("optional_chargers", "inside"): "counted with the other loads",
    ("cooking", "lesser"): "the lesser of column C and note 3",
    ("measured_solar", "gross only"): "only records of the gross load count",
    ("measured_solar", "net over a year"): "a year's net record counts too",
    ("unnamed_leg", "one leg"): "all on one leg, the safe reading",
    ("unnamed_leg", "all legs"): "spread over the legs",
}
"""Choices in words, where the choice's own word says too little."""


def finding_sheets(study: Study, review: Review) -> Iterator[Part]:
    """Make the lists of findings: open, accepted with reasons, and what could not be checked."""
    if not review.standing:
        yield Notes("Findings", ("No finding stands open.",))
    else:
        rows = tuple(
            (str(number), f.severity, review.message(f), review.cite(f))
            for number, f in enumerate(review.standing, 1)
        )
        yield Table("Findings", _FINDINGS, rows)
    accepted = tuple(_accepted(review, finding) for finding in review.findings)
    yield Table("Accepted findings", _ACCEPTED, tuple(filter(None, accepted)))
    yield Table("Answered on site", _ANSWERS, tuple(_answers(study)))
    lacking = ((item.where, text) for item in review.missing for text in item.lacks)
    missing = _gathered(study, lacking)
    yield Table("Not checked for want of an entry", _MISSING, missing)


def _accepted(review: Review, finding: Finding) -> tuple[str, ...]:
    record = review.accepted(finding)
    if record is None:
        return ()
    return review.message(finding), review.cite(finding), record.reason, signed(record)


def _answers(study: Study) -> Iterator[tuple[str, ...]]:
    for answer in study.project.answers.values():
        question = QUESTIONS.get(answer.question)
        text = question.text if question else answer.question
        yield _place(study, answer.where), text, answer.value, answer.note, signed(answer)


def basis_sheets(study: Study) -> Iterator[Part]:
    """Make the basis of the calculations: policies, assumptions, citations, cautions."""
    settings = study.settings
    yield Notes("Basis of the calculations", tuple(_basis(settings)))
    policies = tuple((_upper(field_word(name)), _choice(settings, name)) for name in _POLICIES)
    yield Table("Choices that the code leaves open", _POLICY, policies)
    yield Notes("Cautions", (" ".join(CAUTIONS),))
    assumed = _gathered(study, _assumptions(study))
    yield Table("Assumptions, to be verified in the field", _ASSUMED, assumed)
    words = tuple(filter(None, (settings.why_not_farm, settings.notes)))
    if words:
        yield Notes("Notes", words)
    yield Table("Sources used on these sheets", _CITATIONS, tuple(_citations(study)))


def _choice(settings: r.Settings, name: str) -> str:
    chosen: str = getattr(settings, name)
    return _CHOICES.get((name, chosen), chosen)


def _basis(settings: r.Settings) -> Iterator[str]:
    yield (
        f"Code: NEC {settings.edition}. Drop limits: feeders {settings.feeder_drop_pct:g} %, "
        f"branch circuits {settings.branch_drop_pct:g} %, in total {settings.total_drop_pct:g} %. "
        f"Ambient {settings.ambient_c:g} °C."
    )
    yield (
        "Load is the calculated current of the heavier leg; sizing adds 25 % of the continuous part. "
        "Devices face the sizing current, conductors both, buses and meters the calculated one."
    )


def _citations(study: Study) -> Iterator[tuple[str, str]]:
    """Give each source once, with the first lines that cite it."""
    uses: dict[str, list[str]] = {}
    for sheet in _worksheets(study):
        for line in sheet.lines:
            if line.cite:
                uses.setdefault(line.cite, []).append(re.sub(r"[:,].*", "", line.label))
    for citation in sorted(uses):
        yield citation, "; ".join(list(dict.fromkeys(uses[citation]))[:4])


def _worksheets(study: Study) -> Iterator[Worksheet]:
    for facts in study.all_equipment():
        if facts.demand:
            yield facts.demand.worksheet
        if facts.grounding:
            yield facts.grounding.worksheet
    for run in study.all_runs():
        yield run.worksheet


def _gathered(study: Study, said: Iterable[tuple[str, str]]) -> tuple[tuple[str, str], ...]:
    """Say each text once, beside all the places that it holds for."""
    places: dict[str, list[str]] = {}
    for where, text in said:
        places.setdefault(text, []).append(_place(study, where))
    return tuple((_upper(text), "; ".join(dict.fromkeys(at))) for text, at in places.items())


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]


def _assumptions(study: Study) -> Iterator[tuple[str, str]]:
    for facts in tree_order(study):
        yield from ((facts.piece.id, text) for text in facts.assumptions)
    for run in study.all_runs():
        yield from ((run.run.id, text) for text in run.assumptions)


def _place(study: Study, key: str) -> str:
    piece = study.project.equipment.get(key)
    run = study.project.runs.get(key)
    return piece.name if piece else run_title(study, run) if run else "The project"
