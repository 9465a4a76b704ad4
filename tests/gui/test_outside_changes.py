"""A file that others write to while it is open, and one that nobody may write to."""

import pytest
from answering import answer
from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication, QFileDialog, QPushButton

from ampacre.model.edits import alter
from ampacre.store.file import load, save
from ampacre.store.journal import beside, recover
from ampacre_gui.document import Document


@pytest.fixture
def path(project, tmp_path):
    path = tmp_path / "farm.ampacre"
    save(project, path)
    return path


@pytest.fixture
def opened(program, path, qtbot):
    program.show_file(path)
    qtbot.waitExposed(program.windows[0])
    return program.windows[0]


def rename(document, name):
    document.do(alter(document.project, "equipment", "panel", name=name))


def others_write(project, path, name="Theirs"):
    theirs = project.apply(alter(project, "equipment", "panel", name=name))
    save(theirs, path)
    return theirs


def come_back_to(window):
    """Do what a desktop does when somebody turns to the window again."""
    window.activateWindow()
    QApplication.sendEvent(window, QEvent(QEvent.Type.ActivationChange))


def press(window, words):
    buttons = window._infobar.findChildren(QPushButton)
    next(b for b in buttons if b.text() == words and b.isVisible()).click()


def choose(monkeypatch, path):
    """Answer the file dialog; gives the names that it suggested."""
    suggested = []

    def execute(parent, title, start, filters):
        suggested.append(start)
        return str(path), ""

    monkeypatch.setattr(QFileDialog, "getSaveFileName", execute)
    return suggested


# told when the window is turned to ------------------------------------------------------------


def test_nothing_is_said_of_a_file_that_nobody_wrote_to(opened, path):
    rename(opened.document, "Mine")
    opened.commands["save"].trigger()
    path.touch()
    come_back_to(opened)
    assert not opened._infobar.isVisible()


def test_the_other_version_is_loaded_and_can_be_undone(opened, project, path):
    rename(opened.document, "Mine")
    mine = opened.document.project
    theirs = others_write(project, path)
    come_back_to(opened)
    assert "farm.ampacre was changed by another program" in opened._infobar.text
    press(opened, "Load the Other Version")
    assert opened.document.project == theirs
    assert not opened.isWindowModified()
    assert not opened._infobar.isVisible()
    opened.commands["undo"].trigger()
    assert opened.document.project == mine
    assert opened.isWindowModified()


def test_the_journal_goes_on_from_the_other_version(opened, project, path):
    rename(opened.document, "Mine")
    others_write(project, path)
    come_back_to(opened)
    press(opened, "Load the Other Version")
    assert recover(beside(path), path.read_bytes()) is None
    rename(opened.document, "Both")
    assert recover(beside(path), path.read_bytes()) == opened.document.project


def test_mine_is_kept_and_saved_without_another_question(opened, project, path, monkeypatch):
    rename(opened.document, "Mine")
    others_write(project, path)
    come_back_to(opened)
    press(opened, "Keep Mine")
    asked = answer(monkeypatch, "Cancel")
    opened.commands["save"].trigger()
    assert not asked
    assert load(path) == opened.document.project


def test_a_version_is_told_once_and_the_next_one_again(opened, project, path):
    others_write(project, path)
    come_back_to(opened)
    opened._infobar.hide()
    come_back_to(opened)
    assert not opened._infobar.isVisible()
    others_write(project, path, "Theirs again")
    come_back_to(opened)
    assert opened._infobar.isVisible()


def test_another_version_that_cannot_be_read_leaves_mine(opened, path):
    before = opened.document.project
    path.write_text("hello")
    come_back_to(opened)
    press(opened, "Load the Other Version")
    assert "could not be loaded" in opened._infobar.text
    assert opened.document.project == before
    assert path.read_text() == "hello"


# asked before it is overwritten ---------------------------------------------------------------


def test_saving_over_another_version_asks_and_cancel_leaves_it(opened, project, path, monkeypatch):
    theirs = others_write(project, path)
    rename(opened.document, "Mine")
    asked = answer(monkeypatch, "Cancel")
    opened.commands["save"].trigger()
    assert asked == ["farm.ampacre was changed by another program since it was opened."]
    assert load(path) == theirs
    assert opened.isWindowModified()


def test_saving_over_it_is_done_when_wanted(opened, project, path, monkeypatch):
    others_write(project, path)
    rename(opened.document, "Mine")
    answer(monkeypatch, "Save Over It")
    opened.commands["save"].trigger()
    assert load(path) == opened.document.project
    assert not opened.isWindowModified()


def test_saving_beside_it_keeps_both(opened, project, path, tmp_path, monkeypatch):
    theirs = others_write(project, path)
    rename(opened.document, "Mine")
    answer(monkeypatch, "Save As\u2026")
    choose(monkeypatch, tmp_path / "mine.ampacre")
    opened.commands["save"].trigger()
    assert load(path) == theirs
    assert load(tmp_path / "mine.ampacre") == opened.document.project


