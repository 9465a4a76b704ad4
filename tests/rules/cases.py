"""What every rule is held to: a site that breaks it, the smallest change that satisfies it."""

import dataclasses
from collections.abc import Callable
from typing import NamedTuple

import msgspec
from rules.build import altered, of_rule

from ampacre.codebook.articles import cite
from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.rules.review import Review
from ampacre.rules.rule import RULES
from ampacre.study.study import Study


class Case(NamedTuple):
    """A rule, the place that its finding stands at, a site that breaks it, and what puts it right.

    `mend` changes one thing; `section` is part of the citation in the site's edition; `remedies`
    counts the edits that are offered, `says` is part of the message.
    """

    rule: str
    where: str
    site: Callable[[], Project]
    mend: Callable[[Project], Project]
    section: str
    says: str
    remedies: int = 0
    severity: str | None = None


class Asked(NamedTuple):
    """A question, the place it is asked at, a site where it is, and a change after which it isn't.

    `stated` is an edit by which the drawing itself says no.
    """

    question: str
    where: str
    site: Callable[[], Project]
    unasked: Callable[[Project], Project]
    section: str
    stated: Callable[[Project], Project] | None = None


def piece(key, **values):
    """A change of one piece."""
    return lambda project: altered(project, "equipment", key, **values)


def run(key, **values):
    """A change of one run."""
    return lambda project: altered(project, "runs", key, **values)


def device(key, **values):
    """A change of the device of one run."""

    def changed(project):
        before = project.runs[key].device or r.Device()
        return altered(project, "runs", key, device=msgspec.structs.replace(before, **values))

    return changed


def main(key, **values):
    """A change of the main device of one piece."""

    def changed(project):
        before = project.equipment[key].main or r.Device()
        return altered(project, "equipment", key, main=msgspec.structs.replace(before, **values))

    return changed


def conductors(key, **values):
    """A change of the conductors of one run."""

    def changed(project):
        before = project.runs[key].conductors
        return altered(project, "runs", key, conductors=msgspec.structs.replace(before, **values))

    return changed


def settings(**values):
    """A change of the project's settings."""
    return lambda project: altered(project, "project", "project", **values)


def standing_in(project, structures, **places):
    """The project with structures of these uses, and pieces put into them."""
    records = {key: r.Structure(id=key, name=key, use=use) for key, use in structures.items()}
    project = dataclasses.replace(project, structures=records)
    for key, structure in places.items():
        project = altered(project, "equipment", key, structure=structure)
    return project


def check(case):
    """Hold one rule to its case: found, cited, mended, remedied, and brought back."""
    project = case.site()
    review = Review(Study(project))
    found = [finding for finding in review.findings if finding.rule == case.rule]
    assert [finding.where for finding in found] == [case.where]
    (finding,) = found
    assert finding.severity == (case.severity or RULES[case.rule].severity)
    assert case.says in review.message(finding)
    assert case.section in cite(RULES[case.rule].cite, project.settings.edition)
    assert of_rule(case.mend(project), case.rule) == []
    edits = review.remedies(finding)
    assert len(edits) == case.remedies, [edit.label for edit in edits]
    for edit in edits:
        after = project.apply(edit)
        assert finding.key not in [other.key for other in Review(Study(after)).findings]
        before = after.apply(edit.inverse())
        assert before == project
        assert finding in Review(Study(before)).findings
