"""What was chosen, entered: nothing changes by it, and no later load changes it."""

from pathlib import Path

import pytest
from bench.property import make_property
from sheets.estates import estate

from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.model.standing import work_of
from ampacre.rules.review import Review
from ampacre.store.file import load
from ampacre.study.keeping import CHOICES, built, kept
from ampacre.study.study import Study

SAMPLES = Path(__file__).parents[2] / "samples"
PROJECTS = {
    "upgraded orchard": load(SAMPLES / "harrow_orchard_upgraded.ampacre"),
    "first charger": load(SAMPLES / "first_charger.ampacre"),
    "estate": estate(20, 20),
    "property": make_property(60, seed=3),
}


def everything(project):
    return (*project.equipment, *project.runs)


def values(study):
    """All values that are chosen where nothing is entered, by run, and the ratings of pieces."""
    runs = {
        key: {path: getattr(facts, name).value for path, name in CHOICES.items()}
        for key, facts in study.found.runs.items()
    }
    demands = {key: facts.demand for key, facts in study.found.equipment.items()}
    return runs, demands


@pytest.mark.parametrize("name", PROJECTS)
def test_keeping_changes_no_value_and_no_finding(name):
    project = PROJECTS[name]
    before = Study(project)
    edit = kept(before, everything(project))
    assert edit.changes
    after = Study(project.apply(edit))
    assert values(after) == values(before)
    told = [{finding.key for finding in Review(study).findings} for study in (before, after)]
    assert told[0] == told[1]
    assert not kept(after, everything(project)).changes


@pytest.mark.parametrize("name", PROJECTS)
def test_what_was_built_is_known_as_it_was_chosen(name):
    project = PROJECTS[name]
    before = Study(project)
    new = tuple(
        key
        for key in everything(project)
        if work_of(project.equipment.get(key) or project.runs[key]) == "new"
    )
    there = project.apply(built(before, new))
    assert {work_of(there.equipment.get(key) or there.runs[key]) for key in new} == {"existing"}
    assert values(Study(there))[0] == values(before)[0]


def test_a_later_load_leaves_what_was_kept_as_it_is():
    orchard = PROJECTS["upgraded orchard"]
    run = next(
        run
        for run in orchard.runs.values()
        if isinstance(orchard.equipment[run.target], r.Charger) and work_of(run) == "new"
    )
    left_open = alter(orchard, "runs", run.id, device=None, conductors=r.Conductors())
    project = orchard.apply(left_open)
    before = Study(project)
    size = before.run(run.id).size.value
    charger = project.equipment[run.target]
    larger = alter(project, "equipment", charger.id, nameplate_a=80.0, setting_a=None)
    assert Study(project.apply(larger)).run(run.id).size.value != size
    after = project.apply(kept(before, [run.id])).apply(larger)
    assert Study(after).run(run.id).size == (size, "entered", "")
    graves = [finding.severity for finding in Review(Study(after)).of(charger.id)]
    assert "violation" in graves


def test_nothing_is_entered_of_what_stands_already():
    project = PROJECTS["upgraded orchard"]
    existing = [
        key
        for key in everything(project)
        if work_of(project.equipment.get(key) or project.runs[key]) == "existing"
    ]
    assert existing
    assert not kept(Study(project), existing).changes
