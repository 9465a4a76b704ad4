"""Undo and redo select what they put back or alter, and bring it into view."""

from gui.test_canvas import at, click
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from ampacre.model.edits import alter

CTRL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier


def undo(window):
    QTest.keyClick(window.canvas, Qt.Key.Key_Z, CTRL)


def redo(window):
    QTest.keyClick(window.canvas, Qt.Key.Key_Z, CTRL | SHIFT)


def in_view(window, key):
    area = window.canvas.drawing.item(key).core
    return window.canvas.visible_area().intersects(area)


def test_undo_of_a_delete_selects_what_came_back(window):
    canvas = window.canvas
    click(canvas, at(canvas, "barn"))
    click(canvas, at(canvas, "charger"), CTRL)
    QTest.keyClick(canvas, Qt.Key.Key_Delete)
    assert not window.selection.ids
    undo(window)
    assert set(window.selection.ids) == {"barn", "charger"}
    assert canvas.hasFocus()


def test_undo_of_a_deleted_run_selects_the_run(window):
    run = next(run.id for run in window.document.project.runs.values() if run.target == "barn")
    window.selection.only(run)
    window.canvas.setFocus()
    QTest.keyClick(window.canvas, Qt.Key.Key_Delete)
    undo(window)
    assert window.selection.ids == (run,)


def test_undo_and_redo_of_a_value_select_its_piece_and_show_it(orchard):
    orchard.canvas.setFocus()
    project = orchard.document.project
    far = next(piece.id for piece in project.equipment.values() if piece.name == "T1")
    orchard.document.do(alter(project, "equipment", far, kva=100.0))
    other = next(piece.id for piece in project.equipment.values() if piece.name == "C4")
    for step in (undo, redo):
        orchard.canvas.zoom_to(160)
        orchard.selection.go_to(other)
        assert not in_view(orchard, far)
        step(orchard)
        assert orchard.selection.ids == (far,)
        assert in_view(orchard, far)
        assert orchard.canvas.zoom_pct == 160


def test_undo_of_an_addition_selects_what_it_hung_from(window):
    window.selection.only("barn")
    window.commands.add_below("charger")
    window.canvas.setFocus()
    undo(window)
    assert window.selection.ids == ("barn",)
    redo(window)
    (added,) = window.selection.ids
    assert window.document.project.equipment[added].name.startswith("C-")


def test_what_is_selected_stays_where_it_is_part_of_the_step(window):
    window.canvas.setFocus()
    project = window.document.project
    edit = alter(project, "equipment", "barn", name="Shed").then(
        alter(project, "equipment", "panel", name="Main")
    )
    window.document.do(edit)
    window.selection.only("panel")
    undo(window)
    assert window.selection.ids == ("panel",)


def test_undo_of_settings_leaves_the_selection(window):
    window.canvas.setFocus()
    project = window.document.project
    window.document.do(alter(project, "project", "project", name="Elsewhere"))
    window.selection.only("barn")
    undo(window)
    assert window.selection.ids == ("barn",)


def test_a_line_of_the_history_selects_what_its_step_did(window):
    for name in ("One", "Two", "Three"):
        window.document.do(alter(window.document.project, "equipment", "barn", name=name))
    window.document.do(alter(window.document.project, "equipment", "panel", name="Main"))
    window.selection.clear()
    window.document.go_to(1)
    assert window.selection.ids == ("barn",)
    window.document.go_to(4)
    assert window.selection.ids == ("panel",)
