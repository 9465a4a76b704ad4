"""What gestures mean: the same answer for canvas, outline and drawer."""

import msgspec
import pytest

from ampacre.model import records as r
from ampacre.model.edits import alter, connect, put
from ampacre.model.words import KINDS
from ampacre.study.study import Study
from ampacre_gui.intents import can_feed, to_add, to_feed


def after(project, intent):
    assert intent.edit is not None, intent.words
    return project.apply(intent.edit)


def runs_to(project, key):
    return [run for run in project.runs.values() if run.target == key]


def run_to(project, key):
    (run,) = runs_to(project, key)
    return run


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_can_start_a_tree(project, kind):
    intent = to_add(Study(project), kind, None)
    result = after(project, intent)
    assert result.equipment.keys() - project.equipment.keys() == {intent.selects}
    assert result.runs == project.runs


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_dropped_on_a_panel_hangs_together_with_it(project, kind):
    intent = to_add(Study(project), kind, "panel")
    result = after(project, intent)
    (run,) = (run for key, run in result.runs.items() if key not in project.runs)
    assert {run.source, run.target} == {"panel", intent.selects}
    is_source = kind in ("utility source", "generator")
    assert (run.source == intent.selects) is is_source


def test_adding_below_is_one_edit_that_undo_takes_back(project):
    intent = to_add(Study(project), "charger", "panel")
    result = after(project, intent)
    assert result.apply(intent.edit.inverse()) == project
    assert intent.edit.label == "Add charger C-1 below P"


def test_a_new_piece_takes_spaces_that_are_free(project):
    result = after(project, to_add(Study(project), "charger", "panel"))
    spaces = [
        space for run in result.runs.values() if run.source == "panel" for space in run.spaces
    ]
    assert len(spaces) == len(set(spaces))


def test_a_new_piece_stands_in_the_structure_of_what_it_hangs_from(project):
    project = project.apply(put("", "structures", r.Structure(id="shed", name="Shed")))
    project = project.apply(alter(project, "equipment", "panel", structure="shed"))
    intent = to_add(Study(project), "load", "panel")
    assert after(project, intent).equipment[intent.selects].structure == "shed"


def test_drawn_as_there_already_stands_with_its_run_before_the_work(project):
    intent = to_add(Study(project), "load", "panel", existing=True)
    result = after(project, intent)
    assert result.equipment[intent.selects].since is None
    assert run_to(result, intent.selects).since is None


@pytest.mark.parametrize("kind", ["charger", "dwelling load", "inverter", "pedestal"])
def test_nothing_hangs_from_what_uses_power(project, kind):
    intent = to_add(Study(project), kind, "charger")
    assert intent.edit is None
    assert "nothing can be fed from it" in intent.words


def test_inserting_on_a_run(project):
    run = run_to(project, "barn")
    intent = to_add(Study(project), "disconnect", run.id)
    result = after(project, intent)
    assert result.runs[run.id].target == intent.selects
    assert run_to(result, "barn").source == intent.selects
    assert result.apply(intent.edit.inverse()) == project
    assert "between P and Barn" in intent.words


def test_what_passes_nothing_on_cannot_stand_in_a_run(project):
    assert to_add(Study(project), "charger", run_to(project, "barn").id).edit is None


def test_feeding_a_loose_piece_draws_a_run(project):
    intent = to_feed(Study(project), "panel", "spare")
    assert run_to(after(project, intent), "spare").source == "panel"


def test_feeding_a_fed_piece_moves_it(project):
    intent = to_feed(Study(project), "panel", "spare")
    project = after(project, intent)
    intent = to_feed(Study(project), "spare", "barn")
    assert "instead of P" in intent.words
    assert run_to(after(project, intent), "barn").source == "spare"


@pytest.mark.parametrize(
    ("source", "target", "reason"),
    [
        ("panel", "panel", "another piece"),
        ("charger", "spare", "where power is used"),
        ("panel", "utility", "is a source"),
        ("barn", "panel", "is itself fed from"),
        ("panel", "barn", "already fed from"),
    ],
)
def test_runs_that_make_no_sense_are_refused_with_the_reason(project, source, target, reason):
    intent = to_feed(Study(project), source, target)
    assert intent.edit is None
    assert reason in intent.words


def test_a_transfer_switch_takes_a_second_supply_on_its_free_side(project):
    switch = r.TransferSwitch(id="switch", name="TS", since="work")
    generator = r.Generator(id="generator", name="G", since="work")
    project = project.apply(put("", "equipment", switch, generator))
    project = project.apply(connect(project, project.equipment["panel"], switch))
    project = after(project, to_feed(Study(project), "generator", "switch"))
    assert sorted(run.lands_on for run in runs_to(project, "switch")) == ["normal", "standby"]


def test_normal_supply_after_the_standby_one(project):
    switch = r.TransferSwitch(id="switch", name="TS", since="work")
    project = project.apply(put("", "equipment", switch))
    first = connect(project, project.equipment["panel"], switch)
    run = msgspec.structs.replace(first.changes[0].after, lands_on="standby")
    project = project.apply(put("", "runs", run))
    project = after(project, to_feed(Study(project), "barn", "switch"))
    assert {run.source: run.lands_on for run in runs_to(project, "switch")} == {
        "panel": "standby",
        "barn": "normal",
    }


def test_which_kinds_can_feed():
    feeding = {kind for kind, cls in KINDS.items() if can_feed(cls(id="x", name=""))}
    assert feeding == {
        "utility source", "transformer", "meter", "disconnect", "panel", "transfer switch",
        "generator", "junction",
    }  # fmt: skip
