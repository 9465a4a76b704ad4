"""Looking at the sheets, exporting, printing and handing them in, as a person does it."""

import shutil
from importlib import resources
from pathlib import Path

import pytest
from bench.property import make_property
from pypdf import PdfReader
from PySide6.QtCore import QDate, QSettings, Qt
from PySide6.QtGui import QPageSize
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QComboBox,
    QDateEdit,
    QFileDialog,
    QMessageBox,
    QProgressBar,
    QWidget,
)

from ampacre.model.edits import alter
from ampacre.model.project import Project
from ampacre.picture.primitives import Polyline
from ampacre.sheets.drawing_set import drawing_set
from ampacre.store.file import NotSaved, decode, load, save
from ampacre.store.issued import issue_set, kept_path, kept_sheets
from ampacre_gui.sheets.forms import FORMS
from ampacre_gui.sheets.issuing import IssueDialog
from ampacre_gui.sheets.sheet_list import picture_of

LEFT = Qt.MouseButton.LeftButton
MOST_MS = 120_000


@pytest.fixture
def opened(show, qtbot, tmp_path):
    """Give a function that opens the sheets of a project and waits until they are drawn."""
    windows = []

    def opening(project, wait=True):
        window = show(project)
        windows.append(window)
        window.commands["sheets"].trigger()
        if wait:
            drawn(window, qtbot)
        return window, window.files.sheets

    yield opening
    for window in windows:
        window.files.sheets.close()


def drawn(window, qtbot):
    qtbot.waitUntil(lambda: window.files.sheets._up_to_date, timeout=MOST_MS)


def idle(sheets, qtbot):
    qtbot.waitUntil(lambda: not sheets._busy, timeout=MOST_MS)


def orchard_file(tmp_path):
    path = tmp_path / "orchard.ampacre"
    shutil.copy(resources.files("ampacre_samples") / "harrow_orchard.ampacre", path)
    return path


def orchard():
    return decode((resources.files("ampacre_samples") / "harrow_orchard.ampacre").read_bytes(), "o")


def changed(window, **values):
    assert window.document.do(alter(window.document.project, "equipment", "yp", **values))


def choose_file(monkeypatch, path):
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *args: (str(path), ""))


def choose_folder(monkeypatch, path):
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *args: str(path))


def choose_form(sheets, ending):
    row = [form.ending for form in FORMS].index(ending)
    sheets.side.forms.setFocus()
    QTest.keyClick(sheets.side.forms, Qt.Key.Key_Home)
    for _ in range(row):
        QTest.keyClick(sheets.side.forms, Qt.Key.Key_Down)
    assert sheets.side.form.ending == ending


def left_in(folder):
    return sorted(path.name for path in folder.iterdir() if path.name != "settings")


def words_of(pdf):
    return "\n".join(page.extract_text() for page in PdfReader(pdf).pages)


# looking --------------------------------------------------------------------------------------


def test_the_sheets_are_those_of_the_set(opened):
    window, sheets = opened(orchard())
    document = window.document
    date = QDate.currentDate().toString(Qt.DateFormat.ISODate)
    made = drawing_set(document.study, document.review, date)
    shown = sheets.sheets.all()
    assert [(s.number, s.title) for s in shown] == [(s.number, s.title) for s in made]
    assert [picture_of(s) for s in shown] == [s.picture for s in made]
    assert sheets.pages.warning == ""


def test_paging_shows_one_sheet_after_the_other(opened):
    _, sheets = opened(orchard())
    assert sheets.sheets.current.number == "E-001"
    first = sheets.pages.proof.grab().toImage()
    QTest.keyClick(sheets, Qt.Key.Key_PageDown)
    assert sheets.sheets.current.number == "E-002"
    assert sheets.pages._place.text().startswith("2 of ")
    assert sheets.pages.proof.grab().toImage() != first
    QTest.keyClick(sheets, Qt.Key.Key_PageUp)
    QTest.keyClick(sheets, Qt.Key.Key_PageUp)
    assert sheets.sheets.current.number == "E-001"
    assert sheets.pages.proof.grab().toImage() == first


def test_a_sheet_fits_until_it_is_zoomed(opened):
    _, sheets = opened(orchard())
    proof = sheets.pages.proof
    assert not proof.horizontalScrollBar().maximum()
    fitted = proof.zoom_pct
    QTest.keyClick(sheets, Qt.Key.Key_Plus, Qt.KeyboardModifier.ControlModifier)
    assert proof.zoom_pct > fitted
    nearer = proof.zoom_pct
    QTest.keyClick(sheets, Qt.Key.Key_PageDown)
    assert proof.zoom_pct == nearer
    QTest.keyClick(sheets, Qt.Key.Key_9, Qt.KeyboardModifier.ControlModifier)
    assert proof.zoom_pct == pytest.approx(fitted)


