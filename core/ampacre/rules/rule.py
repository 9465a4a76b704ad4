"""What a rule and a finding are.

A rule is one small function from facts to findings, filed with a key and a citation. It never
changes anything: its remedies are edits that are made when somebody asks for them.
"""

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping
from typing import Any, Literal, NamedTuple, TypeVar

from msgspec import Struct

from ampacre.model import records as r
from ampacre.model.project import Edit
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.study import Study

__all__ = [
    "RULES",
    "Finding",
    "Remedies",
    "Rule",
    "Scope",
    "Severity",
    "exceeds",
    "file_rule",
    "found",
    "on_piece",
    "on_project",
    "on_run",
    "said",
]

Severity = Literal["violation", "warning", "ask", "advice"]
"""`ask` is a question to the authority, where readings of the code differ."""
Scope = Literal["piece", "run", "project"]


class Key(NamedTuple):
    """What makes a finding the same finding after an edit."""

    rule: str
    where: str
    about: str


class Finding(Struct, frozen=True):
    """What a rule has to say about one element.

    `where` is the id of a piece, a run or "project"; `about` tells apart several findings of one
    rule in one place. `text` names values in braces; each value's name ends in its unit, and
    `Review.message` renders them in the project's units.
    """

    rule: str
    severity: Severity
    where: str
    text: str
    values: Mapping[str, float | str]
    about: str = ""

    @property
    def key(self) -> Key:
        """Rule, place and subject: the same after an edit as before it."""
        return Key(self.rule, self.where, self.about)


Remedies = Callable[[Study, Finding], Iterator[Edit]]
Parts = Callable[[Study], Iterable[tuple[Hashable, ...]]]
"""What a rule of the project looks at one after the other: each service, each handful of pieces."""


def _as_one(_study: Study) -> Iterable[tuple[Hashable, ...]]:
    return ((),)


class Rule(Struct, frozen=True):
    """A rule of the book. `cite` is a key of the codebook's articles, or words of common practice.

    `title` and `explanation` come from the docstring of its function; `severity` is the gravest
    that it gives. `kinds` of equipment or `roles` of runs are those it looks at, all where empty;
    `utility` rules look at the utility's property too. A rule of the project looks at one of its
    `parts` at a time, whose ids `check` takes after the study. `question` is what is asked on site,
    for rules that rest on an answer.
    """

    key: str
    topic: str
    severity: Severity
    scope: Scope
    cite: str
    title: str
    explanation: str
    check: Callable[..., Iterator[Finding]]
    kinds: tuple[type[r.Equipment], ...] = ()
    roles: tuple[r.Role, ...] = ()
    remedies: Remedies | None = None
    utility: bool = False
    parts: Parts = _as_one
    question: str = ""


RULES: dict[str, Rule] = {}

PieceCheck = Callable[[Study, EquipmentFacts], Iterator[Finding]]
RunCheck = Callable[[Study, RunFacts], Iterator[Finding]]
ProjectCheck = TypeVar("ProjectCheck", bound=Callable[..., Iterator[Finding]])


def found(
    rule: str,
    where: str,
    text: str,
    *,
    about: str = "",
    severity: Severity | None = None,
    **values: float | str,
) -> Finding:
    """Make a finding of a filed rule, at the rule's severity unless another is given."""
    return Finding(rule, severity or RULES[rule].severity, where, text, values, about)


def exceeds(value: float, limit: float) -> bool:
    """Whether a value is above a limit by more than the arithmetic's own rounding."""
    return value > limit * (1 + 1e-9)


def file_rule(rule: Rule) -> None:
    """Put a rule into the book; no two have the same key."""
    if rule.key in RULES:
        raise ValueError(f"two rules with the key {rule.key}")
    RULES[rule.key] = rule


def said(check: Callable[..., Any]) -> tuple[str, str]:
    """Give title and explanation from a function's docstring."""
    title, _, rest = (check.__doc__ or "").strip().partition("\n")
    return title.rstrip("."), " ".join(rest.split())


def on_piece(
    key: str,
    *kinds: type[r.Equipment],
    topic: str,
    severity: Severity,
    cite: str,
    remedies: Remedies | None = None,
    utility: bool = False,
) -> Callable[[PieceCheck], PieceCheck]:
    """File a rule that looks at each piece of these kinds (or of any kind)."""

    def file(check: PieceCheck) -> PieceCheck:
        file_rule(
            Rule(
                key, topic, severity, "piece", cite, *said(check), check,
                kinds=kinds, remedies=remedies, utility=utility,
            )
        )  # fmt: skip
        return check

    return file


def on_run(
    key: str,
    *,
    topic: str,
    severity: Severity,
    cite: str,
    roles: tuple[r.Role, ...] = (),
    remedies: Remedies | None = None,
    utility: bool = False,
) -> Callable[[RunCheck], RunCheck]:
    """File a rule that looks at each run of these roles (or of any)."""

    def file(check: RunCheck) -> RunCheck:
        file_rule(
            Rule(
                key, topic, severity, "run", cite, *said(check), check,
                roles=roles, remedies=remedies, utility=utility,
            )
        )  # fmt: skip
        return check

    return file


def on_project(
    key: str,
    *,
    topic: str,
    severity: Severity,
    cite: str,
    remedies: Remedies | None = None,
    parts: Parts = _as_one,
) -> Callable[[ProjectCheck], ProjectCheck]:
    """File a rule that looks at the project as a whole, or at one of its parts at a time."""

    def file(check: ProjectCheck) -> ProjectCheck:
        file_rule(
            Rule(
                key, topic, severity, "project", cite, *said(check), check,
                remedies=remedies, utility=True, parts=parts,
            )
        )  # fmt: skip
        return check

    return file
