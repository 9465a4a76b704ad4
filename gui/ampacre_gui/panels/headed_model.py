"""A tree of headings with lines below them, as the panels below the drawing show it."""

from collections.abc import Callable, Hashable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

from PySide6.QtCore import QAbstractItemModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QFont

from ampacre_gui.guard import Guarded

__all__ = ["NOWHERE", "HeadedModel", "Heading", "Index"]

Line = TypeVar("Line")

Index = QModelIndex | QPersistentModelIndex
NOWHERE = QModelIndex()
_OF_HEADING = Qt.ItemFlag.ItemIsEnabled
_OF_LINE = _OF_HEADING | Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemNeverHasChildren


@dataclass(eq=False)
class Heading(Generic[Line]):
    """Lines that stand together; `key` makes it the same heading after an edit."""

    key: str
    title: str
    lines: list[Line] = field(default_factory=list)


class HeadedModel(Guarded, QAbstractItemModel, Generic[Line]):
    """Follows headings by the rows that came and went, so that views keep their place.

    `key` tells what makes a line the same one after an edit.
    """

    def __init__(
        self, columns: int, key: Callable[[Line], Hashable], parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._columns = columns
        self._key = key
        self.headings: list[Heading[Line]] = []

    # keeping up -------------------------------------------------------------------------------

    def take(self, fresh: list[Heading[Line]]) -> None:
        """Show these headings and lines in place of those before."""
        old = [heading.key for heading in self.headings]
        new = [heading.key for heading in fresh]
        if not old or not _same_order(old, new) or not self._lines_keep_order(fresh):
            self.beginResetModel()
            self.headings = fresh
            self.endResetModel()
            return
        self._merge(self.headings, fresh, lambda heading: heading.key, NOWHERE)
        for row, heading in enumerate(fresh):
            self._take_heading(row, heading)

    def _lines_keep_order(self, fresh: list[Heading[Line]]) -> bool:
        before = {heading.key: heading.lines for heading in self.headings}
        return all(
            _same_order(
                [self._key(line) for line in before.get(heading.key, ())],
                [self._key(line) for line in heading.lines],
            )
            for heading in fresh
        )

    def _take_heading(self, row: int, fresh: Heading[Line]) -> None:
        heading = self.headings[row]
        at = self.index(row, 0)
        if heading.title != fresh.title:
            heading.title = fresh.title
            self.dataChanged.emit(at, at)
        self._merge(heading.lines, fresh.lines, self._key, at)
        for place, line in enumerate(fresh.lines):
            if heading.lines[place] != line:
                heading.lines[place] = line
                self.dataChanged.emit(
                    self.index(place, 0, at), self.index(place, self._columns - 1, at)
                )

    def _merge(self, old: list[Any], new: list[Any], key: Callable[[Any], Any], at: Index) -> None:
        """Take out of `old` what is not in `new`, then put in what is; what stays has its order."""
        kept = {key(one) for one in new}
        for row in range(len(old) - 1, -1, -1):
            if key(old[row]) not in kept:
                self.beginRemoveRows(at, row, row)
                del old[row]
                self.endRemoveRows()
        for row, one in enumerate(new):
            if row >= len(old) or key(old[row]) != key(one):
                self.beginInsertRows(at, row, row)
                old.insert(row, one)
                self.endInsertRows()

    # what views ask ---------------------------------------------------------------------------

    def lines(self) -> list[Line]:
        """Give all lines, from the top down."""
        return [line for heading in self.headings for line in heading.lines]

    def first(self) -> QModelIndex:
        """Give the first line there is."""
        return next(self.found(lambda _: True), NOWHERE)

    def found(self, fits: Callable[[Line], bool]) -> Iterator[QModelIndex]:
        """Give where the lines are that fit, from the top down."""
        for row, heading in enumerate(self.headings):
            for place, line in enumerate(heading.lines):
                if fits(line):
                    yield self.index(place, 0, self.index(row, 0))

    def line_at(self, index: Index) -> Line | None:
        """Give the line at an index; None for a heading and for nothing."""
        heading = self._above(index)
        return heading.lines[index.row()] if heading is not None else None

    def _above(self, index: Index) -> Heading[Line] | None:
        """Give the heading that a line stands under; None for a heading and for nothing."""
        above = index.internalPointer() if index.isValid() else None
        return above if isinstance(above, Heading) else None

    def index(self, row: int, column: int, parent: Index = NOWHERE) -> QModelIndex:
        # asked twice for every line at each layout; Qt's own test of bounds would ask back
        among = self._below(parent)
        if not (0 <= row < len(among) and 0 <= column < self._columns):
            return QModelIndex()
        # lines point to their heading, and headings to nothing
        return self.createIndex(
            row, column, self.headings[parent.row()] if parent.isValid() else None
        )

    def parent(self, index: Index = NOWHERE) -> QModelIndex:  # type: ignore[override]
        above = self._above(index)
        if above is None:
            return QModelIndex()
        return self.createIndex(self.headings.index(above), 0, None)

    def rowCount(self, parent: Index = NOWHERE) -> int:
        return len(self._below(parent))

    def _below(self, parent: Index) -> Sequence[Heading[Line] | Line]:
        if not parent.isValid():
            return self.headings
        if self._above(parent) or parent.column() > 0:
            return ()
        return self.headings[parent.row()].lines

    def columnCount(self, parent: Index = NOWHERE) -> int:
        return self._columns

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        line = self.line_at(index)
        if line is not None:
            return self.line_data(line, index.column(), role)
        if index.column() == 0 and role == Qt.ItemDataRole.DisplayRole:
            return self.headings[index.row()].title
        if role == Qt.ItemDataRole.FontRole:
            font = QFont()
            font.setBold(True)
            return font
        return None

    def line_data(self, line: Line, column: int, role: int) -> Any:
        """Give what a line shows in a column."""
        raise NotImplementedError

    def flags(self, index: Index) -> Qt.ItemFlag:
        if not index.isValid():
            return Qt.ItemFlag.NoItemFlags
        return _OF_HEADING if self._above(index) is None else _OF_LINE


def _same_order(old: list[Any], new: list[Any]) -> bool:
    """Whether what both lists hold stands in the same order in both."""
    there = set(new)
    known = set(old)
    return [one for one in old if one in there] == [one for one in new if one in known]