def test_paper_is_white_and_lines_are_dark(opened):
    _, sheets = opened(orchard())
    proof = sheets.pages.proof
    image = proof.grab().toImage()
    corner = proof.mapFromScene(60, 60)
    assert image.pixelColor(corner).name() == "#ffffff"
    assert any(
        image.pixelColor(x, proof.height() // 2).lightness() < 60 for x in range(proof.width())
    )


def test_another_paper_is_a_step_of_the_project(opened, qtbot):
    window, sheets = opened(orchard())
    sheets.bar.paper.setFocus()
    QTest.keyClick(sheets.bar.paper, Qt.Key.Key_End)
    drawn(window, qtbot)
    assert window.document.project.settings.paper == "letter"
    assert sheets.bar.paper.currentText() == "letter, 11 x 8.5 in"
    assert picture_of(sheets.sheets.all()[0]).width_mm == 279.4
    window.commands["undo"].trigger()
    assert window.document.project == orchard()
    assert sheets.bar.paper.currentText() == "ANSI B, 17 x 11 in"
    assert "changed" in sheets.pages.warning


def test_another_date_stands_on_the_sheets(opened, qtbot):
    window, sheets = opened(orchard())
    sheets.bar.date.setFocus()
    QTest.keyClick(sheets.bar.date, Qt.Key.Key_Up)
    assert not sheets.side.export.isEnabled()
    drawn(window, qtbot)
    date = QDate.currentDate().addYears(1).toString(Qt.DateFormat.ISODate)
    texts = {getattr(e, "text", "") for e in picture_of(sheets.sheets.all()[0]).elements}
    assert date in texts


def test_open_violations_are_told_with_the_sheet_that_prints_them(opened):
    window, sheets = opened(orchard())
    review = window.document.review
    count = sum(f.severity == "violation" for f in review.findings)
    assert f"{count} violations" in sheets.foot.words
    (findings,) = (s.number for s in sheets.sheets.all() if s.title == "Findings")
    assert sheets.foot.words.endswith(f"prints them on {findings}.")
    row = sheets.sheets.numbers.index(findings)
    sheets.sheets.list.item(row).setCheckState(Qt.CheckState.Unchecked)
    assert f"Not all of {findings}" in sheets.foot.words


def test_an_empty_project_has_sheets_too(opened):
    _, sheets = opened(Project())
    assert sheets.sheets.current.title == "Cover"
    assert sheets.foot.words == "No violation and no warning is open."


def test_a_project_that_moves_on_greys_the_sheets(opened, qtbot):
    window, sheets = opened(orchard())
    before = sheets.pages.proof.grab().toImage()
    changed(window, bus_a=200.0)
    assert "changed since" in sheets.pages.warning
    assert sheets.pages.proof.grab().toImage() != before
    for button in (sheets.side.export, sheets.side.print, sheets.side.issue):
        assert not button.isEnabled()
        assert button.toolTip() == "Update the sheets first"
    window.commands["undo"].trigger()
    assert sheets.pages.warning == ""
    assert sheets.side.export.isEnabled()
    changed(window, name="Yard east")
    qtbot.mouseClick(sheets.pages.update_button, LEFT)
    drawn(window, qtbot)
    assert sheets.pages.warning == ""
    assert any(
        getattr(element, "text", "").startswith("Yard east")
        for sheet in sheets.sheets.all()
        for element in picture_of(sheet).elements
    )


def test_drawing_can_be_called_off_and_begun_again(opened, qtbot):
    window, sheets = opened(make_property(400), wait=False)
    told = []
    sheets._drawing.told.connect(
        lambda news: told.append(news) or qtbot.mouseClick(sheets.foot.cancel, LEFT)
    )
    qtbot.waitUntil(lambda: bool(told), timeout=MOST_MS)
    assert len(told) == 1
    assert not sheets._busy
    assert "called off" in sheets.pages.warning
    assert not sheets.side.export.isEnabled()
    assert sheets.foot.progress.isHidden()
    sheets._drawing.told.disconnect()
    sheets._drawing.told.connect(sheets._take_news)
    QTest.keyClick(sheets, Qt.Key.Key_F5)
    drawn(window, qtbot)
    assert sheets.side.export.isEnabled()


def test_closing_the_window_ends_its_work(opened, qtbot):
    window, sheets = opened(make_property(400), wait=False)
    process = sheets._drawing._process
    assert process.waitForStarted()
    window.close()
    assert not sheets._busy
    assert process.state() == process.ProcessState.NotRunning


def test_a_worker_that_dies_is_told(opened, qtbot):
    _, sheets = opened(make_property(400), wait=False)
    sheets._drawing._process.kill()
    idle(sheets, qtbot)
    assert "could not be drawn" in sheets.pages.warning
    assert not sheets.side.export.isEnabled()


def test_every_control_has_a_name(opened):
    _, sheets = opened(orchard())
    kinds = (QAbstractButton, QAbstractItemView, QComboBox, QDateEdit, QProgressBar)
    for control in sheets.findChildren(QWidget):
        if not isinstance(control, kinds) or isinstance(control.parentWidget(), QComboBox):
            continue
        if control.isVisible() and "qt_" not in control.objectName():
            words = control.accessibleName() or getattr(control, "text", str)()
            assert words, f"{control} in {control.parentWidget()}"


# exporting ------------------------------------------------------------------------------------


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


def test_each_form_of_many_files(opened, qtbot, monkeypatch, tmp_path):
    _, sheets = opened(orchard())
    for ending in (".svg", ".csv", ""):
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
    _, sheets = opened(make_property(400))
    target = tmp_path / "farm.pdf"
    target.write_bytes(b"an older set")
    before = left_in(tmp_path)
    choose_file(monkeypatch, target)
    during = []
    sheets._writing.told.connect(
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


# printing -------------------------------------------------------------------------------------


def print_to(monkeypatch, path, prepare=lambda printer: None):
    def execute(dialog):
        printer = dialog.printer()
        printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
        printer.setOutputFileName(str(path))
        prepare(printer)
        return 1

    monkeypatch.setattr(QPrintDialog, "exec", execute)


def test_printing_gives_every_sheet_at_its_size(opened, qtbot, monkeypatch, tmp_path):
    _, sheets = opened(orchard())
    print_to(monkeypatch, tmp_path / "printed.pdf")
    qtbot.mouseClick(sheets.side.print, LEFT)
    idle(sheets, qtbot)
    assert "sent to the printer" in sheets.infobar.text
    pages = PdfReader(tmp_path / "printed.pdf").pages
    assert len(pages) == sheets.sheets.list.count()
    for page, sheet in zip(pages, sheets.sheets.all(), strict=True):
        picture = picture_of(sheet)
        size = float(page.mediabox.width) * 25.4 / 72, float(page.mediabox.height) * 25.4 / 72
        assert size == pytest.approx((picture.width_mm, picture.height_mm), abs=0.5)
    assert "E-601" in pages[sheets.sheets.numbers.index("E-601")].extract_text()


def test_paper_of_another_size_gets_whole_sheets_made_smaller(opened, qtbot, monkeypatch, tmp_path):
    _, sheets = opened(Project())
    letter = QPageSize(QPageSize.PageSizeId.Letter)
    print_to(monkeypatch, tmp_path / "printed.pdf", lambda printer: printer.setPageSize(letter))
    qtbot.mouseClick(sheets.side.print, LEFT)
    idle(sheets, qtbot)
    page = PdfReader(tmp_path / "printed.pdf").pages[0]
    assert (page.mediabox.width, page.mediabox.height) == (792, 612)
    words = " ".join(page.extract_text().split())
    assert "E-001" in words
    assert "Seal and signature" in words


def test_printing_can_be_called_off(opened, qtbot, monkeypatch, tmp_path):
    _, sheets = opened(orchard())
    print_to(monkeypatch, tmp_path / "printed.pdf")
    sheets._printing.told.connect(lambda _: qtbot.mouseClick(sheets.foot.cancel, LEFT))
    qtbot.mouseClick(sheets.side.print, LEFT)
    idle(sheets, qtbot)
    assert not (tmp_path / "printed.pdf").exists()
    assert sheets.side.print.isEnabled()


# handing in -----------------------------------------------------------------------------------


@pytest.fixture
def handed_in(show, qtbot, tmp_path):
    """The sheets of a file of which a set was handed in before, with its project and sheets kept."""
    path = orchard_file(tmp_path)
    issue_set(path, "2026-03-01", "First")
    kept_sheets(path, 1).write_bytes(b"sheets of the first set")
    window, sheets = opened_file(show, path, qtbot)
    yield window, sheets
    sheets.close()


def opened_file(show, path, qtbot):
    window = show(load(path))
    window.document.save_as(path)
    window.commands["sheets"].trigger()
    drawn(window, qtbot)
    return window, window.files.sheets


def hand_in(sheets, monkeypatch, qtbot, note):
    def execute(dialog):
        dialog.show()
        QTest.keyClicks(dialog.note, note)
        dialog.hide()
        return 1

    monkeypatch.setattr(IssueDialog, "exec", execute)
    qtbot.mouseClick(sheets.side.issue, LEFT)
    sheets.activateWindow()
    qtbot.waitUntil(lambda: not sheets._writing.busy, timeout=MOST_MS)


def test_a_set_handed_in_is_kept_and_recorded(show, qtbot, monkeypatch, tmp_path):
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
        "ampacre_gui.sheets.sheets_window.save", lambda document, _: document.save() or True
    )
    hand_in(sheets, monkeypatch, qtbot, "Answers")
    drawn(window, qtbot)
    path = window.document.path
    words = words_of(kept_sheets(path, 2))
    assert "Revision: 2, " in words
    assert "now 200 A" in words
    assert [sheets.side.sets.item(row).text()[:5] for row in (0, 1)] == ["Set 2", "Set 1"]


def test_a_number_whose_files_are_kept_is_not_given_again(show, qtbot, monkeypatch, tmp_path):
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

    sheets._writing.told.connect(move_on)
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
