"""The review: every rule over a study, its findings in a fixed order, and what is missing."""

from collections.abc import Hashable, Iterable, Iterator
from functools import cache
from itertools import chain
from operator import itemgetter
from typing import Final, NamedTuple

from ampacre.codebook.articles import cite
from ampacre.model import records as r
from ampacre.model.naming import listed
from ampacre.model.project import Edit, Refused
from ampacre.quantity import fill
from ampacre.rules.handfuls import handfuls
from ampacre.rules.questions import Open, open_questions, unknown_answers
from ampacre.rules.reading import place_name
from ampacre.rules.recall import Recall, recalled
from ampacre.rules.rule import RULES, Finding, Key, Rule, Severity
from ampacre.study.study import Study

__all__ = ["SEVERITIES", "Missing", "Review"]

SEVERITIES: tuple[Severity, ...] = ("violation", "warning", "ask", "advice")
"""From the gravest down."""
_GRAVITY: Final = {severity: place for place, severity in enumerate(SEVERITIES)}
_WAYS: Final = {"read it off": "read them off", "enter it": "enter them"}
"""What is to be done about something missing, and the words for several."""
_Rank = tuple[int, str, str, str, str]
"""By what findings are put in order: gravity, name of the place, rule, place and subject."""


class Missing(NamedTuple):
    """What a piece or run lacks before it can be checked: all of it, in one line."""

    where: str
    lacks: tuple[str, ...]

    @property
    def text(self) -> str:
        """All of it in words; what is to be done to several of them in the same way is said once."""
        return _one_line(self.lacks)


class Review:
    """Findings of the whole rulebook on a study.

    `findings` go from the gravest down, by the name of their place and the rule; `missing` lists
    what could not be checked for want of an input. Code rules pass over what the utility owns.
    """

    findings: tuple[Finding, ...]
    missing: tuple[Missing, ...]

    def __init__(self, study: Study) -> None:
        self._recall = Recall(study)
        self._seen: _All | None = None
        self._go_over(study)

    def follow(self, study: Study) -> None:
        """Bring the findings up to date with a study, the same or another one."""
        self._recall.follow(study)
        self._go_over(study)

    def _go_over(self, study: Study) -> None:
        self.study = study
        self._questions: tuple[Open, ...] | None = None
        self._standing: tuple[Finding, ...] | None = None
        accepted = study.project.accepted.values()
        self._accepted = {Key(a.rule, a.where, a.about): a for a in accepted}
        asked = self._recall.study
        near = handfuls(asked)
        seen = _All(
            [_seen_at_pieces(asked, each.pieces) for each in near],
            [_seen_at_runs(asked, each.runs) for each in near],
            [_seen_in_project(asked, key) for key in _project_rules()],
            _unknown(asked),
        )
        if seen != self._seen:
            self._seen = seen
            self._sort(seen)

    def _sort(self, seen: "_All") -> None:
        ranked = _in_order(chain(seen.pieces, seen.runs, seen.project))
        self.findings = tuple(finding for _, finding in ranked)
        self.missing = (*_lacking(seen.pieces), *_lacking(seen.runs), *seen.unknown)
        self._at: dict[str, list[Finding]] | None = None

    @property
    def questions(self) -> tuple[Open, ...]:
        """The site checklist: what nobody has answered yet. Gone over when it is asked for."""
        if self._questions is None:
            self._questions = tuple(open_questions(self.study))
        return self._questions

    @property
    def standing(self) -> tuple[Finding, ...]:
        """The findings that nobody accepted, in the order of `findings`."""
        if not self._accepted:
            return self.findings
        if self._standing is None:
            self._standing = tuple(f for f in self.findings if self.accepted(f) is None)
        return self._standing

    def of(self, where: str) -> tuple[Finding, ...]:
        """Give the findings at a piece, a run or "project", the gravest first."""
        if self._at is None:
            self._at = {}
            for finding in self.findings:
                self._at.setdefault(finding.where, []).append(finding)
        return tuple(self._at.get(where, ()))

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


@cache
def _project_rules() -> tuple[str, ...]:
    return tuple(key for key, rule in RULES.items() if rule.scope == "project")


