"""Raceways, grounding records and answers: what makes them unsound."""

import pytest

from ampacre.model import records as r
from ampacre.model.project import Change, Edit, Project, Refused
from ampacre.model.soundness import problems

A, B = r.Panel(id="a", name="A"), r.Panel(id="b", name="B")
DUCT, TRENCH = r.Raceway(id="duct", name="Duct"), r.Raceway(id="trench", name="Trench")


def site(*segments, length_m=20.0, **tables):
    run = r.Run(id="run", source="a", target="b", length_m=length_m, segments=segments)
    return Project(
        equipment={"a": A, "b": B},
        runs={"run": run},
        raceways={"duct": DUCT, "trench": TRENCH},
        **{name: {record.id: record for record in records} for name, records in tables.items()},
    )


def segment(raceway, length_m):
    return r.Segment(raceway=raceway, length_m=length_m)


def test_segments_add_up_to_the_run_at_most():
    assert problems(site(segment("duct", 12.0), segment("trench", 8.0))) == []
    assert problems(site(segment("duct", 12.0), length_m=None)) == []
    (said,) = problems(site(segment("duct", 12.0), segment("trench", 8.5)))
    assert "for 20.5 m, more than its length of 20 m" in said


def test_a_raceway_is_named_once():
    (said,) = problems(site(segment("duct", 5.0), segment("duct", 5.0)))
    assert "names a raceway twice" in said


@pytest.mark.parametrize("where", ["a", "run", "duct", "project"])
def test_answers_are_about_something(where):
    answer = r.Answer(id="x", question="label-present", where=where, value="yes")
    assert problems(site(answers=[answer])) == []


def test_an_answer_about_nothing():
    answer = r.Answer(id="x", question="label-present", where="gone", value="yes")
    (said,) = problems(site(answers=[answer]))
    assert "gone, which does not exist" in said


def test_a_question_is_answered_once():
    one = r.Answer(id="x", question="label-present", where="a", value="yes")
    other = r.Answer(id="y", question="label-present", where="a", value="no")
    (said,) = problems(site(answers=[one, other]))
    assert "answered twice" in said


def test_one_grounding_record_a_place():
    one, other = r.Grounding(id="x", at="a"), r.Grounding(id="y", at="a")
    assert problems(site(grounding=[one])) == []
    (said,) = problems(site(grounding=[one, other]))
    assert '"A" has two grounding records' in said


def test_a_raceway_that_runs_lie_in_stays():
    project = site(segment("duct", 5.0))
    gone = Edit("Remove duct", (Change("raceways", "duct", DUCT, None),))
    with pytest.raises(Refused, match="duct does not exist"):
        project.apply(gone)
    project.apply(Edit("Remove trench", (Change("raceways", "trench", TRENCH, None),)))


def test_a_run_that_is_shortened_below_its_segments():
    project = site(segment("duct", 15.0))
    run = project.runs["run"]
    shorter = r.Run(id="run", source="a", target="b", length_m=10.0, segments=run.segments)
    with pytest.raises(Refused, match="more than its length"):
        project.apply(Edit("Shorten", (Change("runs", "run", run, shorter),)))
