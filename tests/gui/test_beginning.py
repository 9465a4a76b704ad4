"""How a newcomer begins: the samples, the blank sheet, and what each panel is for."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QPushButton

from ampacre_gui.dialogs.panel_help import DRAWING, PAGES, PanelHelpDialog
from ampacre_gui.samples import SAMPLES, sample_project


def button(window, words):
    return next(b for b in window.welcome.findChildren(QPushButton) if b.text() == words)


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda sample: sample.file)
def test_each_sample_is_offered_and_can_be_read(empty_window, qtbot, sample):
    qtbot.mouseClick(button(empty_window, sample.title), Qt.MouseButton.LeftButton)
    assert empty_window.files._opener.asked == [sample.file]
    assert sample_project(sample.file).equipment


def test_a_blank_sheet_leads_to_the_equipment(empty_window, qtbot):
    empty_window.activateWindow()
    qtbot.mouseClick(button(empty_window, "Blank Sheet"), Qt.MouseButton.LeftButton)
    assert empty_window.welcome.isVisible()
    assert not empty_window.welcome.choices.isVisible()
    assert empty_window.drawer._search.hasFocus()
    QTest.keyClicks(empty_window.drawer._search, "utility")
    QTest.keyClick(empty_window.drawer._search, Qt.Key.Key_Return)
    assert not empty_window.welcome.isVisible()
    assert len(empty_window.document.project.equipment) == 1


def test_the_welcome_is_whole_in_the_smallest_window(empty_window, qtbot):
    empty_window.resize(1024, 768)
    qtbot.waitUntil(lambda: empty_window.size().width() == 1024)
    room = empty_window.canvas.viewport().rect()
    assert room.contains(empty_window.welcome.geometry())
    for label in empty_window.welcome.findChildren(QLabel):
        assert label.height() >= label.heightForWidth(label.width()), label.text()


def test_every_panel_says_what_it_does(window):
    assert PAGES.keys() == {DRAWING, *window._docks}


@pytest.fixture
def pages(monkeypatch):
    shown = []

    def execute(dialog):
        shown.append([label.text() for label in dialog.findChildren(QLabel)])
        return 0

    monkeypatch.setattr(PanelHelpDialog, "exec", execute)
    return shown


def test_f1_tells_of_the_panel_in_use(window, qtbot, pages):
    window.activateWindow()
    window.canvas.setFocus()
    seen = set()
    for _ in range(6):
        focus = QApplication.focusWidget()
        docks = window._docks
        panel = next((name for name in docks if docks[name].isAncestorOf(focus)), DRAWING)
        qtbot.keyClick(focus, Qt.Key.Key_F1)
        assert pages[-1] == list(PAGES[panel])
        seen.add(panel)
        qtbot.keyClick(focus, Qt.Key.Key_F6)
    assert {DRAWING, "drawer", "outline", "findings"} <= seen
