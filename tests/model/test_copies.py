"""Copies: sound, undone without a trace, named apart, complete, and of the same load."""

from importlib import resources

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import SMALL_SITE, projects

from ampacre.model import records as r
from ampacre.model.copying import Fragment, branch, cut
from ampacre.model.edits import alter, connect, put, remove
from ampacre.model.pasting import duplicate, paste
from ampacre.model.project import Project, Refused
from ampacre.model.soundness import problems
from ampacre.store.file import decode
from ampacre.study.study import Study

SAMPLES = ("first_charger", "harrow_orchard", "harrow_orchard_upgraded")


def sample(name):
    data = (resources.files("ampacre_samples") / f"{name}.ampacre").read_bytes()
    return decode(data, name)


ORCHARDS = {name: sample(name) for name in SAMPLES}


def with_record(project, table, *records):
    return project.apply(put("", table, *records))


def feed(project, source, target, **values):
    made = connect(project, project.equipment[source], project.equipment[target]).changes[0].after
    return with_record(project, "runs", msgspec.structs.replace(made, **values))


def feeds_of(project, key):
    return [run for run in project.runs.values() if run.target == key]


@st.composite
def chosen(draw):
    """A project and some of its pieces."""
    project = draw(projects().filter(lambda project: project.equipment))
    some = st.lists(st.sampled_from(sorted(project.equipment)), min_size=1, max_size=3)
    return project, draw(some)


@given(chosen(), st.data())
@settings(max_examples=60)
def test_a_copy_leaves_a_sound_project_with_more_pieces_of_other_names(found, data):
    project, keys = found
    fragment = branch(project, keys)
    target = data.draw(st.sampled_from([None, *sorted(project.equipment)]))
    try:
        pasted = paste(project, fragment, target)
    except Refused as refused:
        assert "where power is used" in str(refused)
        return
    after = project.apply(pasted.edit)
    assert problems(after) == []
    assert after.apply(pasted.edit.inverse()) == project
    added = after.equipment.keys() - project.equipment.keys()
    assert len(added) == len(fragment.content.equipment)
    names = [after.equipment[key].name for key in added]
    assert len(set(names)) == len(names)
    assert not {piece.name for piece in project.equipment.values()} & set(names)
    assert set(pasted.tops) <= added
    kinds = sorted(type(project.equipment[key]).__name__ for key in fragment.content.equipment)
    assert sorted(type(after.equipment[key]).__name__ for key in added) == kinds


@given(chosen(), projects())
@settings(max_examples=40)
def test_a_copy_fits_any_other_project(found, other):
    fragment = branch(*found)
    after = other.apply(paste(other, fragment).edit)
    assert problems(after) == []
    assert len(after.equipment) == len(other.equipment) + len(fragment.content.equipment)
    assert not after.accepted.keys() - other.accepted.keys()
    assert not after.answers.keys() - other.answers.keys()


@given(chosen())
@settings(max_examples=40)
def test_what_is_cut_is_gone_and_comes_back_with_undo(found):
    project, keys = found
    fragment, edit = cut(project, keys)
    after = project.apply(edit)
    assert not fragment.content.equipment.keys() & after.equipment.keys()
    assert after.apply(edit.inverse()) == project
    assert problems(after.apply(paste(after, fragment).edit)) == []


@pytest.mark.parametrize("name", SAMPLES)
def test_a_duplicate_has_the_load_of_its_original(name):
    project = ORCHARDS[name]
    study = Study(project)
    systems = {facts.piece.id: facts.system for facts in study.all_equipment() if facts.system}
    compared = 0
    for key, piece in project.equipment.items():
        feeds = feeds_of(project, key)
        if piece.until is not None or not feeds or _says_what_was(branch(project, [key])):
            continue
        pasted = duplicate(project, [key], systems)
        after = study.fork(project.apply(pasted.edit))
        before, copy = study.equipment(key).demand, after.equipment(pasted.tops[0]).demand
        assert (before is None) == (copy is None)
        if before is not None:
            compared += 1
            assert copy.method == before.method
            assert copy.calculated_va == pytest.approx(before.calculated_va)
            assert copy.heavier_a == pytest.approx(before.heavier_a)
    assert compared > 3


def _says_what_was(fragment):
    """What is reused counts for less than new work in some methods; a copy of it is new work."""
    return any(
        piece.since and (piece.was or piece.reuses) for piece in fragment.content.equipment.values()
    )


