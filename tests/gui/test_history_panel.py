"""The list of changes, and going to any of them with mouse and keys."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester, QTest

from ampacre.model.edits import alter
from ampacre.store.journal import recover
from ampacre_gui.document import Document
from ampacre_gui.panels.history import HistoryModel


def rename(document, name):
    document.do(alter(document.project, "equipment", "panel", name=name))


def words(model):
    return [model.index(row).data() for row in range(model.rowCount())]


@pytest.fixture
def model(document):
    model = HistoryModel(document)
    model.tester = QAbstractItemModelTester(
        model, QAbstractItemModelTester.FailureReportingMode.Warning
    )
    return model


def test_every_change_is_a_line_in_words(model, document):
    assert words(model) == ["Before any change"]
    rename(document, "Main")
    document.do(alter(document.project, "equipment", "barn", bus_a=125.0))
    assert words(model) == [
        "Before any change", "Change name of P", "Change bus rating of Barn",
    ]  # fmt: skip
    document.undo()
    assert words(model)[2] == "Change bus rating of Barn"
    spoken = [model.index(row).data(Qt.ItemDataRole.AccessibleTextRole) for row in range(3)]
    assert spoken[1].endswith(", now")
    assert spoken[2].endswith(", undone")
    rename(document, "Other")
    assert words(model)[2] == "Change name of Main"


def test_the_saved_line_is_marked(model, document, tmp_path):
    rename(document, "Main")
    document.save_as(tmp_path / "farm.ampacre")
    rename(document, "Other")
    assert [line.endswith("(saved)") for line in words(model)] == [False, True, False]


def test_going_there_and_back_is_one_change_each(document):
    projects, news = [document.project], []
    for name in ("A", "B", "C"):
        rename(document, name)
        projects.append(document.project)
    document.changed.connect(news.append)
    for done in (0, 3, 1, 2):
        document.go_to(done)
        assert document.project == projects[done]
        assert document.history.done == done
        assert document.study.project == projects[done]
    assert len(news) == 4
    document.go_to(2)
    assert len(news) == 4


def test_the_journal_follows(document):
    for name in ("A", "B"):
        rename(document, name)
    document.go_to(1)
    assert recover(document._journal._journal.path, b"") == document.project


def test_changes_that_cancel_out_can_be_passed(qapp, project):
    document = Document(project)
    rename(document, "A")
    rename(document, "P")
    document.go_to(0)
    assert document.history.done == 0
    assert document.project == project
    document.close()


def test_a_click_goes_there(window, qtbot):
    for name in ("A", "B", "C"):
        rename(window.document, name)
    window._docks["history"].show()
    window._docks["history"].raise_()
    panel = window.history
    qtbot.waitUntil(panel.isVisible)
    assert panel.currentIndex().row() == 3
    at = panel.visualRect(panel.model().index(1)).center()
    qtbot.mouseClick(panel.viewport(), Qt.MouseButton.LeftButton, pos=at)
    assert window.document.project.equipment["panel"].name == "A"
    assert panel.currentIndex().row() == 1
    panel.setFocus()
    QTest.keyClick(panel, Qt.Key.Key_Down)
    QTest.keyClick(panel, Qt.Key.Key_Down)
    QTest.keyClick(panel, Qt.Key.Key_Return)
    assert window.document.project.equipment["panel"].name == "C"


def test_f11_fills_the_screen_and_gives_it_back(window, qtbot):
    window.activateWindow()
    window.canvas.setFocus()
    qtbot.keyClick(window.canvas, Qt.Key.Key_F11)
    assert window.isFullScreen()
    assert window.commands["full screen"].isChecked()
    qtbot.keyClick(window.canvas, Qt.Key.Key_F11)
    assert not window.isFullScreen()
    assert not window.commands["full screen"].isChecked()
