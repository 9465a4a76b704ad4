"""Sets that were handed in: kept, numbered, and what changed since, in words and on the drawing."""

from pathlib import Path

import msgspec
import pytest
from sheets.geometry import texts

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.picture.primitives import Polyline
from ampacre.rules.review import Review
from ampacre.sheets.drawing_set import drawing_set
from ampacre.sheets.revisions import changed_elements, changes_in_words, set_number
from ampacre.store.file import NotSaved, digest, encode, load, save
from ampacre.store.issued import issue_set, kept_path, kept_sheets, last_issued, next_number
from ampacre.study.study import Study

SAMPLES = Path(__file__).parents[2] / "samples"


def _orchard():
    return load(SAMPLES / "harrow_orchard.ampacre")


def _changed(project, table, key, **fields):
    found = project.table(table)
    record = msgspec.structs.replace(found[key], **fields)
    return Project(**dict(project.tables()) | {table: {**found, key: record}})


def test_a_set_is_numbered_and_its_project_kept(tmp_path):
    path = tmp_path / "orchard.ampacre"
    save(_orchard(), path)
    first, kept = issue_set(path, "2026-03-01", "First")
    second, _ = issue_set(path, "2026-04-02", "Answers to the office")
    assert (first.number, second.number) == (1, 2)
    assert kept == kept_path(path, 1) == tmp_path / "orchard issue 1.ampacre"
    assert first.digest == digest(encode(_orchard()))
    project = load(path)
    assert [issue.note for issue in project.issues.values()] == ["First", "Answers to the office"]
    assert last_issued(path, project) == project


def test_no_set_is_recorded_in_a_read_only_file(tmp_path):
    path = tmp_path / "orchard.ampacre"
    save(_orchard(), path)
    path.chmod(0o444)
    with pytest.raises(NotSaved, match=r"orchard.ampacre could not be saved: it is read-only"):
        issue_set(path, "2026-03-01", "First")
    assert load(path) == _orchard()
    assert list(tmp_path.iterdir()) == [path]


def test_a_kept_project_that_is_gone_is_no_obstacle(tmp_path):
    path = tmp_path / "orchard.ampacre"
    save(_orchard(), path)
    _, kept = issue_set(path, "2026-03-01", "First")
    kept.unlink()
    assert last_issued(path, load(path)) is None
    assert last_issued(path, _orchard()) is None


def test_a_number_whose_files_are_kept_is_not_given_again(tmp_path):
    path = tmp_path / "orchard.ampacre"
    save(_orchard(), path)
    assert next_number(path, _orchard()) == 1
    kept_sheets(path, 1).write_bytes(b"a set whose record was undone")
    issue, kept = issue_set(path, "2026-03-01", "First")
    assert issue.number == 2
    assert kept == kept_path(path, 2)


def test_changes_are_said_in_words():
    old = _orchard()
    longer = _changed(old, "runs", "run-s1-barn", length_m=60.96)
    device = msgspec.structs.replace(old.runs["run-s1-barn"].device, rating_a=200.0)
    new = _changed(longer, "runs", "run-s1-barn", device=device)
    new = _changed(new, "equipment", "cold", name="Ice store")
    pieces = {**new.equipment, "w": r.Load(id="w", name="Saw", va=900.0)}
    new = Project(**dict(new.tables()) | {"equipment": pieces})
    assert changes_in_words(old, new) == (
        "Ice store (panel): name Cold store, now Ice store",
        "Saw (load): added",
        "F-2 (run from S1 to Press barn): rating 150 A, now 200 A",
        "F-2 (run from S1 to Press barn): length 180 ft, now 200 ft",
    )
    assert changed_elements(old, new) == {"cold", "w", "run-s1-barn"}
    assert "Saw (load): taken out of the drawings" in changes_in_words(new, old)


def test_answers_and_groups_are_named_for_people():
    old = _orchard()
    panel = next(each for each in old.equipment.values() if each.name == "S1")
    answer = r.Answer(id="a", question="service-marked", where=panel.id, value="yes")
    groups = (
        r.ManagedGroup(id="g", name="Yard", members=(), limit_a=40.0),
        r.NoncoincidentGroup(id="n", name="Heat or cold", members=()),
    )
    more = {
        "answers": {**old.answers, "a": answer},
        "groups": {**old.groups, **{each.id: each for each in groups}},
    }
    new = Project(**dict(old.tables()) | more)
    said = changes_in_words(old, new)
    assert "What was seen at S1: added" in said
    assert "Load management Yard: added" in said
    assert "Loads that do not run together Heat or cold: added" in said


def test_later_sets_mark_what_changed():
    old = _orchard()
    issue = r.Issue(id="issue-1", number=1, date="2026-03-01", note="First")
    old = Project(**dict(old.tables()) | {"issues": {"issue-1": issue}})
    new = _changed(old, "equipment", "yp", bus_a=200.0)
    study = Study(new)
    sheets = drawing_set(study, Review(study), "2026-05-01", issued=old)
    marks = {
        element.owner
        for sheet in sheets
        for element in sheet.picture.elements
        if isinstance(element, Polyline) and element.layer == "flag"
    }
    assert marks == {"yp"}
    numbers = {
        text.text
        for s in sheets
        for text in texts(s.picture)
        if (text.layer, text.owner) == ("flag", "yp")
    }
    assert numbers == {"2"}
    lines = [text.text for sheet in sheets for text in texts(sheet.picture)]
    assert "Changed since the last set" in lines
    assert "Yard panel (panel): bus rating 125 A, now 200 A" in " ".join(lines)
    assert "changed since the last set" in lines
    assert "Revision: after 1, 2026-03-01" in lines


def test_a_set_on_its_way_out_marks_changes_with_its_own_number():
    before = _orchard()
    first = r.Issue(id="issue-1", number=1, date="2026-03-01", note="First")
    before = Project(**dict(before.tables()) | {"issues": {"issue-1": first}})
    third = r.Issue(id="issue-3", number=3, date="2026-05-01", note="Files of a second were kept")
    out = Project(**dict(before.tables()) | {"issues": {"issue-1": first, "issue-3": third}})
    assert set_number(before, out) == 3
    assert set_number(out, out) == 4
    assert set_number(before, before) == 2


def test_without_a_change_nothing_is_marked():
    project = _orchard()
    study = Study(project)
    sheets = drawing_set(study, Review(study), "2026-05-01", issued=project)
    assert not any(
        element.layer == "flag" for sheet in sheets for element in sheet.picture.elements
    )
