"""Questions about what is seen on site and no number tells: labels, colours, what is in sight.

Each question is filed with a key, the places it is asked at, and a citation. Answers stand in the
project. One answered "no" is a finding; one without an answer is a line of the site checklist. A
question may say where the model states the same thing; that then stands for an answer.
"""

from collections.abc import Callable, Iterable, Iterator
from functools import cache
from itertools import chain
from typing import Any, Literal, NamedTuple

from msgspec import Struct

from ampacre.model import records as r
from ampacre.model.edits import new_id
from ampacre.model.project import Change, Edit, Project
from ampacre.model.words import run_word
from ampacre.rules.handfuls import gathered, gathered_of_runs, handfuls
from ampacre.rules.reading import place_name
from ampacre.rules.recall import recalled
from ampacre.rules.rule import Finding, Rule, Scope, Severity, file_rule, found, said
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


QUESTIONS: dict[str, Question] = {}


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
        yield from _answered_no(study, question)
        for where, text in _said_no(study, question.key):
            yield _finding(study, question, where, text, "The drawing says no")

    QUESTIONS[question.key] = question
    file_rule(
        Rule(
            question.key, topic, severity, "project", cite, *said(question.applies), check,
            kinds=question.kinds, roles=question.roles, utility=True, question=question.text,
        )
    )  # fmt: skip


@recalled
def _all_answers(study: Study) -> dict[str, dict[str, r.Answer]]:
    """All answers by question and place: gone over once, not once for each question."""
    found: dict[str, dict[str, r.Answer]] = {}
    for answer in study.project.answers.values():
        found.setdefault(answer.question, {})[answer.where] = answer
    return found


@recalled
def _answers(study: Study, question: str) -> dict[str, r.Answer]:
    return _all_answers(study).get(question, {})


class Posed(NamedTuple):
    """A question where it is asked: its words there, and what the model says, None for nothing."""

    text: str
    told: bool | None


@recalled
def _posed(study: Study, key: str, where: str) -> Posed | None:
    """Give a question as it is asked at a place; None where it is not asked."""
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


def is_asked(study: Study, key: str, facts: EquipmentFacts) -> bool:
    """Tell whether a question about pieces is asked at one."""
    question = QUESTIONS[key]
    wanted = isinstance(facts.piece, question.kinds) and facts.piece.owner == "customer"
    return wanted and bool(question.applies(study, facts))


def places_of(study: Study, question: Question) -> Iterator[tuple[str, Posed]]:
    """Give the places that a question is asked at, each with what is asked there."""
    for where in _candidates(study, question):
        posed = _posed(study, question.key, where)
        if posed is not None:
            yield where, posed


def _candidates(study: Study, question: Question) -> list[str]:
    near = _nearby(study, question.scope)
    about = question.scope, question.kinds, question.roles
    return sorted(key for keys in near for key in _among(study, keys, *about))


def _nearby(study: Study, scope: Scope) -> Iterable[tuple[str, ...]]:
    """Give all places of a scope, in handfuls."""
    if scope == "project":
        return (("project",),)
    return (each.pieces if scope == "piece" else each.runs for each in handfuls(study))


@recalled
def _among(
    study: Study,
    keys: tuple[str, ...],
    scope: Scope,
    kinds: tuple[type[r.Equipment], ...],
    roles: tuple[r.Role, ...],
) -> tuple[str, ...]:
    """Give those of some places that a question is about if it is about these kinds or roles."""
    if scope == "project":
        return tuple(key for key in keys if key == "project")
    if scope == "piece":
        pieces = [(key, study.standing.equipment.get(key)) for key in keys]
        return tuple(key for key, it in pieces if isinstance(it, kinds) and it.owner == "customer")
    runs = [(key, study.standing.runs.get(key)) for key in keys]
    return tuple(
        key
        for key, run in runs
        if run is not None and (not roles or run.role in roles) and run.owner == "customer"
    )


def _answered_no(study: Study, question: Question) -> Iterator[Finding]:
    answers = _answers(study, question.key)
    no = tuple(where for where, answer in answers.items() if answer.value == "no")
    for where in _among(study, no, question.scope, question.kinds, question.roles):
        posed = _posed(study, question.key, where)
        if posed is not None and posed.told is None:
            reply = "Answered no" + _noted(answers[where])
            yield _finding(study, question, where, posed.text, reply)


@recalled
def _said_no(study: Study, key: str) -> tuple[tuple[str, str], ...]:
    """Give the places where the model states that a question is to be answered no, and its text."""
    said = chain(_said_no_of_pieces(study), _said_no_of_runs(study))
    return tuple((where, text) for question, where, text in said if question == key)


@gathered
def _said_no_of_pieces(study: Study, where: str) -> Iterator[tuple[str, str, str]]:
    piece = study.standing.equipment[where]
    if piece.owner == "customer":
        for key in _stated_of_pieces(type(piece)):
            posed = _posed(study, key, where)
            if posed is not None and posed.told is False:
                yield key, where, posed.text


@gathered_of_runs
def _said_no_of_runs(study: Study, where: str) -> Iterator[tuple[str, str, str]]:
    run = study.standing.runs[where]
    if run.owner == "customer":
        for key in _stated_of_runs(run.role):
            posed = _posed(study, key, where)
            if posed is not None and posed.told is False:
                yield key, where, posed.text


@cache
def _stated_of_pieces(kind: type[r.Equipment]) -> tuple[str, ...]:
    stated = (each for each in QUESTIONS.values() if each.stated and each.scope == "piece")
    return tuple(each.key for each in stated if issubclass(kind, each.kinds))


@cache
def _stated_of_runs(role: r.Role) -> tuple[str, ...]:
    stated = (each for each in QUESTIONS.values() if each.stated and each.scope == "run")
    return tuple(each.key for each in stated if not each.roles or role in each.roles)


def _noted(answer: r.Answer) -> str:
    return f": {answer.note}" if answer.note else ""


def _finding(study: Study, question: Question, where: str, text: str, reply: str) -> Finding:
    return found(
        question.key, where, "{place}: {question} {reply}.",
        place=place_name(study, where), question=text, reply=reply,
    )  # fmt: skip


def asked(study: Study) -> Iterator[Asked]:
    """Give the whole site checklist in the book's order; answers that nothing asks for go last."""
    left = dict(study.project.answers)
    for question in QUESTIONS.values():
        answers = _answers(study, question.key)
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
        answers = _answers(study, question.key).items()
        unknown = tuple(sorted(where for where, a in answers if a.value == "unknown"))
        for where in _among(study, unknown, question.scope, question.kinds, question.roles):
            if _posed(study, question.key, where) is not None:
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
