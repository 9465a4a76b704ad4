"""What becomes of unsaved projects when somebody logs out or shuts down."""

import pytest
from answering import answer
from PySide6.QtGui import QSessionManager
from PySide6.QtTest import QTest

from ampacre.store.file import load
from ampacre.store.journal import beside, recover


class Session:
    """A desktop that lets its programs ask, which that of the tests does not; keeps what it is told."""

    def __init__(self):
        self.told = []

    def allowsInteraction(self):
        return True

    def cancel(self):
        self.told.append("cancel")

    def release(self):
        self.told.append("release")


@pytest.fixture
def half_typed(program, project, tmp_path, qtbot):
    """A window on a file, with the bus rating of a panel typed and not yet entered."""
    program.show_project(project)
    window = program.windows[0]
    window.document.save_as(tmp_path / "farm.ampacre")
    qtbot.waitExposed(window)
    window.activateWindow()
    window.selection.only("panel")
    editor = next(f for f in window.details.fields if f.spec.name == "bus_a").editor
    editor.setFocus()
    editor.selectAll()
    QTest.keyClicks(editor, "225")
    return window


def test_where_nobody_may_be_asked_all_that_was_typed_stands_in_the_journal(
    program, half_typed, qapp, monkeypatch
):
    asked = answer(monkeypatch, "Cancel")
    session = qapp.findChild(QSessionManager)
    assert not session.allowsInteraction()
    program.end_session(session)
    assert not asked
    path = half_typed.document.path
    kept = recover(beside(path), path.read_bytes())
    assert kept.equipment["panel"].bus_a == 225.0
    assert half_typed.isVisible()


def test_where_somebody_may_be_asked_saving_saves(program, half_typed, monkeypatch):
    asked = answer(monkeypatch, "Save")
    session = Session()
    program.end_session(session)
    assert asked == ["Save the changes to farm?"]
    assert load(half_typed.document.path).equipment["panel"].bus_a == 225.0
    assert session.told == ["release"]
    assert half_typed.isVisible()


def test_cancel_keeps_the_session_going(program, half_typed, monkeypatch):
    answer(monkeypatch, "Cancel")
    session = Session()
    program.end_session(session)
    assert session.told == ["cancel"]
    assert half_typed.document.modified


def test_changes_given_up_are_in_the_journal_all_the_same(program, half_typed, monkeypatch):
    """The session may go on after all; then they are asked about again."""
    answer(monkeypatch, "Don't Save")
    session = Session()
    program.end_session(session)
    assert session.told == ["release"]
    assert half_typed.document.modified
    path = half_typed.document.path
    assert recover(beside(path), path.read_bytes()) is not None


def test_nothing_is_asked_where_all_is_saved(program, monkeypatch):
    asked = answer(monkeypatch, "Cancel")
    program.show_new()
    session = Session()
    program.end_session(session)
    assert asked == session.told == []
