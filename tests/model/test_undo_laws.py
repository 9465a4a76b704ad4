"""Edits are reversible and compose; history takes them back and does them again."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import histories, project_pairs, single_edits

from ampacre.model import edits
from ampacre.model import records as r
from ampacre.model.history import History
from ampacre.model.network import Network, energised, parts_of
from ampacre.model.project import Edit, Project, Refused, StaleEdit, difference
from ampacre.model.soundness import problems


@given(histories())
def test_every_edit_undone_restores_the_project_before_it(history):
    first, steps = history
    before = [first, *(project for _, project in steps)]
    project = before[-1]
    for at in reversed(range(len(steps))):
        project = project.apply(steps[at][0].inverse())
        assert project == before[at]


@given(histories(), st.data())
def test_history_walks_back_and_forth_between_the_same_projects(history, data):
    project, steps = history
    undo, seen = History(), [project]
    for edit, after in steps:
        undo.push(edit)
        if undo.done == len(seen):
            seen.append(after)
        else:
            # an edit of the same gesture joined the step before it, or cancelled it
            seen[undo.done :] = [after]
        project = after
    for move in data.draw(st.lists(st.booleans(), max_size=30)):
        edit = undo.peek_undo() if move else undo.peek_redo()
        if edit is None:
            assert undo.done == (0 if move else len(undo.edits))
            continue
        project = project.apply(edit.inverse() if move else edit)
        (undo.undone if move else undo.redone)()
        assert project == seen[undo.done]


@given(histories())
def test_edits_compose(history):
    project, steps = history
    whole = Edit("", ())
    for edit, _ in steps:
        whole = whole.then(edit)
    last = steps[-1][1] if steps else project
    assert project.apply(whole) == last
    assert last.apply(whole.inverse()) == project
    assert whole.then(whole.inverse()).changes == ()


@given(project_pairs())
def test_difference_turns_one_project_into_the_other(pair):
    old, new = pair
    edit = difference(old, new)
    assert old.apply(edit) == new
    assert new.apply(edit.inverse()) == old
    assert (edit.changes == ()) == (old == new)


@given(histories(), st.data())
@settings(max_examples=200)
def test_an_edit_is_refused_exactly_when_the_whole_project_would_be_unsound(history, data):
    project, steps = history
    project = steps[-1][1] if steps else project
    edit = data.draw(single_edits(project))
    tables = {name: dict(table) for name, table in project.tables()}
    for change in edit.changes:
        if change.after is None:
            del tables[change.table][change.key]
        else:
            tables[change.table][change.key] = change.after
    sound = not problems(Project(**tables))
    try:
        assert project.apply(edit) == Project(**tables)
        applied = True
    except Refused:
        applied = False
    assert applied == sound


@given(histories())
def test_networks_of_equal_parts_are_energised_alike(history):
    project, steps = history
    for _, after in steps:
        graph = Network.of(after).graph
        assert set(graph.nodes) == set(after.equipment)
        assert set(graph.edges(keys=True)) == {
            (run.source, run.target, key) for key, run in after.runs.items()
        }
        if parts_of(project) == parts_of(after):
            assert energised(Network.of(project), {}) == energised(Network.of(after), {})
        project = after


def _lamp(name="Lamp", va=100.0):
    return r.Load(id="lamp", name=name, va=va)


def test_an_edit_made_for_another_version_is_stale():
    project = Project().apply(edits.put("", "equipment", _lamp()))
    change = edits.alter(project, "equipment", "lamp", va=200.0)
    other = project.apply(edits.alter(project, "equipment", "lamp", va=300.0))
    with pytest.raises(StaleEdit):
        other.apply(change)
    with pytest.raises(StaleEdit):
        project.apply(edits.put("", "equipment", _lamp("another")))


def test_edits_of_one_gesture_make_one_step_until_the_file_is_saved():
    project, undo = Project().apply(edits.put("", "equipment", _lamp())), History()
    undo.push(edits.put("", "equipment", _lamp()))
    for at, va in enumerate((200.0, 300.0, 400.0)):
        edit = edits.alter(project, "equipment", "lamp", gesture="drag", va=va)
        project = project.apply(edit)
        undo.push(edit)
        if at == 1:
            undo.mark_saved()
    assert len(undo.edits) == 3
    assert undo.peek_undo().changes[0].before.va == 300.0
    assert not undo.at_saved
    undo.undone()
    assert undo.at_saved


def test_a_gesture_that_ends_where_it_began_leaves_no_step():
    project, undo = Project().apply(edits.put("", "equipment", _lamp())), History()
    for va in (200.0, 100.0):
        edit = edits.alter(project, "equipment", "lamp", gesture="drag", va=va)
        project = project.apply(edit)
        undo.push(edit)
    assert undo.edits == []
    assert undo.at_saved


def test_the_saved_state_is_lost_when_what_followed_from_it_is_edited_away():
    undo = History()
    undo.push(edits.put("", "equipment", _lamp()))
    undo.mark_saved()
    undo.undone()
    assert not undo.at_saved
    undo.push(edits.put("", "equipment", _lamp("another")))
    assert not undo.at_saved
    undo.undone()
    assert not undo.at_saved
