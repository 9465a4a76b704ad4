"""Findings and what is missing, under a heading for each severity."""

from collections.abc import Hashable
from operator import attrgetter
from typing import Any, NamedTuple

from PySide6.QtCore import QObject, Qt

from ampacre.rules.review import Missing
from ampacre.rules.rule import Finding
from ampacre_gui.flags import flag_icon
from ampacre_gui.icons import command_icon
from ampacre_gui.panels.headed_model import HeadedModel, Index

__all__ = ["MESSAGE", "WHERE", "FindingsModel", "Told"]

WHERE, MESSAGE = range(2)


class Told(NamedTuple):
    """A finding, or what is missing somewhere, in words, with the mark that it is shown under.

    `key` is what makes it the same line after an edit, `place` its name with all that is known.
    """

    one: Finding | Missing
    key: Hashable
    mark: str
    name: str
    place: str
    words: str


class FindingsModel(HeadedModel[Told]):
    """Knows which headings are folded away, and shows it before them."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(2, attrgetter("key"), parent)
        self._folded: set[str] = set()

    def fold(self, row: int, *, away: bool) -> None:
        """Show that the lines of a heading are folded away, or are not."""
        (self._folded.add if away else self._folded.discard)(self.headings[row].key)
        at = self.index(row, WHERE)
        self.dataChanged.emit(at, at)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        heading = index.isValid() and self.line_at(index) is None
        if heading and role == Qt.ItemDataRole.DecorationRole and index.column() == WHERE:
            folded = self.headings[index.row()].key in self._folded
            return command_icon("folded" if folded else "unfolded", 16)
        return super().data(index, role)

    def line_data(self, line: Told, column: int, role: int) -> Any:
        if role == Qt.ItemDataRole.DisplayRole:
            return line.name if column == WHERE else line.words
        if role == Qt.ItemDataRole.DecorationRole and column == WHERE:
            return flag_icon(line.mark)
        if role == Qt.ItemDataRole.ToolTipRole and column == WHERE:
            return line.place
        return None
