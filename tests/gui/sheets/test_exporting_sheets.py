"""Exporting the sheets, as a person does it."""

from pathlib import Path

from pypdf import PdfReader
from PySide6.QtCore import QSettings, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QFileDialog,
    QMessageBox,
)
from sheets_windows import (
    LEFT,
    choose_file,
    choose_folder,
    choose_form,
    idle,
    left_in,
    opened_file,
    orchard,
    orchard_file,
)

from ampacre_gui.sheets.forms import FORMS


def test_each_form_of_one_file(opened, qtbot, monkeypatch, tmp_path):
    _, sheets = opened(orchard())
    # a name without its ending gets it
    choose_file(monkeypatch, tmp_path / "farm")
    for ending in (".pdf", ".dxf", ".xlsx"):
        choose_form(sheets, ending)
        QTest.keyClick(sheets, Qt.Key.Key_E, Qt.KeyboardModifier.ControlModifier)
        idle(sheets, qtbot)
        assert str(tmp_path / f"farm{ending}") in sheets.infobar.text
        assert (tmp_path / f"farm{ending}").stat().st_size > 1000
    assert left_in(tmp_path) == ["farm.dxf", "farm.pdf", "farm.xlsx"]
    assert len(PdfReader(tmp_path / "farm.pdf").pages) == sheets.sheets.list.count()


def test_the_first_export_begins_beside_the_project(recorded, show, qtbot, monkeypatch, tmp_path):
    window, sheets = opened_file(show, orchard_file(tmp_path), qtbot)
    started = []

    def give_up(_parent, _title, start, _kind):
        started.append(Path(start))
        return "", ""

    monkeypatch.setattr(QFileDialog, "getSaveFileName", give_up)
    choose_form(sheets, ".pdf")
    qtbot.mouseClick(sheets.side.export, LEFT)
    assert started == [window.document.path.with_suffix(".pdf")]
    sheets.close()


def test_each_form_of_many_files(opened, qtbot, monkeypatch, tmp_path):
    _, sheets = opened(orchard())
    for ending in (".csv", ""):
        folder = tmp_path / f"set{ending}"
        folder.mkdir()
        choose_form(sheets, ending)
        choose_folder(monkeypatch, folder)
        qtbot.mouseClick(sheets.side.export, LEFT)
        idle(sheets, qtbot)
        names = left_in(folder)
        assert len(names) > 5
        assert {Path(name).suffix for name in names} == (
            {ending} if ending else {form.ending for form in FORMS if form.ending}
        )
        assert sheets.infobar.text == f"{len(names)} files written to {folder}"


def test_the_button_has_the_keys_again_when_the_work_is_done(opened, qtbot, monkeypatch, tmp_path):
    _, sheets = opened(orchard())
    choose_form(sheets, ".xlsx")
    choose_file(monkeypatch, tmp_path / "farm.xlsx")
    sheets.side.export.setFocus()
    QTest.keyClick(sheets.side.export, Qt.Key.Key_Space)
    assert not sheets.side.export.hasFocus()
    idle(sheets, qtbot)
    assert sheets.side.export.hasFocus()


def test_files_that_are_there_are_replaced_only_if_wanted(opened, qtbot, monkeypatch, tmp_path):
    _, sheets = opened(orchard())
    choose_form(sheets, ".svg")
    choose_folder(monkeypatch, tmp_path)
    mine = tmp_path / f"{orchard().settings.name} E-001.svg"
    mine.write_text("mine")
    asked = []

    def answer(words):
        def execute(box):
            asked.append(box.informativeText())
            box.setAttribute(Qt.WidgetAttribute.WA_DontShowOnScreen)
            (button,) = (b for b in box.buttons() if b.text() == words)
            button.click()

        monkeypatch.setattr(QMessageBox, "exec", execute)

    answer("Keep Them")
    before = left_in(tmp_path)
    qtbot.mouseClick(sheets.side.export, LEFT)
    idle(sheets, qtbot)
    assert asked == [mine.name]
    assert left_in(tmp_path) == before
    assert mine.read_text() == "mine"
    answer("Replace")
    qtbot.mouseClick(sheets.side.export, LEFT)
    idle(sheets, qtbot)
    assert mine.read_text() != "mine"


def test_only_the_sheets_that_are_checked(opened, qtbot, monkeypatch, tmp_path):
    _, sheets = opened(orchard())
    QTest.mouseClick(
        next(b for b in sheets.findChildren(QAbstractButton) if b.text() == "None"), LEFT
    )
    assert not sheets.side.export.isEnabled()
    sheets.sheets.list.setFocus()
    sheets.sheets.go_to("E-601")
    QTest.keyClick(sheets.sheets.list, Qt.Key.Key_Space)
    choose_file(monkeypatch, tmp_path / "one.pdf")
    qtbot.mouseClick(sheets.side.export, LEFT)
    idle(sheets, qtbot)
    (page,) = PdfReader(tmp_path / "one.pdf").pages
    assert "E-601" in page.extract_text()


def test_an_export_called_off_leaves_nothing(opened, qtbot, monkeypatch, tmp_path):
    _, sheets = opened(orchard())
    target = tmp_path / "farm.pdf"
    target.write_bytes(b"an older set")
    before = left_in(tmp_path)
    choose_file(monkeypatch, target)
    during = []
    sheets._exporting.told.connect(
        lambda _: during.append(left_in(tmp_path)) or qtbot.mouseClick(sheets.foot.cancel, LEFT)
    )
    qtbot.mouseClick(sheets.side.export, LEFT)
    idle(sheets, qtbot)
    assert len(during) == 1
    assert during[0] != before
    assert left_in(tmp_path) == before
    assert target.read_bytes() == b"an older set"
    assert "nothing was written" in sheets.infobar.text
    assert sheets.side.export.isEnabled()


def test_a_folder_that_cannot_be_written_to_is_told(opened, qtbot, monkeypatch, tmp_path):
    _, sheets = opened(orchard())
    choose_file(monkeypatch, tmp_path / "gone" / "farm.pdf")
    qtbot.mouseClick(sheets.side.export, LEFT)
    assert "Nothing was written" in sheets.infobar.text
    assert "No such file" in sheets.infobar.text
    assert not sheets._busy
    assert sheets.side.export.isEnabled()


def test_a_target_that_is_a_folder_is_told(opened, qtbot, monkeypatch, tmp_path):
    _, sheets = opened(orchard())
    (tmp_path / "farm.pdf").mkdir()
    before = left_in(tmp_path)
    choose_file(monkeypatch, tmp_path / "farm.pdf")
    qtbot.mouseClick(sheets.side.export, LEFT)
    idle(sheets, qtbot)
    assert "farm.pdf could not be written" in sheets.infobar.text
    assert left_in(tmp_path) == before


def test_the_form_chosen_last_is_remembered(opened, show):
    window, sheets = opened(orchard())
    choose_form(sheets, ".dxf")
    window.close()
    _, again = opened(orchard(), wait=False)
    assert again.side.form.ending == ".dxf"
    QSettings().setValue("set form", ".doc")
    _, other = opened(orchard(), wait=False)
    assert other.side.form.ending == ".pdf"
