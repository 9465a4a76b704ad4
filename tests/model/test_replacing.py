"""A piece of another kind in the place of one: what stays, what goes, what is refused."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import SMALL_SITE, projects

from ampacre.model import records as r
from ampacre.model.edits import alter, put, remove
from ampacre.model.project import Refused
from ampacre.model.replacing import replace_kind, why_not
from ampacre.model.soundness import problems
from ampacre.model.system import SYSTEMS
from ampacre.model.words import KINDS, kind_of


@given(st.data())
def test_a_piece_becomes_another_kind_or_says_why_not(data):
    project = data.draw(projects().filter(lambda project: project.equipment))
    key = data.draw(st.sampled_from(sorted(project.equipment)))
    kind = data.draw(st.sampled_from(sorted(KINDS)))
    reason = why_not(project, key, kind)
    if reason:
        with pytest.raises(Refused):
            replace_kind(project, key, kind)
        return
    edit = replace_kind(project, key, kind)
    after = project.apply(edit)
    assert problems(after) == []
    assert after.apply(edit.inverse()) == project
    piece, was = after.equipment[key], project.equipment[key]
    assert kind_of(piece) == kind
    assert (piece.structure, piece.since, piece.until) == (was.structure, was.since, was.until)
    assert after.runs.keys() == project.runs.keys()
    for run_id, run in after.runs.items():
        assert (run.source, run.target) == (
            project.runs[run_id].source,
            project.runs[run_id].target,
        )


def replaced(project, key, kind, system=None):
    return project.apply(replace_kind(project, key, kind, system))


def test_fields_that_both_kinds_have_are_carried_over():
    main = r.Device(rating_a=60.0, interrupting_ka=10.0)
    project = SMALL_SITE.apply(
        alter(SMALL_SITE, "equipment", "barn", main=main, location="outdoors", neutral_bonded=False,
              bus_a=100.0, short_circuit_ka=22.0)
    )  # fmt: skip
    piece = replaced(project, "barn", "disconnect").equipment["barn"]
    assert piece == r.Disconnect(
        id="barn", name="DS-1", main=main, location="outdoors", neutral_bonded=False,
        short_circuit_ka=22.0, since="work",
    )  # fmt: skip


def test_the_owner_goes_with_the_kind_unless_somebody_said_it():
    assert replaced(SMALL_SITE, "grid", "generator").equipment["grid"].owner == "customer"
    project = SMALL_SITE.apply(alter(SMALL_SITE, "equipment", "meter", owner="utility"))
    assert replaced(project, "meter", "disconnect").equipment["meter"].owner == "utility"


def test_a_tag_follows_the_kind_and_a_name_of_its_own_stays():
    assert (
        replace_kind(SMALL_SITE, "barn", "junction").label == "Replace panel P-2 with junction J-1"
    )
    edit = replace_kind(SMALL_SITE, "pump", "load")
    assert edit.label == "Replace motor Well with load"
    assert SMALL_SITE.apply(edit).equipment["pump"].name == "Well"


def test_circuits_keep_their_legs_when_their_panel_gives_way():
    project = SMALL_SITE.apply(put("", "equipment", r.Load(id="l", name="Lamp")))
    lamp = r.Run(id="to-l", source="barn", target="l", spaces=(4,), role="branch")
    ev = SMALL_SITE.runs["to-ev"].spaces
    assert len(ev) == 2
    project = project.apply(put("", "runs", lamp))
    after = replaced(project, "barn", "disconnect", SYSTEMS["120/240"])
    assert (after.runs["to-l"].spaces, after.runs["to-l"].legs) == ((), "B")
    assert (after.runs["to-ev"].spaces, after.runs["to-ev"].legs) == ((), "AB")


def test_circuits_get_spaces_when_a_panel_takes_the_place():
    project = replaced(SMALL_SITE, "barn", "junction")
    loose = project.apply(alter(project, "runs", "to-ev", legs=""))
    assert replaced(loose, "barn", "panel").runs["to-ev"].spaces == (1, 3)
    kept = replaced(project, "barn", "panel").runs["to-ev"]
    assert (kept.spaces, kept.legs) == ((), "AB")


def test_where_runs_are_protected_follows_the_kind_unless_somebody_said_it():
    assert SMALL_SITE.runs["to-ev"].protected_at == "supply"
    assert replaced(SMALL_SITE, "barn", "junction").runs["to-ev"].protected_at == "none"
    said = SMALL_SITE.apply(alter(SMALL_SITE, "runs", "to-ev", protected_at="load"))
    assert replaced(said, "barn", "junction").runs["to-ev"].protected_at == "load"


@pytest.mark.parametrize(
    ("key", "kind", "words"),
    [
        ("barn", "panel", "P-2 is a panel already"),
        ("barn", "load", "A load feeds nothing, and P-2 feeds C-1"),
        ("barn", "utility source", "A utility source is a source, and P-2 is fed from P-1"),
        ("ev", "generator", "A generator is a source, and C-1 is fed from P-2"),
    ],
)
def test_what_cannot_be_is_refused_in_words(key, kind, words):
    with pytest.raises(Refused, match=words):
        replace_kind(SMALL_SITE, key, kind)


def test_a_switch_between_two_supplies_stays_one():
    project = replaced(SMALL_SITE, "meter", "transfer switch")
    project = project.apply(put("", "equipment", r.Generator(id="g", name="G-1")))
    project = project.apply(put("", "runs", r.Run(id="rg", source="g", target="meter", lands_on="standby")))  # fmt: skip
    assert "keeps two supplies apart" in why_not(project, "meter", "panel")


def test_what_was_said_of_it_as_what_it_was_is_taken_back():
    project = SMALL_SITE
    for table, record in (
        ("equipment", r.Load(id="l", name="Lamp", serves="house")),
        ("groups", r.ManagedGroup(id="m", name="Yard", members=("ev",), limit_a=40.0)),
        ("answers", r.Answer(id="a", question="q", where="ev", value="yes")),
        ("accepted", r.Accepted(id="x", rule="k", where="ev", reason="so")),
    ):
        project = project.apply(put("", table, record))
    after = replaced(project, "ev", "load")
    assert not after.answers
    assert not after.accepted
    assert after.groups["m"].members == ()
    assert replaced(project, "house", "load").equipment["l"].serves is None


def test_a_system_measures_on_where_load_still_goes_through():
    group = r.ManagedGroup(id="m", name="Yard", members=("ev",), limit_a=40.0, measured_at="barn")
    project = SMALL_SITE.apply(put("", "groups", group))
    after = replaced(project, "barn", "disconnect")
    assert after.groups == project.groups
    project = project.apply(remove(project, [run.id for run in project.runs.values()]))
    assert replaced(project, "barn", "load").groups["m"].measured_at is None


def test_what_it_was_before_the_work_is_not_thrown_away():
    panel = r.Panel(id="p", name="P-9", since="work", was=r.Panel(id="p", name="P-9"))
    project = SMALL_SITE.apply(put("", "equipment", panel))
    assert "before the work" in why_not(project, "p", "disconnect")
