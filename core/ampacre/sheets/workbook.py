"""The schedules as a workbook: one sheet for each chapter, its tables one below the other."""

import io
import re

from openpyxl import Workbook
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from ampacre.sheets.table import Table

__all__ = ["workbook_bytes"]

_NUMBER = re.compile(r"-?[\d,]+(\.\d+)?")
_WIDEST = 60.0


def workbook_bytes(tables: tuple[tuple[str, Table], ...], title: str) -> bytes:
    """Give the file. Cells that hold nothing but a number are numbers, all others text."""
    book = Workbook()
    book.remove(book.worksheets[0])
    book.properties.title = _clean(title)
    for chapter in dict.fromkeys(chapter for chapter, _ in tables):
        sheet = book.create_sheet(chapter[:31])
        for found, table in tables:
            if found == chapter:
                _add(sheet, table)
    if not book.worksheets:
        book.create_sheet("Nothing to list")
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def _add(sheet: Worksheet, table: Table) -> None:
    if sheet.max_row > 1:
        sheet.append([])
    sheet.append([_clean(table.title)])
    sheet.cell(sheet.max_row, 1).font = Font(bold=True, size=13)
    sheet.append([column.head for column in table.columns])
    for cell in sheet[sheet.max_row]:
        cell.font = Font(bold=True)
    for row in table.rows:
        at = sheet.max_row + 1
        for place, words in enumerate(row, 1):
            cell = sheet.cell(at, place)
            cell.alignment = Alignment(wrap_text=True, vertical="top")
            if _NUMBER.fullmatch(words) and table.columns[place - 1].flush == "right":
                cell.value = float(words.replace(",", ""))
            else:
                cell.value = _clean(words)
                cell.data_type = "s"
    for place, column in enumerate(table.columns, 1):
        letter = get_column_letter(place)
        width = max(sheet.column_dimensions[letter].width, min(_WIDEST, column.width / 2.2))
        sheet.column_dimensions[letter].width = width


def _clean(words: str) -> str:
    return ILLEGAL_CHARACTERS_RE.sub("\ufffd", words)