def test_everything_below_comes_along_and_runs_keep_their_spaces():
    fragment = branch(SMALL_SITE, ["main"])
    assert fragment.content.equipment.keys() == {"main", "barn", "ev", "pump", "house"}
    assert fragment.content.runs.keys() == {"to-barn", "to-ev", "to-pump", "to-house"}
    assert fragment.tops == ("main",)
    pasted = paste(SMALL_SITE, fragment)
    after = SMALL_SITE.apply(pasted.edit)
    spaces = sorted(run.spaces for run in after.runs.values() if run.source == pasted.tops[0])
    assert spaces == sorted(run.spaces for run in SMALL_SITE.runs.values() if run.source == "main")
    assert not feeds_of(after, pasted.tops[0])


def test_pieces_chosen_together_make_one_copy():
    fragment = branch(SMALL_SITE, ["ev", "barn", "pump", "to-house"])
    assert fragment.content.equipment.keys() == {"ev", "barn", "pump"}
    assert fragment.tops == ("barn", "pump")


def test_a_copy_is_fed_from_the_target_in_spaces_of_its_own():
    pasted = paste(SMALL_SITE, branch(SMALL_SITE, ["pump"]), "barn")
    after = SMALL_SITE.apply(pasted.edit)
    (run,) = feeds_of(after, pasted.tops[0])
    assert (run.source, run.spaces) == ("barn", (2, 4))
    assert pasted.edit.label == "Paste Well 2"


def test_a_target_that_feeds_nothing_is_refused_with_the_reason():
    with pytest.raises(Refused, match="C-1 is where power is used"):
        paste(SMALL_SITE, branch(SMALL_SITE, ["pump"]), "ev")


def test_a_source_stands_by_itself_even_where_a_target_is_named():
    pasted = paste(SMALL_SITE, branch(SMALL_SITE, ["grid"]), "barn")
    assert not feeds_of(SMALL_SITE.apply(pasted.edit), pasted.tops[0])


def test_pasting_onto_what_was_copied_lands_beside_it():
    project = feed(
        with_record(SMALL_SITE, "equipment", r.Load(id="l", name="Lamp", volts=120.0, since="work")),
        "main", "l", id="to-l", length_m=12.0, device=r.Device(rating_a=20.0),
    )  # fmt: skip
    pasted = paste(project, branch(project, ["l"]), "l")
    (run,) = feeds_of(project.apply(pasted.edit), pasted.tops[0])
    assert (run.source, run.length_m, run.device) == ("main", 12.0, r.Device(rating_a=20.0))
    assert len(run.spaces) == 1
    assert pasted.edit.label == "Paste Lamp 2"


def test_from_another_piece_device_and_wires_hold_but_not_the_length():
    wires = r.Conductors(size="6", material="cu")
    project = SMALL_SITE.apply(
        alter(SMALL_SITE, "runs", "to-pump", length_m=30.0, conductors=wires, name="F-7")
    )
    pasted = paste(project, branch(project, ["pump"]), "barn")
    (run,) = feeds_of(project.apply(pasted.edit), pasted.tops[0])
    assert (run.length_m, run.conductors, run.name) == (None, wires, "F-8")


def test_what_stands_already_stands_already_in_the_copy_and_the_rest_is_new_work():
    project = SMALL_SITE.apply(alter(SMALL_SITE, "equipment", "pump", until="work"))
    after = project.apply(duplicate(project, ["house", "ev", "pump"]).edit)
    since = {
        piece.name: (piece.since, piece.until)
        for key, piece in after.equipment.items()
        if key not in project.equipment
    }
    assert since == {
        "House-1": (None, None), "C-2": ("work", None), "Well 2": ("work", None),
    }  # fmt: skip


def test_what_is_true_of_the_original_alone_is_left_behind():
    panel = r.Panel(
        id="p", name="P-9", basis="measured", measured=r.Measured(demand=20.0), since="work",
        enclosure="Yard cabinet", was=r.Panel(id="p", name="P-9"),
    )  # fmt: skip
    project = with_record(SMALL_SITE, "equipment", panel)
    project = with_record(
        project, "grounding",
        r.Grounding(id="g", at="p", electrodes=(r.Electrode(kind="rod", resistance_ohm=12.0),)),
    )  # fmt: skip
    project = with_record(
        project, "answers", r.Answer(id="a", question="q", where="p", value="yes")
    )
    pasted = duplicate(project, ["p"])
    after = project.apply(pasted.edit)
    copy = after.equipment[pasted.tops[0]]
    assert (copy.measured, copy.was, copy.basis) == (None, None, "measured")
    assert copy.enclosure == "Yard cabinet 2"
    assert after.answers == project.answers
    (grounding,) = (record for record in after.grounding.values() if record.at == copy.id)
    assert grounding.electrodes == (r.Electrode(kind="rod"),)


