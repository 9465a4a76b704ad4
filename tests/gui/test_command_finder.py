"""The list of all commands: finding one by a few letters, running it, and why one can't be run."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from ampacre.model import records as r
from ampacre_gui.command_finder import entries
from ampacre_gui.matching import best_first, fit

# the match -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wanted", "words"),
    [
        ("", "Save As…"), ("save", "Save As…"), ("SA", "Save As…"), ("sa as", "Save As…"),
        ("zin", "Zoom In"), ("fcom", "Find a Command"), ("…", "Save As…"),
    ],
)  # fmt: skip
def test_letters_in_order_fit(wanted, words):
    assert fit(wanted, words) is not None


@pytest.mark.parametrize(
    ("wanted", "words"), [("as save", "Save As"), ("savee", "Save"), ("x", "")]
)
def test_letters_out_of_order_or_missing_do_not_fit(wanted, words):
    assert fit(wanted, words) is None


def test_what_stands_together_or_begins_words_comes_first():
    words = ["Select None", "Show Fields Beside", "Save As", "Save", "Unsaved"]
    assert [words[place] for place in best_first("save", words)] == ["Save", "Save As", "Unsaved"]
    assert words[best_first("sn", words)[0]] == "Select None"
    assert best_first("", ["long words", "a"]) == [0, 1]


# the list --------------------------------------------------------------------------------------


@pytest.fixture
def finder(window, qtbot):
    window.activateWindow()
    window.canvas.setFocus()
    qtbot.keyClick(window.canvas, Qt.Key.Key_K, Qt.KeyboardModifier.ControlModifier)
    assert window.command_finder.isVisible()
    return window.command_finder


def shown(finder):
    tree = finder.lines
    return [tree.topLevelItem(row).text(0) for row in range(tree.topLevelItemCount())]


def test_every_command_is_listed_once_in_words(window, finder):
    listed = entries(window.commands)
    assert [entry.action for entry in listed] == window.commands.all()
    assert shown(finder) == [entry.words for entry in listed]
    for entry in listed:
        assert entry.words.strip(), entry.action.objectName()
    keys = [entry.key for entry in listed if entry.key]
    assert len(keys) == len(set(keys))


def test_key_and_menu_stand_beside_the_words(window):
    listed = {entry.action.objectName(): entry for entry in entries(window.commands)}
    assert listed["save as"][1:4] == ("Save As…", "File", "Ctrl+Shift+S")


def test_whatever_cannot_be_used_says_why(window):
    for entry in entries(window.commands):
        assert bool(entry.otherwise) != entry.action.isEnabled(), entry.words


def test_letters_then_enter_run_a_command(window, finder):
    QTest.keyClicks(finder.line, "selall")
    QTest.keyClick(finder.line, Qt.Key.Key_Return)
    assert set(window.selection.ids) == set(window.document.project.equipment)
    assert not finder.isVisible()
    assert QApplication.focusWidget() is window.canvas


def test_numbers_beside_pieces_and_the_map_are_found_too(window, finder):
    QTest.keyClicks(finder.line, "spare")
    assert finder.lines.topLevelItem(0).text(1) == "Beside Each Piece"
    QTest.keyClick(finder.line, Qt.Key.Key_Return)
    assert window.canvas.drawing.badge == "spare"
    window.commands["command"].trigger()
    QTest.keyClicks(finder.line, "map")
    QTest.keyClick(finder.line, Qt.Key.Key_Return)
    assert not window.overview.wanted


def test_kinds_to_replace_the_selected_piece_with_are_found(window, finder):
    QTest.keyClicks(finder.line, "replace disconnect")
    assert finder.lines.topLevelItem(0).text(1) == "select one piece first"
    finder.leave()
    window.selection.only("panel")
    window.commands["command"].trigger()
    QTest.keyClicks(finder.line, "replace motor")
    assert finder.lines.topLevelItem(0).text(1) == "A motor feeds nothing, and P feeds Barn, C1"
    # however long the reason, the words can be read
    room = finder.fontMetrics().horizontalAdvance("Replace With Motor")
    assert finder.lines.columnWidth(0) > room + 10
    finder.line.clear()
    QTest.keyClicks(finder.line, "replace disconnect")
    QTest.keyClick(finder.line, Qt.Key.Key_Return)
    assert isinstance(window.document.project.equipment["panel"], r.Disconnect)
    window.commands["undo"].trigger()
    assert isinstance(window.document.project.equipment["panel"], r.Panel)


@pytest.mark.parametrize(
    ("typed", "name"), [("findings", "findings"), ("history", "history"), ("on site", "checklist")]
)
def test_panels_are_found_and_come_to_the_front(window, finder, typed, name):
    window._docks[name].hide()
    QTest.keyClicks(finder.line, f"panel {typed}")
    assert finder.lines.topLevelItem(0).text(0).endswith(window._docks[name].windowTitle())
    QTest.keyClick(finder.line, Qt.Key.Key_Return)
    assert window._docks[name].isVisible()
    assert window._docks[name].isAncestorOf(QApplication.focusWidget())


def test_arrows_choose_and_the_one_used_last_comes_first(window, finder):
    QTest.keyClicks(finder.line, "zoom")
    QTest.keyClick(finder.line, Qt.Key.Key_Down)
    chosen = finder.lines.currentItem().text(0)
    assert chosen == shown(finder)[1]
    QTest.keyClick(finder.line, Qt.Key.Key_Return)
    window.commands["command"].trigger()
    assert shown(finder)[0] == chosen


def test_one_that_cannot_be_used_says_why_and_stays(window, finder):
    QTest.keyClicks(finder.line, "delete")
    assert finder.lines.topLevelItem(0).text(1) == "select a piece or a run first"
    QTest.keyClick(finder.line, Qt.Key.Key_Return)
    assert finder.isVisible()
    assert finder.note.text() == "Delete can't be used now: select a piece or a run first."


def test_a_click_runs_a_command(window, finder, qtbot):
    QTest.keyClicks(finder.line, "select all")
    tree = finder.lines
    at = tree.visualItemRect(tree.topLevelItem(0)).center()
    qtbot.mouseClick(tree.viewport(), Qt.MouseButton.LeftButton, pos=at)
    assert window.selection.ids


def test_nothing_found_is_said_and_enter_does_nothing(finder):
    QTest.keyClicks(finder.line, "qqqq")
    assert finder.note.text() == "No command by these letters"
    QTest.keyClick(finder.line, Qt.Key.Key_Return)
    assert finder.isVisible()


def test_escape_gives_the_focus_back(window, finder):
    QTest.keyClick(finder.line, Qt.Key.Key_Escape)
    assert not finder.isVisible()
    assert QApplication.focusWidget() is window.canvas


def test_it_goes_when_the_focus_goes(window, finder, qtbot):
    qtbot.mouseClick(window.canvas.viewport(), Qt.MouseButton.LeftButton)
    assert not finder.isVisible()


def test_it_stays_inside_a_window_that_shrinks(window, finder, qtbot):
    window.resize(1024, 600)
    qtbot.waitUntil(lambda: window.rect().contains(finder.geometry()))
