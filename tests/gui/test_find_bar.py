"""Finding by name on the drawing, with keys as a person would."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from ampacre_gui.find_bar import FindBar

SHIFT = Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def bar(orchard, qtbot):
    orchard.activateWindow()
    orchard.canvas.setFocus()
    qtbot.keyClick(orchard.canvas, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    assert orchard.find_bar.isVisible()
    assert QApplication.focusWidget() is orchard.find_bar.line
    return orchard.find_bar


def name_of(window):
    (key,) = window.selection.ids
    return window.document.project.equipment[key].name


def named(window, name):
    pieces = window.document.project.equipment.values()
    return next(piece.id for piece in pieces if piece.name == name)


def off_middle(window, key):
    middle = window.canvas.viewport().rect().center()
    return (window.canvas.point_of(key).toPoint() - middle).manhattanLength()


def test_typing_selects_the_first_hit_in_the_middle(orchard, bar: FindBar):
    QTest.keyClicks(bar.line, "c3")
    assert name_of(orchard) == "C3"
    assert bar.count.text().startswith("1 of ")
    assert off_middle(orchard, orchard.selection.current) < 4
    assert orchard.canvas.zoom_pct >= 38


def test_enter_and_shift_enter_go_round(orchard, bar):
    QTest.keyClicks(bar.line, "charger")
    count = int(bar.count.text().rpartition(" ")[2])
    assert count >= 5
    seen = [orchard.selection.current]
    for _ in range(count - 1):
        QTest.keyClick(bar.line, Qt.Key.Key_Return)
        seen.append(orchard.selection.current)
    assert len(set(seen)) == count
    assert bar.count.text() == f"{count} of {count}"
    QTest.keyClick(bar.line, Qt.Key.Key_Return)
    assert orchard.selection.current == seen[0]
    QTest.keyClick(bar.line, Qt.Key.Key_Return, SHIFT)
    assert orchard.selection.current == seen[-1]


def test_f3_goes_on_after_the_bar_is_closed(orchard, bar, qtbot):
    QTest.keyClicks(bar.line, "charger")
    first = orchard.selection.current
    QTest.keyClick(bar.line, Qt.Key.Key_Escape)
    assert not bar.isVisible()
    assert QApplication.focusWidget() is orchard.canvas
    assert orchard.selection.current == first
    qtbot.keyClick(orchard.canvas, Qt.Key.Key_F3)
    second = orchard.selection.current
    assert second != first
    qtbot.keyClick(orchard.canvas, Qt.Key.Key_F3, SHIFT)
    assert orchard.selection.current == first


def test_f3_with_nothing_looked_for_opens_the_bar(orchard, qtbot):
    orchard.activateWindow()
    orchard.canvas.setFocus()
    qtbot.keyClick(orchard.canvas, Qt.Key.Key_F3)
    assert orchard.find_bar.line.hasFocus()


def test_nothing_found_is_said_in_place_and_the_selection_stays(orchard, bar):
    QTest.keyClicks(bar.line, "c3")
    before = orchard.selection.ids
    QTest.keyClicks(bar.line, " zzz")
    assert bar.count.text() == "Nothing found"
    assert orchard.selection.ids == before
    QTest.keyClick(bar.line, Qt.Key.Key_Return)
    assert bar.isVisible()


def test_what_is_folded_away_is_shown(orchard, bar):
    key = named(orchard, "C3")
    parent = orchard.document.study.equipment(key).parent
    grandparent = orchard.document.study.equipment(parent).parent
    for folded in (parent, grandparent):
        orchard.canvas.fold(folded)
    assert orchard.canvas.drawing.item(key) is None
    QTest.keyClicks(bar.line, "c3")
    assert orchard.canvas.drawing.item(key) is not None
    assert not orchard.canvas.drawing.folded
    assert off_middle(orchard, key) < 4


def test_hits_follow_the_drawing(orchard, bar):
    QTest.keyClicks(bar.line, "charger")
    before = int(bar.count.text().rpartition(" ")[2])
    orchard.commands.remove()
    assert int(bar.count.text().rpartition(" ")[2]) == before - 1
    orchard.document.undo()
    assert int(bar.count.text().rpartition(" ")[2]) == before


def test_a_rating_and_a_run_can_be_found(orchard, bar):
    run = next(run for run in orchard.document.project.runs.values() if run.name)
    QTest.keyClicks(bar.line, run.name)
    assert orchard.selection.ids == (run.id,)


def test_insert_goes_to_the_search_for_equipment(orchard, qtbot):
    orchard.activateWindow()
    orchard.canvas.setFocus()
    qtbot.keyClick(orchard.canvas, Qt.Key.Key_Insert)
    assert orchard.drawer._search.hasFocus()
