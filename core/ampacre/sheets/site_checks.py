"""What is seen on site: working space about equipment, and the list to go through before inspections.

The rulebook asks the questions; what was answered stands beside them.
"""

from collections.abc import Iterable, Iterator
from itertools import groupby
from operator import attrgetter

from ampacre.codebook.articles import cite
from ampacre.codebook.working_space import working_depths_ft
from ampacre.model import records as r
from ampacre.model.naming import listed
from ampacre.model.words import signed
from ampacre.quantity import show
from ampacre.rules.questions import QUESTIONS, Asked, asked, is_asked
from ampacre.rules.reading import place_name
from ampacre.rules.rule import RULES
from ampacre.sheets.table import Column, Part, Table
from ampacre.sheets.wording import tree_order
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
        if is_asked(study, key, facts)
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
    lines = (line for line in asked(study) if line.stands and _is_listed(line.question))
    rows = [
        row
        for key, about in groupby(lines, attrgetter("question"))
        for row in _check(study, key, about)
    ]
    yield Table("Before an inspection", _CHECKS, tuple(rows))


def _is_listed(question: str) -> bool:
    return question not in _ELSEWHERE and RULES[question].topic != "labels"


def _check(study: Study, question: str, lines: Iterable[Asked]) -> Iterator[tuple[str, ...]]:
    """Give a row for the places without an answer, and one for each answer given."""
    text, cited = QUESTIONS[question].text, cite(RULES[question].cite, study.settings.edition)
    open_at: list[str] = []
    for line in lines:
        if line.answer:
            yield text, place_name(study, line.where), cited, _reply(line.answer)
        else:
            open_at.append(place_name(study, line.where))
    if open_at:
        yield text, listed(open_at), cited, ""


def _answered(study: Study, question: str, where: str) -> str:
    answers = study.project.answers.values()
    given = (each for each in answers if (each.question, each.where) == (question, where))
    answer = next(given, None)
    return _reply(answer) if answer else ""


def _reply(answer: r.Answer) -> str:
    said = f"{answer.value}: {answer.note}" if answer.note else answer.value
    by = signed(answer)
    return f"{said} ({by})" if by else said
