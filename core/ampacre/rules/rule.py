"""What a rule and a finding are.

A rule is one small function from facts to findings, filed with a key and a citation. It never
changes anything: its remedies are edits that are made when somebody asks for them.
"""

from collections.abc import Callable, Iterator, Mapping
from typing import Literal, NamedTuple

from msgspec import Struct

from ampacre.model import records as r
from ampacre.model.project import Edit
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.study import Study

__all__ = [
    "RULES",
    "Finding",
    "Rule",
    "Scope",
    "Severity",
    "exceeds",
    "found",
    "on_piece",
    "on_project",
    "on_run",
]

Severity = Literal["violation", "warning", "advice"]
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


class Rule(Struct, frozen=True):
    """A rule of the book. `cite` is a key of the codebook's articles, or words of common practice.

    `title` and `explanation` come from the docstring of its function; `severity` is the gravest
    that it gives. `utility` rules look at the utility's property too.
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
    remedies: Remedies | None = None
    utility: bool = False


RULES: dict[str, Rule] = {}

PieceCheck = Callable[[Study, EquipmentFacts], Iterator[Finding]]
RunCheck = Callable[[Study, RunFacts], Iterator[Finding]]
ProjectCheck = Callable[[Study], Iterator[Finding]]


def found(
    rule: str, where: str, text: str, *, about: str = "", severity: Severity | None = None,
    **values: float | str,
) -> Finding:
    """Make a finding of a filed rule, at the rule's severity unless another is given."""
    return Finding(rule, severity or RULES[rule].severity, where, text, values, about)


def exceeds(value: float, limit: float) -> bool:
    """Whether a value is above a limit by more than the arithmetic's own rounding."""
    return value > limit * (1 + 1e-9)


def _file(
    key: str, topic: str, severity: Severity, scope: Scope, cite: str,
    check: Callable[..., Iterator[Finding]], kinds: tuple[type[r.Equipment], ...],
    remedies: Remedies | None, utility: bool,
) -> None:
    doc = (check.__doc__ or "").strip()
    title, _, rest = doc.partition("\n")
    if key in RULES:
        raise ValueError(f"two rules with the key {key}")
    explanation = " ".join(rest.split())
    RULES[key] = Rule(
        key, topic, severity, scope, cite, title.rstrip("."), explanation, check, kinds, remedies,
        utility,
    )  # fmt: skip


def on_piece(
    key: str, *kinds: type[r.Equipment], topic: str, severity: Severity, cite: str,
    remedies: Remedies | None = None, utility: bool = False,
) -> Callable[[PieceCheck], PieceCheck]:
    """File a rule that looks at each piece of these kinds (or of any kind)."""

    def file(check: PieceCheck) -> PieceCheck:
        _file(key, topic, severity, "piece", cite, check, kinds, remedies, utility)
        return check

    return file


def on_run(
    key: str, *, topic: str, severity: Severity, cite: str, remedies: Remedies | None = None,
    utility: bool = False,
) -> Callable[[RunCheck], RunCheck]:
    """File a rule that looks at each run."""

    def file(check: RunCheck) -> RunCheck:
        _file(key, topic, severity, "run", cite, check, (), remedies, utility)
        return check

    return file


def on_project(
    key: str, *, topic: str, severity: Severity, cite: str, remedies: Remedies | None = None
) -> Callable[[ProjectCheck], ProjectCheck]:
    """File a rule that looks at the project as a whole."""

    def file(check: ProjectCheck) -> ProjectCheck:
        _file(key, topic, severity, "project", cite, check, (), remedies, utility=True)
        return check

    return file
