"""Handing a set in, as a person does it."""

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from sheets_windows import (
    LEFT,
    MOST_MS,
    changed,
    choose_file,
    drawn,
    idle,
    opened_file,
    orchard,
    orchard_file,
    words_of,
)

from ampacre.picture.primitives import Polyline
from ampacre.store.file import NotSaved, load, save
from ampacre.store.issued import kept_path, kept_sheets
from ampacre_gui.sheets.issuing import IssueDialog
from ampacre_gui.sheets.sheet_list import picture_of


def hand_in(sheets, monkeypatch, qtbot, note):
    def execute(dialog):
        dialog.show()
        QTest.keyClicks(dialog.note, note)
        dialog.hide()
        return 1

    monkeypatch.setattr(IssueDialog, "exec", execute)
    qtbot.mouseClick(sheets.side.issue, LEFT)
    sheets.activateWindow()
    qtbot.waitUntil(lambda: not sheets._issuing.busy, timeout=MOST_MS)


def test_a_set_handed_in_is_kept_and_recorded(recorded, show, qtbot, monkeypatch, tmp_path):
    path = orchard_file(tmp_path)
    window, sheets = opened_file(show, path, qtbot)
    hand_in(sheets, monkeypatch, qtbot, "First")
    (issue,) = window.document.project.issues.values()
    assert (issue.number, issue.note) == (1, "First")
    assert load(kept_path(path, 1)) == load(path) == window.document.project
    assert not window.document.modified
    words = words_of(kept_sheets(path, 1))
    assert f"Revision: 1, {issue.date}" in words
    assert "Changed since the last set" not in words
    drawn(window, qtbot)
    assert sheets.bar.since.currentText() == "no earlier set"
    assert sheets.side.sets.item(0).text() == f"Set 1, {issue.date}\nFirst"
    assert "Set 1 is issued" in sheets.infobar.text
    assert window.commands["undo"].text() == "&Undo Hand in set 1"
    sheets.close()


def test_later_sheets_mark_what_changed(handed_in, qtbot, monkeypatch, tmp_path):
    window, sheets = handed_in
    changed(window, bus_a=200.0)
    QTest.keyClick(sheets, Qt.Key.Key_F5)
    drawn(window, qtbot)
    assert sheets.bar.since.currentText().startswith("set 1, ")
    choose_file(monkeypatch, tmp_path / "second.pdf")
    qtbot.mouseClick(sheets.side.export, LEFT)
    idle(sheets, qtbot)
    words = words_of(tmp_path / "second.pdf")
    assert "Changed since the last set" in words
    assert "now 200 A" in words
    deltas = [
        element.owner
        for sheet in sheets.sheets.all()
        for element in picture_of(sheet).elements
        if isinstance(element, Polyline) and element.layer == "flag"
    ]
    assert set(deltas) == {"yp"}
    sheets.bar.since.setFocus()
    QTest.keyClick(sheets.bar.since, Qt.Key.Key_Home)
    drawn(window, qtbot)
    assert sheets.bar.issued is None
    assert not any(
        element.layer == "flag"
        for sheet in sheets.sheets.all()
        for element in picture_of(sheet).elements
    )


def test_a_later_set_handed_in_says_what_changed(handed_in, qtbot, monkeypatch):
    window, sheets = handed_in
    changed(window, bus_a=200.0)
    QTest.keyClick(sheets, Qt.Key.Key_F5)
    drawn(window, qtbot)
    monkeypatch.setattr(
        "ampacre_gui.sheets.issuing.save", lambda document, _: document.save() or True
    )
    hand_in(sheets, monkeypatch, qtbot, "Answers")
    drawn(window, qtbot)
    path = window.document.path
    words = words_of(kept_sheets(path, 2))
    assert "Revision: 2, " in words
    assert "now 200 A" in words
    assert sheets.bar.since.currentText().startswith("set 1, ")
    assert [sheets.side.sets.item(row).text()[:5] for row in (0, 1)] == ["Set 2", "Set 1"]


def test_a_number_whose_files_are_kept_is_not_given_again(
    recorded, show, qtbot, monkeypatch, tmp_path
):
    path = orchard_file(tmp_path)
    kept_sheets(path, 1).write_bytes(b"handed in, and undone")
    window, sheets = opened_file(show, path, qtbot)
    hand_in(sheets, monkeypatch, qtbot, "Again")
    assert [issue.number for issue in window.document.project.issues.values()] == [2]
    assert kept_sheets(path, 1).read_bytes() == b"handed in, and undone"
    window.commands["undo"].trigger()
    assert sheets.side.sets.count() == 0
    assert kept_path(path, 2).exists()
    sheets.close()


def test_a_project_changed_meanwhile_is_not_handed_in(handed_in, qtbot, monkeypatch):
    window, sheets = handed_in
    path = window.document.path
    told = []

    def move_on(news):
        if not told:
            told.append(news)
            changed(window, bus_a=200.0)

    sheets._issuing.told.connect(move_on)
    hand_in(sheets, monkeypatch, qtbot, "Second")
    assert told
    assert "not issued" in sheets.infobar.text
    assert list(window.document.project.issues) == ["issue-1"]
    assert not kept_sheets(path, 2).exists()
    assert not kept_path(path, 2).exists()


def test_a_set_that_cannot_be_saved_is_not_handed_in(handed_in, qtbot, monkeypatch):
    window, sheets = handed_in
    path = window.document.path

    def full():
        raise NotSaved("orchard.ampacre could not be saved: the disk is full")

    monkeypatch.setattr(window.document, "save", full)
    hand_in(sheets, monkeypatch, qtbot, "Second")
    assert "the disk is full" in sheets.infobar.text
    assert list(window.document.project.issues) == ["issue-1"]
    assert not kept_sheets(path, 2).exists()
    assert not kept_path(path, 2).exists()


def test_a_set_whose_project_is_gone_cannot_be_compared_with(handed_in, qtbot):
    window, sheets = handed_in
    changed(window, bus_a=200.0)
    kept_path(window.document.path, 1).unlink()
    QTest.keyClick(sheets, Qt.Key.Key_F5)
    drawn(window, qtbot)
    assert sheets.bar.since.currentText() == "set 1: its project is gone"
    assert not sheets.bar.since.isEnabled()
    assert sheets.bar.issued is None


def test_a_project_without_a_file_is_saved_before_it_is_handed_in(opened, qtbot, monkeypatch):
    window, sheets = opened(orchard())
    choose_file(monkeypatch, "")
    qtbot.mouseClick(sheets.side.issue, LEFT)
    assert not sheets._busy
    assert not window.document.project.issues


def test_sheets_of_a_set_are_opened_or_said_to_be_gone(handed_in, qtbot, monkeypatch):
    window, sheets = handed_in
    shown = []
    monkeypatch.setattr("ampacre_gui.sheets.sheets_window.open_outside", shown.append)
    path = kept_sheets(window.document.path, 1)
    qtbot.mouseClick(sheets.side.open_set, LEFT)
    qtbot.mouseClick(sheets.side.show_folder, LEFT)
    assert shown == [path, path.parent]
    path.unlink()
    qtbot.mouseClick(sheets.side.open_set, LEFT)
    assert path.name in sheets.infobar.text
    save(window.document.project, window.document.path)
