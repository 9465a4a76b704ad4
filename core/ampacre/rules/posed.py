"""Which questions about what is seen on site are posed where, and what the model says of them."""

from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

from msgspec import Struct

from ampacre.model import records as r
from ampacre.rules.recall import recalled
from ampacre.rules.rule import Scope
from ampacre.study.facts import EquipmentFacts
from ampacre.study.study import Study

__all__ = [
    "QUESTIONS",
    "Posed",
    "Question",
    "answers_to",
    "is_asked",
    "places_of",
    "posed",
    "posed_at",
]


class Question(Struct, frozen=True):
    """A question that yes or no answers, and where it is asked.

    `applies` tells whether it is asked at a place; `stated` gives what the model says of it
    already, None where it says nothing; `wording` what a label has to say there.
    """

    key: str
    text: str
    scope: Scope
    applies: Callable[..., bool]
    stated: Callable[..., bool | None] | None = None
    kinds: tuple[type[r.Equipment], ...] = ()
    roles: tuple[r.Role, ...] = ()
    wording: Callable[..., str] | None = None


QUESTIONS: dict[str, Question] = {}


@recalled
def _all_answers(study: Study) -> dict[str, dict[str, r.Answer]]:
    """All answers by question and place: gone over once, not once for each question."""
    found: dict[str, dict[str, r.Answer]] = {}
    for answer in study.project.answers.values():
        found.setdefault(answer.question, {})[answer.where] = answer
    return found


@recalled
def answers_to(study: Study, question: str) -> dict[str, r.Answer]:
    """Give the answers to a question, by their places."""
    return _all_answers(study).get(question, {})


class Posed(NamedTuple):
    """A question where it is asked: its words there, and what the model says, None for nothing."""

    text: str
    told: bool | None


@recalled
def posed(study: Study, key: str, where: str) -> Posed | None:
    """Give a question as it is asked at a place that it is about; None where it is not asked."""
    question = QUESTIONS[key]
    about: tuple[Any, ...] = (study,)
    if question.scope == "piece":
        about = (study, study.equipment(where))
    elif question.scope == "run":
        about = (study, study.run(where))
    if not question.applies(*about):
        return None
    text = question.text
    if question.wording is not None:
        text = f'{text} It says "{question.wording(*about)}".'
    return Posed(text, question.stated(*about) if question.stated else None)


def posed_at(study: Study, question: Question, where: str) -> Posed | None:
    """Give a question as it is asked at any place whatever; None where it is not asked."""
    return posed(study, question.key, where) if _is_about(study, question, where) else None


def _is_about(study: Study, question: Question, where: str) -> bool:
    if question.scope == "project":
        return where == "project"
    if question.scope == "piece":
        piece = study.standing.equipment.get(where)
        return isinstance(piece, question.kinds) and piece.owner == "customer"
    run = study.standing.runs.get(where)
    if run is None or run.owner != "customer":
        return False
    return not question.roles or run.role in question.roles


def is_asked(study: Study, key: str, facts: EquipmentFacts) -> bool:
    """Tell whether a question about pieces is asked at one."""
    question = QUESTIONS[key]
    wanted = isinstance(facts.piece, question.kinds) and facts.piece.owner == "customer"
    return wanted and bool(question.applies(study, facts))


def places_of(study: Study, question: Question) -> Iterator[tuple[str, Posed]]:
    """Give the places that a question is asked at, in order, each with what is asked there."""
    standing = study.standing
    places = {"piece": standing.equipment, "run": standing.runs, "project": ("project",)}
    for where in sorted(places[question.scope]):
        at = posed_at(study, question, where)
        if at is not None:
            yield where, at
