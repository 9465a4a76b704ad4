"""Questions about what is seen on site whose answer is no, from somebody or from the model itself."""

from collections.abc import Iterable, Iterator
from functools import cache

from ampacre.model import records as r
from ampacre.rules.handfuls import gathered, gathered_of_runs
from ampacre.rules.posed import QUESTIONS, Question, answers_to, posed, posed_at
from ampacre.rules.reading import place_name
from ampacre.rules.recall import recalled
from ampacre.rules.rule import Finding, found
from ampacre.study.study import Study

__all__ = ["findings_of_no"]

_SaidNo = tuple[str, str, str]
"""A question that the model says no to: its key, the id of its place, and its text there."""


def findings_of_no(study: Study, question: Question) -> Iterator[Finding]:
    """Give a finding wherever a question is asked and its answer is no."""
    for where, answer in answers_to(study, question.key).items():
        if answer.value == "no":
            at = posed_at(study, question, where)
            if at is not None and at.told is None:
                noted = f": {answer.note}" if answer.note else ""
                yield _finding(study, question, where, at.text, f"Answered no{noted}")
    for _, where, text in _said_no(study, question.key):
        yield _finding(study, question, where, text, "The drawing says no")


def _finding(study: Study, question: Question, where: str, text: str, reply: str) -> Finding:
    return found(
        question.key, where, "{place}: {question} {reply}.",
        place=place_name(study, where), question=text, reply=reply,
    )  # fmt: skip


@recalled
def _said_no(study: Study, question: str) -> tuple[_SaidNo, ...]:
    everywhere = (*_said_no_of_pieces(study), *_said_no_of_runs(study))
    return tuple(each for each in everywhere if each[0] == question)


@gathered
def _said_no_of_pieces(study: Study, key: str) -> Iterator[_SaidNo]:
    piece = study.standing.equipment[key]
    if piece.owner == "customer":
        yield from _said_no_at(study, _stated_of_pieces(type(piece)), key)


@gathered_of_runs
def _said_no_of_runs(study: Study, key: str) -> Iterator[_SaidNo]:
    run = study.standing.runs[key]
    if run.owner == "customer":
        yield from _said_no_at(study, _stated_of_runs(run.role), key)


def _said_no_at(study: Study, questions: Iterable[str], where: str) -> Iterator[_SaidNo]:
    for question in questions:
        at = posed(study, question, where)
        if at is not None and at.told is False:
            yield question, where, at.text


@cache
def _stated_of_pieces(kind: type[r.Equipment]) -> tuple[str, ...]:
    stated = (each for each in QUESTIONS.values() if each.stated and each.scope == "piece")
    return tuple(each.key for each in stated if issubclass(kind, each.kinds))


@cache
def _stated_of_runs(role: r.Role) -> tuple[str, ...]:
    stated = (each for each in QUESTIONS.values() if each.stated and each.scope == "run")
    return tuple(each.key for each in stated if not each.roles or role in each.roles)
