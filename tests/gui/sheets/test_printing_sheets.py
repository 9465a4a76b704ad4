"""Printing the sheets, as a person does it."""

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtGui import QPageSize
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtTest import QTest
from sheets_windows import (
    LEFT,
    MOST_MS,
    idle,
    orchard,
)

from ampacre.model.project import Project
from ampacre_gui.sheets.sheet_list import picture_of


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


@pytest.fixture
def asked(monkeypatch):
    """The times that the printer's dialog came up; each time somebody thinks better of it."""
    times = []

    def execute(dialog):
        times.append(dialog.windowTitle())
        return 0

    monkeypatch.setattr(QPrintDialog, "exec", execute)
    return times


def test_print_in_the_main_window_asks_for_a_printer_when_the_sheets_are_there(
    recorded, show, qtbot, asked
):
    window = show(orchard())
    QTest.keyClick(window.canvas, Qt.Key.Key_P, Qt.KeyboardModifier.ControlModifier)
    assert not asked
    qtbot.waitUntil(lambda: len(asked) == 1, timeout=MOST_MS)
    sheets = window.files.sheets
    assert sheets.isVisible()
    window.commands["print"].trigger()
    assert len(asked) == 2
    sheets.renew()
    idle(sheets, qtbot)
    qtbot.wait(0)
    assert len(asked) == 2
    sheets.close()


def test_calling_off_the_drawing_calls_off_the_print_too(recorded, show, qtbot, asked):
    window = show(orchard())
    window.commands["print"].trigger()
    sheets = window.files.sheets
    qtbot.mouseClick(sheets.foot.cancel, LEFT)
    sheets.renew()
    idle(sheets, qtbot)
    qtbot.wait(0)
    assert not asked
    sheets.close()
