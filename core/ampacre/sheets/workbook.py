"""The schedules as a workbook: a sheet for each table; tables of one make share a sheet.

Numbers are numbers. The unit stands in the head of a column that has only one, else in the format of
each cell.
"""

import io
from typing import NamedTuple

from openpyxl import Workbook
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE, Cell
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

from ampacre.sheets.cells import head_of, number_in, only_unit
from ampacre.sheets.table import Column, Table

__all__ = ["workbook_bytes"]

_WIDEST, _LONGEST_NAME = 60, 31


class _Gathered(NamedTuple):
    """What one sheet holds: its name, heads with the sides they are flush to, and rows."""

    name: str
    columns: tuple[Column, ...]
    rows: list[tuple[str, ...]]


def workbook_bytes(about: Table, tables: tuple[tuple[str, Table], ...], title: str) -> bytes:
    """Give the file. Cells that hold nothing but a number, or one with its unit, are numbers.

    `about` stands on the first sheet; `title` is that of the file, and heads each page in print.
    """
    book = Workbook()
    book.remove(book.worksheets[0])
    book.properties.title = _clean(title)
    for gathered in _gathered((("", about), *tables)):
        _fill(book.create_sheet(_name(book, gathered.name)), gathered)
    for sheet in book.worksheets:
        assert sheet.oddHeader is not None
        assert sheet.oddFooter is not None
        sheet.oddHeader.center.text = _clean(title).replace("&", "&&")
        sheet.oddFooter.center.text = "&A, &P of &N"
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def _gathered(tables: tuple[tuple[str, Table], ...]) -> list[_Gathered]:
    """Put the tables of a chapter that have the same heads together, each row after its title."""
    groups: dict[tuple[str, ...], list[tuple[str, Table]]] = {}
    for chapter, table in tables:
        heads = (chapter, *(column.head for column in table.columns))
        groups.setdefault(heads, []).append((chapter, table))
    found: list[_Gathered] = []
    for group in groups.values():
        (chapter, first), *more = group
        if not more:
            found.append(_Gathered(first.title, first.columns, list(first.rows)))
            continue
        columns = (Column("Table", 60), *first.columns)
        rows = [(table.title, *row) for _, table in group for row in table.rows]
        found.append(_Gathered(chapter, columns, rows))
    return found


def _name(book: Workbook, title: str) -> str:
    """Make a name that a workbook takes and does not have yet."""
    kept = "".join(" " if c in "[]:*?/\\" else c for c in _clean(title))
    plain = " ".join(kept.split())[:_LONGEST_NAME].strip("' ") or "Table"
    name, count = plain, 1
    taken = {sheet.title.lower() for sheet in book.worksheets}
    while name.lower() in taken:
        count += 1
        name = f"{plain[: _LONGEST_NAME - 4]} {count}"
    return name


def _fill(sheet: Worksheet, gathered: _Gathered) -> None:
    for place, column in enumerate(gathered.columns, 1):
        cells = [row[place - 1] for row in gathered.rows]
        unit = only_unit(cells)
        head = sheet.cell(1, place, _clean(head_of(column, unit)))
        head.font = Font(bold=True)
        head.alignment = Alignment(wrap_text=True, vertical="top")
        for number, words in enumerate(cells, 2):
            cell = sheet.cell(number, place)
            assert isinstance(cell, Cell)
            _set(cell, words, column, unit)
        longest = max(map(len, (column.head, *cells)))
        sheet.column_dimensions[get_column_letter(place)].width = min(_WIDEST, longest + 3)
    sheet.freeze_panes = "A2"
    sheet.auto_filter.ref = sheet.dimensions
    sheet.print_title_rows = "1:1"
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)


def _set(cell: Cell, words: str, column: Column, unit: str) -> None:
    cell.alignment = Alignment(wrap_text=True, vertical="top")
    if number := number_in(words, column):
        decimals = f".{'0' * number.decimals}" if number.decimals else ""
        shown = "" if unit or not number.unit else f'" {number.unit}"'
        cell.value = float(number.digits)
        cell.number_format = f"#,##0{decimals}{shown}"
        cell.alignment = Alignment(horizontal="right", vertical="top")
    elif words:
        cell.value = _clean(words)
        cell.data_type = "s"


def _clean(words: str) -> str:
    return ILLEGAL_CHARACTERS_RE.sub("\ufffd", words)
