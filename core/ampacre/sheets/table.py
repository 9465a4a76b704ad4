"""Tables and notes that flow over as many sheets as they need: wrapped cells, repeated heads."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Literal, NamedTuple

from ampacre.picture.lettering import wrap
from ampacre.picture.primitives import Element, Polyline, Text
from ampacre.sheets.pen import CAPITALS_MM

__all__ = ["Column", "Notes", "Table", "flow"]

PITCH = 4.9
CELL, FLUSH_RIGHT = 1.5, 4.0
"""Room around a cell's text, and at the right of one that is set flush there."""

TITLE_CAPITALS, TITLE_ROOM = 4.0, 8.0
PART_GAP = 7.0
FEWEST_LINES = 3
"""A part does not start at the foot of a sheet with less room than this below its head."""

_THIN, _THICK = 0.2, 0.5


class Column(NamedTuple):
    """A column: its head, its width [mm], and the side on which its cells are set flush."""

    head: str
    width: float
    flush: Literal["left", "right"] = "left"


class Table(NamedTuple):
    """A titled table; every row has a cell for each column."""

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]


class Notes(NamedTuple):
    """A titled list of paragraphs."""

    title: str
    paragraphs: tuple[str, ...]


class _Row(NamedTuple):
    """Wrapped cells; `lines` of the longest."""

    cells: tuple[tuple[str, ...], ...]
    lines: int


def flow(parts: Iterable[Table | Notes], width: float, height: float) -> list[list[Element]]:
    """Set tables and notes one below the other on sheets of this drawing area [mm].

    Gives the elements of each sheet, from its upper left corner. A row that is higher than the
    room left goes on on the next sheet.
    """
    sheets: list[list[Element]] = [[]]
    y = 0.0
    for part in parts:
        table = part if isinstance(part, Table) else _as_table(part, width)
        headed = any(column.head for column in table.columns)
        heads = tuple(column.head for column in table.columns)
        head = _wrapped(heads, table.columns, bold=True)
        head_room = TITLE_ROOM + (_height(head.lines) if headed else 0.0)
        title = table.title
        started = False
        for row in _broken(table, height - head_room):
            fits = y + _height(row.lines) <= height
            if started and not fits:
                sheets.append([])
                y, started, title = 0.0, False, f"{table.title}, continued"
            if not started:
                least = head_room + _height(min(row.lines, FEWEST_LINES))
                if y and y + max(least, head_room + _height(row.lines)) > height:
                    sheets.append([])
                    y = 0.0
                _title(sheets[-1], title, y)
                y += TITLE_ROOM
                if headed:
                    _row(sheets[-1], head, table.columns, y, bold=True)
                    y += _height(head.lines)
                    _rule(sheets[-1], table.columns, y, _THICK)
                started = True
            _row(sheets[-1], row, table.columns, y)
            y += _height(row.lines)
            if headed:
                _rule(sheets[-1], table.columns, y, _THIN)
        y += PART_GAP
    return sheets


def _as_table(notes: Notes, width: float) -> Table:
    return Table(notes.title, (Column("", width),), tuple((text,) for text in notes.paragraphs))


def _right(column: Column) -> float:
    return FLUSH_RIGHT if column.flush == "right" else CELL


def _wrapped(cells: Sequence[str], columns: tuple[Column, ...], *, bold: bool = False) -> _Row:
    texts = tuple(
        wrap(cell, column.width - CELL - _right(column), CAPITALS_MM, bold)
        for cell, column in zip(cells, columns, strict=True)
    )
    return _Row(texts, max([1, *(len(text) for text in texts)]))


def _broken(table: Table, height: float) -> Iterator[_Row]:
    """Give the rows with cells wrapped; one higher than a sheet comes as several."""
    most = int((height - 2 * CELL) // PITCH)
    for cells in table.rows:
        row = _wrapped(cells, table.columns)
        for first in range(0, row.lines, most):
            part = tuple(text[first : first + most] for text in row.cells)
            yield _Row(part, max([1, *(len(text) for text in part)]))


def _height(lines: int) -> float:
    return 2 * CELL + CAPITALS_MM + (lines - 1) * PITCH


def _title(out: list[Element], title: str, y: float) -> None:
    out.append(Text(0.0, y + TITLE_CAPITALS, title, TITLE_CAPITALS, bold=True))


def _row(
    out: list[Element], row: _Row, columns: tuple[Column, ...], y: float, *, bold: bool = False
) -> None:
    x = 0.0
    for column, lines in zip(columns, row.cells, strict=True):
        right = column.flush == "right"
        at = x + column.width - FLUSH_RIGHT if right else x + CELL
        for number, line in enumerate(lines):
            base = y + CELL + CAPITALS_MM + number * PITCH
            anchor: Literal["start", "end"] = "end" if right else "start"
            out.append(Text(at, base, line, CAPITALS_MM, anchor, bold))
        x += column.width


def _rule(out: list[Element], columns: tuple[Column, ...], y: float, width_mm: float) -> None:
    right = sum(column.width for column in columns)
    out.append(Polyline(((0.0, y), (right, y)), "frame", width_mm))