_Ranked = tuple[tuple[_Rank, Finding], ...]


class _Seen(NamedTuple):
    """What one look found: findings with their ranks in order, and by place what is missing."""

    ranked: _Ranked
    missing: tuple[Missing, ...] = ()


class _All(NamedTuple):
    """What was found at pieces and at runs, handful by handful, and by each rule of the project."""

    pieces: list[_Seen]
    runs: list[_Seen]
    project: list[_Seen]
    unknown: tuple[Missing, ...]


def _together(seen: list[_Seen]) -> _Seen:
    return _Seen(_in_order(seen), tuple(_lacking(seen)))


def _in_order(seen: Iterable[_Seen]) -> _Ranked:
    found = chain.from_iterable(one.ranked for one in seen)
    return tuple(sorted(found, key=itemgetter(0)))


def _lacking(seen: Iterable[_Seen]) -> list[Missing]:
    return sorted(chain.from_iterable(one.missing for one in seen), key=itemgetter(0))


@recalled
def _seen_at_pieces(study: Study, keys: tuple[str, ...]) -> _Seen:
    return _together([_seen_at_piece(study, key) for key in keys])


@recalled
def _seen_at_runs(study: Study, keys: tuple[str, ...]) -> _Seen:
    return _together([_seen_at_run(study, key) for key in keys])


@recalled
def _seen_at_piece(study: Study, key: str) -> _Seen:
    facts = study.equipment(key)
    rules = _piece_rules(type(facts.piece), facts.piece.owner)
    found = (each for rule in rules for each in rule.check(study, facts))
    return _Seen(_ranked(study, found), _missing(key, facts.missing))


@recalled
def _seen_at_run(study: Study, key: str) -> _Seen:
    facts = study.run(key)
    rules = _run_rules(facts.run.role, facts.run.owner)
    found = (each for rule in rules for each in rule.check(study, facts))
    return _Seen(_ranked(study, found), _missing(key, facts.missing))


def _missing(key: str, lacks: tuple[str, ...]) -> tuple[Missing, ...]:
    return (Missing(key, lacks),) if lacks else ()


def _one_line(lacks: Iterable[str]) -> str:
    """Join what is lacking: "bus rating and rating of the main: read them off; length"."""
    plain, parts = list(lacks), []
    for way, several in _WAYS.items():
        alike = [text for text in plain if text.endswith(f": {way}")]
        plain = [text for text in plain if text not in alike]
        if alike:
            names = listed(text.removesuffix(f": {way}") for text in alike)
            parts.append(f"{names}: {several if len(alike) > 1 else way}")
    return "; ".join([*parts, *plain])


@recalled
def _seen_in_project(study: Study, key: str) -> _Seen:
    return _together([_seen_in_part(study, key, part) for part in RULES[key].parts(study)])


@recalled
def _seen_in_part(study: Study, key: str, part: tuple[Hashable, ...]) -> _Seen:
    return _Seen(_ranked(study, RULES[key].check(study, *part)))


@recalled
def _unknown(study: Study) -> tuple[Missing, ...]:
    return tuple(
        Missing(question.where, (f"answered unknown: {question.text}",))
        for question in unknown_answers(study)
    )


def _ranked(study: Study, found: Iterable[Finding]) -> _Ranked:
    names: dict[str, str] = {}
    ranked: list[tuple[_Rank, Finding]] = []
    for f in found:
        if f.where not in names:
            names[f.where] = place_name(study, f.where)
        ranked.append(((_GRAVITY[f.severity], names[f.where], f.rule, f.where, f.about), f))
    return tuple(sorted(ranked, key=itemgetter(0)))


def _check(study: Study, rule: Rule) -> Iterator[Finding]:
    """Check one rule alone, wherever it applies."""
    if rule.scope == "project":
        for part in rule.parts(study):
            yield from rule.check(study, *part)
    elif rule.scope == "piece":
        for facts in study.all_equipment():
            if rule in _piece_rules(type(facts.piece), facts.piece.owner):
                yield from rule.check(study, facts)
    else:
        for run in study.all_runs():
            if rule in _run_rules(run.run.role, run.run.owner):
                yield from rule.check(study, run)
