"""Questions about what is seen on site and no number tells: labels, colours, what is in sight.

Each question is filed with a key, the places it is asked at, and a citation. Answers stand in the
project. One answered "no" is a finding; one without an answer is a line of the site checklist. A
question may say where the model states the same thing; that then stands for an answer.
"""

from collections.abc import Callable, Iterator
from typing import Literal, NamedTuple

from ampacre.model import records as r
from ampacre.model.edits import new_id
from ampacre.model.project import Change, Edit, Project
from ampacre.model.words import run_word
from ampacre.rules.answered_no import findings_of_no
from ampacre.rules.posed import (
    QUESTIONS,
    Posed,
    Question,
    answers_to,
    is_asked,
    places_of,
    posed_at,
)
from ampacre.rules.rule import Finding, Rule, Severity, file_rule, said
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.study import Study

__all__ = [
    "QUESTIONS",
    "Asked",
    "Open",
    "Posed",
    "Question",
    "Reply",
    "answer_dropped",
    "answered",
    "ask_of_piece",
    "ask_of_project",
    "ask_of_run",
    "asked",
    "is_asked",
    "open_questions",
    "places_of",
    "unknown_answers",
    "with_answers",
]

Reply = Literal["yes", "no", "unknown"]

PieceAsks = Callable[[Study, EquipmentFacts], bool]
RunAsks = Callable[[Study, RunFacts], bool]
ProjectAsks = Callable[[Study], bool]


class Open(NamedTuple):
    """A question that nobody has answered: its key, the id of its place, and its text."""

    question: str
    where: str
    text: str


class Asked(NamedTuple):
    """A line of the site checklist: a question about a place, and the answer that it got.

    `stands` is False for an answer to what is no longer asked there.
    """

    question: str
    where: str
    text: str
    answer: r.Answer | None = None
    stands: bool = True


def ask_of_piece(
    key: str,
    *kinds: type[r.Equipment],
    topic: str,
    severity: Severity,
    cite: str,
    text: str,
    stated: Callable[[Study, EquipmentFacts], bool | None] | None = None,
    wording: Callable[[Study, EquipmentFacts], str] | None = None,
) -> Callable[[PieceAsks], PieceAsks]:
    """File a question about pieces of these kinds; the function tells which of them."""

    def file(applies: PieceAsks) -> PieceAsks:
        question = Question(key, text, "piece", applies, stated, kinds=kinds, wording=wording)
        _file(question, topic, severity, cite)
        return applies

    return file


def ask_of_run(
    key: str,
    *roles: r.Role,
    topic: str,
    severity: Severity,
    cite: str,
    text: str,
    stated: Callable[[Study, RunFacts], bool | None] | None = None,
) -> Callable[[RunAsks], RunAsks]:
    """File a question about runs of these roles; the function tells which of them."""

    def file(applies: RunAsks) -> RunAsks:
        question = Question(key, text, "run", applies, stated, roles=roles)
        _file(question, topic, severity, cite)
        return applies

    return file


def ask_of_project(
    key: str, *, topic: str, severity: Severity, cite: str, text: str
) -> Callable[[ProjectAsks], ProjectAsks]:
    """File a question about the project as a whole."""

    def file(applies: ProjectAsks) -> ProjectAsks:
        _file(Question(key, text, "project", applies), topic, severity, cite)
        return applies

    return file


def _file(question: Question, topic: str, severity: Severity, cite: str) -> None:
    """File the question, and the rule that it must not be answered no.

    The rule looks at the project, as answers are few and pieces many.
    """

    def check(study: Study) -> Iterator[Finding]:
        return findings_of_no(study, question)

    QUESTIONS[question.key] = question
    file_rule(
        Rule(
            question.key, topic, severity, "project", cite, *said(question.applies), check,
            kinds=question.kinds, roles=question.roles, utility=True, question=question.text,
        )
    )  # fmt: skip


def asked(study: Study) -> Iterator[Asked]:
    """Give the whole site checklist in the book's order; answers that nothing asks for go last."""
    left = dict(study.project.answers)
    for question in QUESTIONS.values():
        answers = answers_to(study, question.key)
        for where, posed in places_of(study, question):
            if posed.told is None:
                answer = answers.get(where)
                yield Asked(question.key, where, posed.text, answer)
                if answer:
                    left.pop(answer.id)
    yield from map(_stray, left.values())


def _stray(answer: r.Answer) -> Asked:
    question = QUESTIONS.get(answer.question)
    text = question.text if question else answer.question
    return Asked(answer.question, answer.where, text, answer, stands=False)


def with_answers(lines: tuple[Asked, ...], project: Project) -> tuple[Asked, ...]:
    """Give the lines of a checklist with the answers of a project that differs in nothing else."""
    answers = {(a.question, a.where): a for a in project.answers.values()}
    asked_for = [
        line._replace(answer=answers.pop((line.question, line.where), None))
        for line in lines
        if line.stands
    ]
    return (*asked_for, *map(_stray, answers.values()))


def open_questions(study: Study) -> Iterator[Open]:
    """Give the questions that neither an answer nor the model settles, in the book's order."""
    for line in asked(study):
        if line.answer is None:
            yield Open(line.question, line.where, line.text)


def unknown_answers(study: Study) -> Iterator[Open]:
    """Give the questions that somebody answered with "unknown", where they are still asked."""
    for question in QUESTIONS.values():
        for where, answer in sorted(answers_to(study, question.key).items()):
            if answer.value == "unknown" and posed_at(study, question, where) is not None:
                yield Open(question.key, where, question.text)


def answered(
    project: Project, question: str, where: str, value: Reply, note: str = "", who: str = "",
    when: str = "",
) -> Edit:  # fmt: skip
    """Answer a question about a place; an earlier answer gives way to it.

    `who` saw it, `when` is the day in ISO 8601.
    """
    before = next(
        (a for a in project.answers.values() if (a.question, a.where) == (question, where)), None
    )
    key = before.id if before else new_id()
    after = r.Answer(
        id=key, question=question, where=where, value=value, note=note, who=who, when=when
    )
    changes = (Change("answers", key, before, after),) if after != before else ()
    return Edit(f"Answer {value} about {_called(project, where)}", changes)


def answer_dropped(project: Project, answer: r.Answer) -> Edit:
    """Take an answer back, so that its question is open again."""
    label = f"Take back an answer about {_called(project, answer.where)}"
    return Edit(label, (Change("answers", answer.id, answer, None),))


def _called(project: Project, where: str) -> str:
    """Name a place for the label of an edit."""
    run = project.runs.get(where)
    if run:
        return run_word(project, run)
    place = project.equipment.get(where) or project.structures.get(where)
    return place.name if place else "the property"