# read-only ------------------------------------------------------------------------------------


def test_a_read_only_file_says_so_and_save_asks_for_a_name(
    program, project, path, tmp_path, monkeypatch
):
    path.chmod(0o444)
    program.show_file(path)
    window = program.windows[0]
    assert window._infobar.text == (
        "farm.ampacre is read-only. Save keeps your changes under another name."
    )
    rename(window.document, "Mine")
    suggested = choose(monkeypatch, tmp_path / "mine")
    window.commands["save"].trigger()
    assert suggested == [str(tmp_path / "farm copy.ampacre")]
    assert load(path) == project
    assert load(tmp_path / "mine.ampacre") == window.document.project
    assert not window._infobar.isVisible()


def test_a_file_made_read_only_meanwhile_is_named_where_save_asks(program, path, monkeypatch):
    program.show_file(path)
    window = program.windows[0]
    rename(window.document, "Mine")
    path.chmod(0o444)
    titles = []
    monkeypatch.setattr(
        QFileDialog, "getSaveFileName", lambda _, title, *rest: titles.append(title) or ("", "")
    )
    window.commands["save"].trigger()
    assert titles == ["farm.ampacre is read-only: save under another name"]
    assert window.document.modified


def test_a_read_only_file_is_not_replaced_even_if_chosen(
    program, project, path, tmp_path, monkeypatch
):
    path.chmod(0o444)
    program.show_file(path)
    window = program.windows[0]
    rename(window.document, "Mine")
    choose(monkeypatch, path)
    asked = answer(monkeypatch, "Close")
    window.commands["save"].trigger()
    assert asked == ["The project was not saved."]
    assert load(path) == project


def test_a_read_only_folder_says_so(program, project, tmp_path, monkeypatch):
    folder = tmp_path / "sealed"
    folder.mkdir()
    path = folder / "farm.ampacre"
    save(project, path)
    folder.chmod(0o555)
    try:
        program.show_file(path)
        window = program.windows[0]
        assert "The folder sealed is read-only" in window._infobar.text
        rename(window.document, "Mine")
        suggested = choose(monkeypatch, tmp_path / "mine.ampacre")
        window.commands["save"].trigger()
        assert not suggested[0].startswith(str(folder))
        assert load(path) == project
        assert load(tmp_path / "mine.ampacre") == window.document.project
    finally:
        folder.chmod(0o755)


# a copy ---------------------------------------------------------------------------------------


def test_a_copy_is_written_and_work_goes_on_with_the_file(opened, path, tmp_path, monkeypatch):
    rename(opened.document, "Mine")
    suggested = choose(monkeypatch, tmp_path / "other.ampacre")
    opened.commands["save copy"].trigger()
    assert suggested == [str(tmp_path / "farm copy.ampacre")]
    assert load(tmp_path / "other.ampacre") == opened.document.project
    assert opened.document.path == path
    assert opened.isWindowModified()
    assert str(tmp_path / "other.ampacre") in opened._infobar.text


def test_a_copy_does_not_replace_an_open_file(opened, project, path, monkeypatch):
    rename(opened.document, "Mine")
    choose(monkeypatch, path)
    asked = answer(monkeypatch, "Close")
    opened.commands["save copy"].trigger()
    assert asked == ["The copy was not saved."]
    assert load(path) == project


def test_what_was_loaded_can_be_saved_at_once(project, path, qapp):
    document = Document.load(path)
    others_write(project, path)
    assert document.changed_outside
    document.load_other()
    assert not document.changed_outside
    document.save()
    assert not document.changed_outside
    document.close()


@pytest.mark.parametrize(
    ("words", "there"), [("Save It There Again", True), ("Cancel", False)], ids=["again", "cancel"]
)
def test_a_file_that_was_deleted_is_not_silently_written_again(
    opened, path, monkeypatch, words, there
):
    rename(opened.document, "Mine")
    path.unlink()
    asked = answer(monkeypatch, words)
    opened.commands["save"].trigger()
    assert asked == ["farm.ampacre is no longer where it was opened."]
    assert path.exists() is there
    assert opened.document.modified is not there


def test_a_file_that_was_deleted_can_be_saved_elsewhere(opened, path, tmp_path, monkeypatch):
    rename(opened.document, "Mine")
    path.unlink()
    answer(monkeypatch, "Save As\u2026")
    choose(monkeypatch, tmp_path / "other.ampacre")
    opened.commands["save"].trigger()
    assert not path.exists()
    assert load(tmp_path / "other.ampacre").equipment["panel"].name == "Mine"


def test_what_was_done_as_asked_bears_no_mark_of_trouble(opened, tmp_path, monkeypatch):
    choose(monkeypatch, tmp_path / "copy.ampacre")
    opened.commands["save copy"].trigger()
    assert opened._infobar.property("mark") == "fine"
    opened.document.trouble.emit("Something wants attention")
    assert opened._infobar.property("mark") == "warning"
