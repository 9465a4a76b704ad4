"""Tables and notes that flow over as many sheets as they need: wrapped cells, repeated heads."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Literal, NamedTuple

from ampacre.picture.lettering import wrap
from ampacre.picture.primitives import Element, Polyline, Text
from ampacre.sheets.frame import moved
from ampacre.sheets.pen import CAPITALS_MM

__all__ = [
    "CLOSE_GAP",
    "PART_GAP",
    "Column",
    "Figure",
    "Flowed",
    "Notes",
    "Part",
    "Table",
    "flow",
    "without_blank",
]

PITCH = 4.9
CELL, FLUSH_RIGHT = 1.5, 4.0
"""Room around a cell's text, and at the right of one that is set flush there."""

TITLE_CAPITALS, TITLE_ROOM, TITLE_PITCH = 4.0, 8.0, 6.0
PART_GAP, CLOSE_GAP = 7.0, 2.2
"""Between parts, and before a figure without a title, which goes on with the one before."""

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


class Figure(NamedTuple):
    """A drawing, titled or not, given from its upper left corner, of this size [mm]; it stays in one piece."""

    title: str
    elements: tuple[Element, ...]
    width: float
    height: float


Part = Table | Notes | Figure


class _Row(NamedTuple):
    """Wrapped cells; `lines` of the longest."""

    cells: tuple[tuple[str, ...], ...]
    lines: int


class Flowed(NamedTuple):
    """What was set: the elements of each sheet, from its upper left corner, and the last one's foot.

    `foot` is how far down the last sheet is filled [mm].
    """

    sheets: list[list[Element]]
    foot: float


def flow(parts: Iterable[Part], width: float, height: float, start: float = 0.0) -> Flowed:
    """Set tables, notes and figures one below the other on sheets of this drawing area [mm].

    A table that is no higher than half a sheet stays in one piece; a row that is higher than a
    sheet goes on on the next one. Tables take the whole width; their columns keep their proportions.
    On the first sheet they begin at `start` [mm].
    """
    setter = _Setter(width, height, start)
    for part in parts:
        if isinstance(part, Figure):
            setter.set_figure(part)
            continue
        table = _fitted(part, width) if isinstance(part, Table) else _as_table(part, width)
        if table.rows:
            setter.set_table(table)
    return Flowed(setter.sheets, max(0.0, setter.y - PART_GAP))


def without_blank(table: Table, *heads: str) -> Table:
    """Leave out those of the columns with these heads that no row says anything in."""
    kept = [
        place
        for place, column in enumerate(table.columns)
        if column.head not in heads or any(row[place] for row in table.rows)
    ]
    return Table(
        table.title,
        tuple(table.columns[place] for place in kept),
        tuple(tuple(row[place] for place in kept) for row in table.rows),
    )


def _fitted(table: Table, width: float) -> Table:
    whole = sum(column.width for column in table.columns)
    columns = (column._replace(width=column.width * width / whole) for column in table.columns)
    return table._replace(columns=tuple(columns))


class _Setter:
    """Fills sheets from the top down; `y` is where the next thing stands."""

    def __init__(self, width: float, height: float, start: float) -> None:
        self.width = width
        self.height = height
        self.sheets: list[list[Element]] = [[]]
        self.y = start

    def set_table(self, table: Table) -> None:
        headed = any(column.head for column in table.columns)
        heads = tuple(column.head for column in table.columns)
        head = _wrapped(heads, table.columns, bold=True) if headed else None
        titled = self._titled(f"{table.title}, continued")
        head_room = _title_room(titled) + (_height(head) if head else 0.0)
        rows = list(_broken(table, self.height - head_room))
        whole = head_room + sum(map(_height, rows))
        needed = whole if whole <= self.height / 2 else head_room + _height(rows[0])
        if self.y and self.y + needed > self.height:
            self._turn()
        self._set_head(table, self._titled(table.title), head)
        for row in rows:
            if self.y + _height(row) > self.height:
                self._turn()
                self._set_head(table, titled, head)
            self._set_row(row, table.columns)
            if head:
                self._rule(table.columns, _THIN)
        self.y += PART_GAP

    def set_figure(self, figure: Figure) -> None:
        titled = self._titled(figure.title)
        room = _title_room(titled)
        if self.y and not titled:
            self.y += CLOSE_GAP - PART_GAP
        if self.y and self.y + room + figure.height > self.height:
            self._turn()
        self._set_title(titled)
        top = self.y + room
        self.sheets[-1] += [moved(element, 0.0, top) for element in figure.elements]
        self.y = top + figure.height + PART_GAP

    def _turn(self) -> None:
        self.sheets.append([])
        self.y = 0.0

    def _titled(self, title: str) -> tuple[str, ...]:
        return wrap(title, self.width, TITLE_CAPITALS, bold=True)

    def _set_title(self, lines: tuple[str, ...]) -> None:
        for number, line in enumerate(lines):
            base = self.y + TITLE_CAPITALS + number * TITLE_PITCH
            self.sheets[-1].append(Text(0.0, base, line, TITLE_CAPITALS, bold=True))

    def _set_head(self, table: Table, title: tuple[str, ...], head: _Row | None) -> None:
        self._set_title(title)
        self.y += _title_room(title)
        if head:
            self._set_row(head, table.columns, bold=True)
            self._rule(table.columns, _THICK)

    def _set_row(self, row: _Row, columns: tuple[Column, ...], *, bold: bool = False) -> None:
        x = 0.0
        for column, lines in zip(columns, row.cells, strict=True):
            right = column.flush == "right"
            at = x + column.width - FLUSH_RIGHT if right else x + CELL
            anchor: Literal["start", "end"] = "end" if right else "start"
            for number, line in enumerate(lines):
                base = self.y + CELL + CAPITALS_MM + number * PITCH
                self.sheets[-1].append(Text(at, base, line, CAPITALS_MM, anchor, bold))
            x += column.width
        self.y += _height(row)

    def _rule(self, columns: tuple[Column, ...], width_mm: float) -> None:
        right = sum(column.width for column in columns)
        line = Polyline(((0.0, self.y), (right, self.y)), "frame", width_mm)
        self.sheets[-1].append(line)


def _as_table(notes: Notes, width: float) -> Table:
    return Table(notes.title, (Column("", width),), tuple((text,) for text in notes.paragraphs))


def _title_room(lines: tuple[str, ...]) -> float:
    return TITLE_ROOM + TITLE_PITCH * (len(lines) - 1) if lines else 0.0


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


def _height(row: _Row) -> float:
    return 2 * CELL + CAPITALS_MM + (row.lines - 1) * PITCH