def test_a_group_is_copied_as_a_whole_or_not_at_all():
    project = SMALL_SITE
    for key in ("c1", "c2"):
        project = with_record(project, "equipment", r.Charger(id=key, name=key, since="work"))
        project = feed(project, "barn", key, spaces=())
    group = r.ManagedGroup(id="m", name="Yard", members=("c1", "c2"), limit_a=60.0)
    site = r.ManagedGroup(id="s", name="Site", members=("m", "ev"), limit_a=90.0)
    project = with_record(project, "groups", group, site)
    after = project.apply(duplicate(project, ["c1"]).edit)
    assert after.groups == project.groups
    pasted = duplicate(project, ["barn"])
    after = project.apply(pasted.edit)
    fresh = {g.name: g for key, g in after.groups.items() if key not in project.groups}
    assert fresh.keys() == {"Yard 2", "Site 2"}
    assert fresh["Yard 2"].id in fresh["Site 2"].members
    assert {after.equipment[key].name for key in fresh["Yard 2"].members} == {"c3", "c4"}


def test_a_copied_group_measures_at_the_copy_or_nowhere():
    group = r.ManagedGroup(
        id="m", name="Yard", members=("ev",), limit_a=60.0, holds="all load", measured_at="barn"
    )
    project = with_record(SMALL_SITE, "groups", group)
    for copied, measured in (("barn", True), ("ev", False)):
        after = project.apply(duplicate(project, [copied]).edit)
        (fresh,) = (g for key, g in after.groups.items() if key not in project.groups)
        assert fresh.holds == "all load"
        assert (fresh.measured_at is not None) == measured
        assert fresh.measured_at != "barn"


def test_without_its_measuring_point_a_group_still_holds_all_load():
    group = r.ManagedGroup(
        id="m", name="Yard", members=("ev",), limit_a=60.0, holds="all load", measured_at="barn"
    )
    project = with_record(SMALL_SITE, "groups", group)
    left = project.apply(remove(project, ["barn"])).groups["m"]
    assert (left.holds, left.measured_at) == ("all load", None)


def test_a_shared_raceway_is_copied_and_never_crowded():
    project = with_record(SMALL_SITE, "raceways", r.Raceway(id="way", name="Trench", kind="pvc"))
    part = (r.Segment(raceway="way", length_m=5.0),)
    project = project.apply(alter(project, "runs", "to-ev", segments=part, length_m=9.0))
    after = project.apply(duplicate(project, ["barn"]).edit)
    (fresh,) = (lane for key, lane in after.raceways.items() if key not in project.raceways)
    assert fresh == r.Raceway(id=fresh.id, name="Trench 2", kind="pvc")
    inside = [run.id for run in after.runs.values() if run.segments]
    assert len(inside) == 2
    lanes = {part.raceway for run in after.runs.values() for part in run.segments}
    assert lanes == {"way", fresh.id}
    elsewhere = project.apply(paste(project, branch(project, ["ev"]), "main").edit)
    assert elsewhere.raceways == project.raceways
    fragment, edit = cut(project, ["barn"])
    assert not project.apply(edit).raceways
    assert fragment.content.raceways.keys() == {"way"}


def test_what_stood_where_its_feeder_stood_follows_to_the_new_feeder():
    project = with_record(
        SMALL_SITE,
        "structures",
        r.Structure(id="h", name="House"),
        r.Structure(id="b", name="Barn"),
    )
    for key, place in (("main", "h"), ("pump", "h"), ("barn", "b"), ("ev", "h")):
        project = project.apply(alter(project, "equipment", key, structure=place))
    pasted = paste(project, branch(project, ["pump"]), "barn")
    assert project.apply(pasted.edit).equipment[pasted.tops[0]].structure == "b"
    pasted = duplicate(project, ["barn"])
    assert project.apply(pasted.edit).equipment[pasted.tops[0]].structure == "b"
    pasted = paste(Project(), branch(project, ["barn", "pump"]))
    after = Project().apply(pasted.edit)
    assert sorted(place.name for place in after.structures.values()) == ["Barn", "House"]
    twice = after.apply(paste(after, branch(project, ["barn"])).edit)
    assert twice.structures == after.structures


def test_nothing_that_was_copied_is_refused_in_words():
    with pytest.raises(Refused, match="no equipment"):
        paste(SMALL_SITE, Fragment(Project()))
