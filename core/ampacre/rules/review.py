"""The review: every rule over a study, its findings in a fixed order, and what is missing."""

from collections.abc import Iterator
from functools import cache
from typing import NamedTuple

from ampacre.codebook.articles import cite
from ampacre.model import records as r
from ampacre.model.project import Edit, Refused
from ampacre.quantity import fill
from ampacre.rules.questions import Open, open_questions, unknown_answers
from ampacre.rules.reading import place_name
from ampacre.rules.rule import RULES, Finding, Key, Rule, Severity
from ampacre.study.study import Study

__all__ = ["SEVERITIES", "Missing", "Review"]

SEVERITIES: tuple[Severity, ...] = ("violation", "warning", "ask", "advice")
"""From the gravest down."""


class Missing(NamedTuple):
    """What a piece or run lacks before it can be checked."""

    where: str
    text: str


class Review:
    """Findings of the whole rulebook on a study.

    `findings` go from the gravest down, by the name of their place and the rule; `missing` lists
    what could not be checked for want of an input. Code rules pass over what the utility owns.
    """

    findings: tuple[Finding, ...]
    missing: tuple[Missing, ...]

    def __init__(self, study: Study) -> None:
        self.follow(study)

    def follow(self, study: Study) -> None:
        """Go over a study, the same or another one, from its first piece to its last run."""
        self.study = study
        found = list(_check_everything(study))
        rank = {severity: place for place, severity in enumerate(SEVERITIES)}
        found.sort(
            key=lambda f: (rank[f.severity], place_name(study, f.where), f.rule, f.where, f.about)
        )
        self.findings = tuple(found)
        self.missing = tuple(_missing(study))
        self._questions: tuple[Open, ...] | None = None
        accepted = study.project.accepted.values()
        self._accepted = {Key(a.rule, a.where, a.about): a for a in accepted}
        self._at: dict[str, tuple[Finding, ...]] = {}
        for finding in found:
            self._at[finding.where] = (*self._at.get(finding.where, ()), finding)

    @property
    def questions(self) -> tuple[Open, ...]:
        """The site checklist: what nobody has answered yet. Gone over when it is asked for."""
        if self._questions is None:
            self._questions = tuple(open_questions(self.study))
        return self._questions

    def of(self, where: str) -> tuple[Finding, ...]:
        """Give the findings at a piece, a run or "project", the gravest first."""
        return self._at.get(where, ())

    def worst(self, where: str) -> Severity | None:
        """Give the gravest severity at a place among findings that nobody accepted."""
        standing = (f.severity for f in self.of(where) if self.accepted(f) is None)
        return next(standing, None)

    def accepted(self, finding: Finding) -> r.Accepted | None:
        """Give the record by which somebody accepted a finding, or None."""
        return self._accepted.get(finding.key)

    def message(self, finding: Finding) -> str:
        """Say a finding in the project's units."""
        said = fill(finding.text, finding.values, self.study.settings.units)
        return said[:1].upper() + said[1:]

    def cite(self, finding: Finding) -> str:
        """Give the citation of a finding's rule in the project's edition."""
        return cite(RULES[finding.rule].cite, self.study.settings.edition)

    def remedies(self, finding: Finding) -> tuple[Edit, ...]:
        """Give edits of the present project that clear a finding of it; each was tried."""
        offer = RULES[finding.rule].remedies
        if offer is None:
            return ()
        return tuple(edit for edit in offer(self.study, finding) if self._clears(edit, finding))

    def _clears(self, edit: Edit, finding: Finding) -> bool:
        try:
            after = self.study.fork(self.study.project.apply(edit))
        except Refused:
            return False
        return all(found.key != finding.key for found in _check(after, RULES[finding.rule]))


@cache
def _piece_rules(kind: type[r.Equipment], owner: r.Owner) -> tuple[Rule, ...]:
    return tuple(
        rule
        for rule in RULES.values()
        if rule.scope == "piece"
        and (not rule.kinds or issubclass(kind, rule.kinds))
        and (rule.utility or owner == "customer")
    )


@cache
def _run_rules(role: r.Role, owner: r.Owner) -> tuple[Rule, ...]:
    return tuple(
        rule
        for rule in RULES.values()
        if rule.scope == "run"
        and (not rule.roles or role in rule.roles)
        and (rule.utility or owner == "customer")
    )


def _check_everything(study: Study) -> Iterator[Finding]:
    for facts in study.all_equipment():
        for rule in _piece_rules(type(facts.piece), facts.piece.owner):
            yield from rule.check(study, facts)
    for run in study.all_runs():
        for rule in _run_rules(run.run.role, run.run.owner):
            yield from rule.check(study, run)
    for rule in RULES.values():
        if rule.scope == "project":
            yield from rule.check(study)


def _check(study: Study, rule: Rule) -> Iterator[Finding]:
    """Check one rule alone, wherever it applies."""
    if rule.scope == "project":
        yield from rule.check(study)
    elif rule.scope == "piece":
        for facts in study.all_equipment():
            if rule in _piece_rules(type(facts.piece), facts.piece.owner):
                yield from rule.check(study, facts)
    else:
        for run in study.all_runs():
            if rule in _run_rules(run.run.role, run.run.owner):
                yield from rule.check(study, run)


def _missing(study: Study) -> Iterator[Missing]:
    for facts in study.all_equipment():
        for text in facts.missing:
            yield Missing(facts.piece.id, text)
    for run in study.all_runs():
        for text in run.missing:
            yield Missing(run.run.id, text)
    for question in unknown_answers(study):
        yield Missing(question.where, f"answered unknown: {question.text}")
