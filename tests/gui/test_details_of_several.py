"""Details of several pieces or runs at once: what they share, and entries that go for all."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from ampacre.model import records as r
from ampacre.model.edits import alter, put
from ampacre_gui.panels.editors import SEVERAL


@pytest.fixture
def details(window):
    return window.details


def field(details, name):
    return next(field for field in details.fields if field.spec.name == name)


def names(details):
    return {field.spec.name for field in details.fields}


def type_over(editor, text, key=Qt.Key.Key_Return):
    editor.setFocus()
    QTest.keyClicks(editor, text)
    QTest.keyClick(editor, key)


def select_runs(window):
    keys = sorted(window.document.project.runs)
    window.selection.set(keys)
    return keys


def lengths(window):
    return [run.length_m for run in window.document.project.runs.values()]


def test_one_length_goes_for_all_runs_in_one_step(window, details):
    select_runs(window)
    assert details._head.text() == "4 runs"
    type_over(field(details, "length_m").editor, "50 ft")
    assert lengths(window) == [pytest.approx(15.24)] * 4
    assert window.document.history.peek_undo().label == "Set length of 4 runs"
    assert len(window.document.history.edits) == 1
    window.document.undo()
    assert lengths(window) == [None] * 4


def test_what_differs_says_so_and_is_typed_over(window, details):
    first, *_ = select_runs(window)
    window.document.do(alter(window.document.project, "runs", first, length_m=30.0))
    editor = field(details, "length_m").editor
    assert editor.text() == SEVERAL
    QTest.mouseClick(editor, Qt.MouseButton.LeftButton)
    QTest.keyClicks(editor, "20 ft")
    QTest.keyClick(editor, Qt.Key.Key_Return)
    assert lengths(window) == [pytest.approx(6.096)] * 4
    assert editor.text() == "20 ft"


def test_fields_left_alone_change_nothing(window, details):
    first, *_ = select_runs(window)
    window.document.do(alter(window.document.project, "runs", first, length_m=30.0))
    before, steps = window.document.project, len(window.document.history.edits)
    for one in details.fields:
        if one.isVisibleTo(details):
            one.editor.setFocus()
            QTest.keyClick(one.editor, Qt.Key.Key_Tab)
    assert window.document.project == before
    assert len(window.document.history.edits) == steps


def test_what_differs_can_be_emptied_in_all(window, details):
    first, *_ = select_runs(window)
    window.document.do(alter(window.document.project, "runs", first, length_m=30.0))
    editor = field(details, "length_m").editor
    editor.setFocus()
    QTest.keyClick(editor, Qt.Key.Key_Delete)
    QTest.keyClick(editor, Qt.Key.Key_Return)
    assert lengths(window) == [None] * 4


def test_a_wrong_entry_stays_at_its_field(window, details):
    first, *_ = select_runs(window)
    window.document.do(alter(window.document.project, "runs", first, length_m=30.0))
    length = field(details, "length_m")
    type_over(length.editor, "3 horses")
    assert length.editor.text() == "3 horses"
    assert "a length" in length.reason
    assert len(window.document.history.edits) == 1


def test_choices_that_differ_are_shown_so_and_chosen_for_all(window, details):
    first, *_ = select_runs(window)
    window.document.do(
        alter(window.document.project, "runs", first, conductors=r.Conductors(size="2"))
    )
    editor = field(details, "conductors.size").editor
    assert editor.currentIndex() == -1
    assert editor.placeholderText() == SEVERAL
    editor.setFocus()
    editor.setCurrentIndex(editor.findData("6"))
    editor.activated.emit(editor.currentIndex())
    assert {run.conductors.size for run in window.document.project.runs.values()} == {"6"}
    assert window.document.history.peek_undo().label == "Set size of 4 runs"


def test_several_kinds_show_what_they_share(window, details):
    window.selection.set(("panel", "charger"))
    assert details._head.text() == "2 pieces"
    details._more.click()
    assert {"structure", "owner", "model"} <= names(details)
    assert not {"bus_a", "nameplate_a", "name"} & names(details)
    type_over(field(details, "model").editor, "as found")
    assert {window.document.project.equipment[key].model for key in ("panel", "charger")} == {
        "as found"
    }
    assert window.document.history.peek_undo().label == "Set maker and type of 2 pieces"


def test_pieces_and_runs_share_little_but_can_be_marked_together(window, details):
    run = next(iter(window.document.project.runs))
    window.selection.set(("panel", run))
    assert details._head.text() == "2 pieces and runs"
    details._more.click()
    assert "owner" in names(details)
    assert "length_m" not in names(details)


def test_spaces_and_names_belong_to_one_alone(window, details):
    select_runs(window)
    assert not {"name", "spaces", "neutral_with", "segments"} & names(details)


def test_a_new_structure_takes_all_of_them(window, details):
    window.selection.set(("panel", "barn"))
    line = field(details, "structure").editor.lineEdit()
    line.setFocus()
    QTest.keyClicks(line, "Press barn")
    QTest.keyClick(line, Qt.Key.Key_Return)
    (structure,) = window.document.project.structures.values()
    pieces = window.document.project.equipment
    assert {pieces["panel"].structure, pieces["barn"].structure} == {structure.id}
    assert len(window.document.history.edits) == 1


def test_a_part_that_only_some_have_is_half_ticked_and_given_to_all(window, details):
    window.selection.set(("panel", "barn"))
    part = next(part for part in details.parts if part.path == ("main",))
    assert part.box.checkState() == Qt.CheckState.PartiallyChecked
    assert "main.rating_a" not in names(details)
    QTest.mouseClick(part.box, Qt.MouseButton.LeftButton, pos=part.box.rect().center() * 0.1)
    pieces = window.document.project.equipment
    assert pieces["panel"].main == r.Device(rating_a=200.0)
    assert pieces["barn"].main == r.Device()
    assert part.box.checkState() == Qt.CheckState.Checked
    assert field(details, "main.rating_a").editor.text() == SEVERAL


def test_what_one_of_them_refuses_leaves_all_as_they_were(window, details):
    window.selection.set(("panel", "barn"))
    spaces = field(details, "bus_a")
    before = window.document.project
    type_over(spaces.editor, "9000")
    assert "at most" in spaces.reason
    assert window.document.project == before


def test_a_piece_that_goes_leaves_the_rest_selected_and_shown(window, details):
    window.document.do(put("", "equipment", r.Panel(id="other", name="Other")))
    window.selection.set(("spare", "other"))
    window.document.undo()
    assert details._head.text() == "Spare"


def test_many_are_counted_and_the_first_named(orchard):
    orchard.selection.set(orchard.document.project.equipment)
    assert orchard.details._head.text() == "39 pieces"
    assert orchard.details._way.text().endswith("31 more")
