"""Printing the sheets, as a person does it."""

import pytest
from pypdf import PdfReader
from PySide6.QtGui import QPageSize
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from sheets_windows import (
    LEFT,
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
