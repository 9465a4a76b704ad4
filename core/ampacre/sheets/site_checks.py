"""What is seen on site: working space about equipment, and the list to go through before inspections.

The rulebook asks the questions; what was answered stands beside them.
"""

from collections.abc import Iterator

from ampacre.codebook.articles import cite
from ampacre.codebook.working_space import working_depths_ft
from ampacre.model.words import signed
from ampacre.quantity import show
from ampacre.rules.questions import QUESTIONS, Question, places_of
from ampacre.rules.reading import place_name
from ampacre.rules.rule import RULES
from ampacre.sheets.table import Column, Part, Table
from ampacre.sheets.wording import listed, tree_order
from ampacre.study.facts import EquipmentFacts
from ampacre.study.study import Study

__all__ = ["site_checks", "working_space"]

_SPACE = (
    Column("In front of", 55),
    Column("To ground", 28, "right"),
    Column("Clear depth", 64),
    Column("Width", 58),
    Column("Height", 58),
    Column("Seen", 52),
)
_CHECKS = (
    Column("To be seen before an inspection is asked for", 125),
    Column("At", 75),
    Column("Asked by", 65),
    Column("Seen", 50),
)
_DEPTHS = ("space-in-front", "space-in-front-above-low-volts")
_ELSEWHERE = (*_DEPTHS, "space-width", "space-height")


def working_space(study: Study) -> Iterator[Part]:
    """Make the table of the clear space in front of panels, disconnects and transfer switches."""
    edition = study.settings.edition
    rows = tuple(
        _space(study, facts, key)
        for facts in tree_order(study)
        for key in _DEPTHS
        if facts.piece.owner == "customer"
        and isinstance(facts.piece, QUESTIONS[key].kinds)
        and QUESTIONS[key].applies(study, facts)
    )
    keys = ("working_space", "working_width", "working_height")
    cited = ("asked by", "", *(cite(key, edition) for key in keys), "")
    yield Table("Working space", _SPACE, (*rows, cited) if rows else ())


def _space(study: Study, facts: EquipmentFacts, key: str) -> tuple[str, ...]:
    volts = facts.system.ground_v if facts.system else 0.0
    tall = facts.piece.location != "outdoors"
    return (
        facts.piece.name,
        show(volts, "v"),
        _depth(volts),
        "30 in, or the gear's",
        "6 ft 6 in, or the gear's" if tall else "outdoors, open",
        _answered(study, key, facts.piece.id),
    )


def _depth(ground_v: float) -> str:
    """Give the depths of the working space in words; one where they are all the same."""
    found = working_depths_ft(ground_v)
    if found is None:
        return "beyond the table"
    *less, most = [f"{ft:g}".replace(".5", "-1/2") for ft in dict.fromkeys(found.value)]
    return f"{', '.join(less)} or {most} ft, by what stands opposite" if less else f"{most} ft"


def site_checks(study: Study) -> Iterator[Part]:
    """Make the list of what the rulebook asks to be seen, each question once with its places.

    The texts of labels and the sizes of working space have tables of their own.
    """
    rows = [
        row
        for question in QUESTIONS.values()
        if question.key not in _ELSEWHERE and RULES[question.key].topic != "labels"
        for row in _check(study, question)
    ]
    yield Table("Before an inspection", _CHECKS, tuple(rows))


def _check(study: Study, question: Question) -> Iterator[tuple[str, ...]]:
    """Give a row for the places without an answer, and one for each answer given."""
    cited = cite(RULES[question.key].cite, study.settings.edition)
    open_at: list[str] = []
    for where, posed in places_of(study, question):
        if posed.told is not None:
            continue
        said = _answered(study, question.key, where)
        if said:
            yield question.text, place_name(study, where), cited, said
        else:
            open_at.append(place_name(study, where))
    if open_at:
        yield question.text, listed(open_at), cited, ""


def _answered(study: Study, question: str, where: str) -> str:
    for answer in study.project.answers.values():
        if (answer.question, answer.where) == (question, where):
            said = f"{answer.value}: {answer.note}" if answer.note else answer.value
            by = signed(answer)
            return f"{said} ({by})" if by else said
    return ""
