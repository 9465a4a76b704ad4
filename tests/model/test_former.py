"""Edits that say what is existing, new or removed, and what stood in a place before the work."""

import pytest

from ampacre.model import records as r
from ampacre.model.edits import put
from ampacre.model.former import marked, replaced, with_former, without_former
from ampacre.model.project import Project
from ampacre.model.standing import standing, work_of


@pytest.fixture
def project():
    pieces = (
        r.UtilitySource(id="u", name="Utility", system="120/240"),
        r.Panel(id="p", name="P", bus_a=100.0, main=r.Device(rating_a=100.0)),
        r.Panel(id="n", name="N", bus_a=200.0, since="work", structure="shed"),
    )
    runs = (
        r.Run(id="up", source="u", target="p", length_m=12.0),
        r.Run(id="pn", source="p", target="n", spaces=(1, 3), since="work"),
    )
    shed = put("", "structures", r.Structure(id="shed", name="Shed"))
    return Project().apply(shed).apply(put("", "equipment", *pieces)).apply(put("", "runs", *runs))


@pytest.mark.parametrize("key", ["p", "n", "up", "pn"])
@pytest.mark.parametrize("work", ["existing", "new", "removed"])
def test_one_word_makes_it_so_from_whatever_it_was(project, key, work):
    for start in (project, project.apply(marked(project, [key], "removed"))):
        after = start.apply(marked(start, [key], work))
        record = after.equipment.get(key) or after.runs[key]
        assert work_of(record) == work
        assert marked(after, [key], work).changes == ()


def test_several_are_marked_in_one_edit(project):
    edit = marked(project, ["p", "n", "up"], "new")
    assert edit.label == "Mark 2 pieces and runs as new"
    assert {change.key for change in edit.changes} == {"p", "up"}
    assert marked(project, ["p"], "new").label == "Mark P as new"
    assert marked(project, ["up"], "removed").label == "Mark the run to P as removed"


def test_what_is_replaced_stands_before_the_work_as_it_was(project):
    after = project.apply(replaced(project, "p"))
    assert standing(after, None).equipment["p"] == project.equipment["p"]
    assert work_of(after.equipment["p"]) == "reused"
    assert after.apply(replaced(project, "p").inverse()) == project


def test_a_piece_that_is_replaced_again_keeps_no_chain(project):
    once = project.apply(replaced(project, "p"))
    twice = once.apply(replaced(once, "p"))
    assert twice.equipment["p"].was.was is None


def test_something_stood_here_of_which_only_the_place_is_known(project):
    after = project.apply(with_former(project, "n"))
    was = after.equipment["n"].was
    assert (was.name, was.structure, was.bus_a, was.main) == ("N", "shed", None, None)
    run = project.apply(with_former(project, "pn")).runs["pn"].was
    assert (run.source, run.target, run.spaces, run.length_m) == ("p", "n", (1, 3), None)


@pytest.mark.parametrize("key", ["n", "pn"])
def test_nothing_stood_here_after_all(project, key):
    after = project.apply(with_former(project, key))
    assert after.apply(without_former(after, key)) == project


@pytest.mark.parametrize("key", ["p", "up"])
def test_a_record_that_is_marked_has_nothing_before_it(project, key):
    after = project.apply(replaced(project, key))
    for work in ("existing", "new", "removed"):
        again = after.apply(marked(after, [key], work))
        record = again.equipment.get(key) or again.runs[key]
        assert record.was is None
