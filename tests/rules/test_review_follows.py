"""A review that follows edits finds what a review from nothing finds, of any project whatever."""

import pytest
from bench.property import make_property
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from rules.build import altered
from strategies import histories, projects
from study.build import with_piece, with_run

from ampacre.model import records as r
from ampacre.model.edits import put, remove
from ampacre.rules.questions import QUESTIONS, answered
from ampacre.rules.review import Review
from ampacre.rules.rule import RULES
from ampacre.study.study import Study


def assert_as_from_nothing(review):
    fresh = Review(Study(review.study.project))
    assert review.findings == fresh.findings
    assert review.missing == fresh.missing
    assert review.questions == fresh.questions
    for finding in fresh.findings:
        assert review.of(finding.where) == fresh.of(finding.where)
        assert review.worst(finding.where) == fresh.worst(finding.where)
        assert review.accepted(finding) == fresh.accepted(finding)
        assert review.message(finding) == fresh.message(finding)


@given(histories())
def test_following_any_edits_equals_a_review_from_nothing(history):
    first, steps = history
    study = Study(first)
    review = Review(study)
    for _, project in steps:
        study.follow(project)
        review.follow(study)
        assert_as_from_nothing(review)


@given(projects(), st.data())
def test_answers_and_acceptances_count_at_once(project, data):
    study = Study(project)
    review = Review(study)
    places = ["project", *sorted(project.equipment), *sorted(project.runs)]
    for _ in range(3):
        question = data.draw(st.sampled_from(sorted(QUESTIONS)))
        where = data.draw(st.sampled_from(places))
        value = data.draw(st.sampled_from(["yes", "no", "unknown"]))
        project = project.apply(answered(project, question, where, value, "seen"))
        if review.findings:
            found = data.draw(st.sampled_from(review.findings))
            key = f"accepted-{len(project.accepted)}"
            accepted = r.Accepted(
                id=key, rule=found.rule, where=found.where, about=found.about, reason="agreed"
            )
            project = project.apply(put("Accept", "accepted", accepted))
        study.follow(project)
        review.follow(study)
        assert_as_from_nothing(review)


@pytest.fixture(scope="module")
def site():
    return make_property(150, seed=2)


def test_a_larger_property_is_followed_edit_by_edit(site):
    study = Study(site)
    review = Review(study)
    loads = [key for key, piece in site.equipment.items() if isinstance(piece, r.Load)]
    panels = [key for key, piece in site.equipment.items() if isinstance(piece, r.Panel)]
    feeder = next(key for key, run in site.runs.items() if run.role == "feeder" and run.length_m)
    source = next(key for key, it in site.equipment.items() if isinstance(it, r.UtilitySource))
    outlet = next(run for run in site.runs.values() if run.target == loads[0])
    project = site
    steps = [
        lambda now: with_piece(now, loads[3], va=9000.0),
        lambda now: with_run(now, feeder, length_m=400.0),
        lambda now: with_piece(now, panels[1], bus_a=60.0),
        lambda now: with_piece(now, panels[1], name=now.equipment[panels[0]].name),
        lambda now: now.apply(remove(now, [loads[5]])),
        lambda now: now.apply(
            put("Build", "structures", r.Structure(id="barn", name="Barn", use="accessory"))
        ),
        lambda now: with_piece(now, panels[2], structure="barn"),
        lambda now: altered(now, "structures", "barn", use="dwelling"),
        lambda now: with_piece(now, panels[0], owner="utility"),
        lambda now: with_piece(now, loads[1], structure="barn"),
        lambda now: now.apply(
            put("Add", "equipment", r.Load(id="fan", name="Fan", category="other", va=500.0))
        ),
        lambda now: now.apply(
            put("Join", "runs", replace(outlet, id="to_fan", target="fan", spaces=()))
        ),
        lambda now: with_run(now, "to_fan", owner="utility"),
        lambda now: altered(now, "groups", "g0", measured_at=panels[-1], holds="all load"),
        lambda now: altered(now, "project", "project", edition="2017", name="Renamed"),
        lambda now: now.apply(remove(now, [source])),
    ]
    for step in steps:
        project = step(project)
        study.follow(project)
        review.follow(study)
        assert_as_from_nothing(review)


def test_what_an_edit_does_not_reach_is_not_asked_again(site):
    study = Study(site)
    review = Review(study)
    load = next(key for key, piece in site.equipment.items() if isinstance(piece, r.Load))
    reached = next(island.order for island in study.islands if load in island.order)
    far = [
        finding
        for finding in review.findings
        if RULES[finding.rule].scope == "piece" and finding.where not in reached
    ]
    study.follow(with_piece(site, load, va=9000.0))
    review.follow(study)
    assert far
    assert all(any(finding is now for now in review.of(finding.where)) for finding in far)
