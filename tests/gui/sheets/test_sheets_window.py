"""Looking at the sheets, as a person does it."""

import pytest
from PySide6.QtCore import QDate, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QComboBox,
    QDateEdit,
    QProgressBar,
    QWidget,
)
from sheets_windows import (
    LEFT,
    MOST_MS,
    changed,
    drawn,
    idle,
    orchard,
    warning,
)

from ampacre.model.project import Project
from ampacre.sheets.drawing_set import drawing_set
from ampacre_gui.sheets.sheet_list import picture_of


def test_the_sheets_are_those_of_the_set(opened):
    window, sheets = opened(orchard())
    document = window.document
    date = QDate.currentDate().toString(Qt.DateFormat.ISODate)
    made = drawing_set(document.study, document.review, date)
    shown = sheets.sheets.all()
    assert [(s.number, s.title) for s in shown] == [(s.number, s.title) for s in made]
    assert [picture_of(s) for s in shown] == [s.picture for s in made]
    assert warning(sheets) == ""


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
    assert sheets.sheets.current.number == "E-001"
    assert picture_of(sheets.sheets.all()[0]).width_mm == 279.4
    window.commands["undo"].trigger()
    assert window.document.project == orchard()
    assert sheets.bar.paper.currentText() == "ANSI B, 17 x 11 in"
    assert "changed" in warning(sheets)


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


def test_a_sheet_that_findings_share_with_others_is_told_too(opened, project):
    _, sheets = opened(project)
    (shared,) = (s for s in sheets.sheets.all() if "Findings" in s.title)
    assert shared.title != "Findings"
    assert sheets.foot.words.endswith(f"prints them on {shared.number}.")


def test_an_empty_project_has_sheets_too(opened):
    _, sheets = opened(Project())
    assert sheets.sheets.current.title.startswith("Cover")
    assert sheets.foot.words == "No violation and no warning is open."


def test_a_project_that_moves_on_greys_the_sheets(opened, qtbot):
    window, sheets = opened(orchard())
    before = sheets.pages.proof.grab().toImage()
    changed(window, bus_a=200.0)
    assert "changed since" in warning(sheets)
    assert sheets.pages.proof.grab().toImage() != before
    for button in (sheets.side.export, sheets.side.print, sheets.side.issue):
        assert not button.isEnabled()
        assert button.toolTip() == "Update the sheets first"
    window.commands["undo"].trigger()
    assert warning(sheets) == ""
    assert sheets.side.export.isEnabled()
    changed(window, name="Yard east")
    qtbot.mouseClick(sheets.pages.update_button, LEFT)
    drawn(window, qtbot)
    assert warning(sheets) == ""
    assert any(
        getattr(element, "text", "").startswith("Yard east")
        for sheet in sheets.sheets.all()
        for element in picture_of(sheet).elements
    )


def test_drawing_can_be_called_off_and_begun_again(opened_live, qtbot):
    window, sheets = opened_live(orchard(), wait=False)
    told = []
    sheets._drawing.told.connect(
        lambda news: told.append(news) or qtbot.mouseClick(sheets.foot.cancel, LEFT)
    )
    qtbot.waitUntil(lambda: bool(told), timeout=MOST_MS)
    assert len(told) == 1
    assert not sheets._busy
    assert "called off" in warning(sheets)
    assert not sheets.side.export.isEnabled()
    assert sheets.foot.progress.isHidden()
    sheets._drawing.told.disconnect()
    sheets._drawing.told.connect(sheets._take_news)
    QTest.keyClick(sheets, Qt.Key.Key_F5)
    drawn(window, qtbot)
    assert sheets.side.export.isEnabled()


def test_closing_the_window_ends_its_work(opened_live, qtbot):
    window, sheets = opened_live(orchard(), wait=False)
    process = sheets._drawing._process
    assert process.waitForStarted()
    window.close()
    assert not sheets._busy
    assert process.state() == process.ProcessState.NotRunning


def test_a_worker_that_dies_is_told(opened_live, qtbot):
    _, sheets = opened_live(orchard(), wait=False)
    sheets._drawing._process.kill()
    idle(sheets, qtbot)
    assert "could not be drawn" in warning(sheets)
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
