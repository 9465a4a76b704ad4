"""The questions that only the eye can answer, as a tree: headings, and lines below them."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any, Literal

from PySide6.QtCore import QAbstractItemModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QFont

from ampacre.model.project import Project
from ampacre.rules.questions import QUESTIONS, Asked
from ampacre.rules.rule import RULES
from ampacre_gui.flags import flag_icon
from ampacre_gui.guard import Guarded
from ampacre_gui.names import element_name
from ampacre_gui.panels.fields import capital

__all__ = ["ANSWER", "LINE", "PLACE", "QUESTION", "ChecklistModel", "Grouping", "Wanted"]

LINE = Qt.ItemDataRole.UserRole
"""The role that gives the Asked of a line, None for a heading."""
PLACE, QUESTION, ANSWER = range(3)
_COLUMNS = ("Where", "Question", "Answer")
_MARKS = {"yes": "fine", "unknown": "missing"}

Wanted = Literal["open", "answered", "all"]
Grouping = Literal["place", "topic"]
Index = QModelIndex | QPersistentModelIndex
_NOWHERE = QModelIndex()


@dataclass(eq=False)
class _Heading:
    """Lines that stand together; `key` makes it the same heading after an edit."""

    key: str
    title: str
    lines: list[Asked] = field(default_factory=list)


def _heading_of(index: Index) -> _Heading | None:
    """Give the heading that a line stands under; None for a heading and for nothing."""
    above = index.internalPointer() if index.isValid() else None
    return above if isinstance(above, _Heading) else None


def _key(line: Asked) -> tuple[str, str]:
    return line.question, line.where


class ChecklistModel(Guarded, QAbstractItemModel):
    """Follows a checklist by the rows that came and went, so that views keep their place."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._project = Project()
        self._headings: list[_Heading] = []

    # keeping up -------------------------------------------------------------------------------

    def take(
        self, project: Project, lines: Iterable[Asked], wanted: Wanted, grouping: Grouping
    ) -> None:
        """Show the lines that are wanted, under a heading for each place or each topic."""
        self._project = project
        fresh = self._grouped([line for line in lines if _is_wanted(line, wanted)], grouping)
        old = [heading.key for heading in self._headings]
        new = [heading.key for heading in fresh]
        if not old or not _same_order(old, new) or not self._lines_keep_order(fresh):
            self.beginResetModel()
            self._headings = fresh
            self.endResetModel()
            return
        self._merge(self._headings, fresh, lambda heading: heading.key, _NOWHERE)
        for row, heading in enumerate(fresh):
            self._take_heading(row, heading)

    def _lines_keep_order(self, fresh: list[_Heading]) -> bool:
        before = {heading.key: heading.lines for heading in self._headings}
        return all(
            _same_order(
                [_key(line) for line in before.get(heading.key, ())], [*map(_key, heading.lines)]
            )
            for heading in fresh
        )

    def _take_heading(self, row: int, fresh: _Heading) -> None:
        heading = self._headings[row]
        if heading.title == fresh.title and heading.lines == fresh.lines:
            return
        heading.title = fresh.title
        at = self.index(row, 0)
        self._merge(heading.lines, fresh.lines, _key, at)
        heading.lines[:] = fresh.lines
        last = self.index(len(heading.lines) - 1, ANSWER, at)
        self.dataChanged.emit(self.index(0, 0, at), last)
        self.dataChanged.emit(at, at)

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

    def _grouped(self, lines: list[Asked], grouping: Grouping) -> list[_Heading]:
        found: dict[str, _Heading] = {}
        for line in lines:
            key, title = self._place(line) if grouping == "place" else _topic(line)
            found.setdefault(key, _Heading(key, title)).lines.append(line)
        headings = list(found.values())
        if grouping == "place":
            headings.sort(
                key=lambda heading: (heading.key != "project", heading.title, heading.key)
            )
            for heading in headings:
                heading.lines.sort(key=self.place_of)
        for heading in headings:
            heading.title = f"{heading.title}  ({len(heading.lines)})"
        return headings

    def _place(self, line: Asked) -> tuple[str, str]:
        """Give id and name of the structure that a question is to be seen in, or of the piece."""
        project = self._project
        run = project.runs.get(line.where)
        piece = project.equipment.get(run.target if run else line.where)
        structure = project.structures.get((piece.structure if piece else None) or line.where)
        if structure:
            return structure.id, structure.name
        if piece:
            return piece.id, capital(element_name(project, piece.id))
        return "project", self.tr("The property as a whole")

    def place_of(self, line: Asked) -> str:
        """Name the piece or run that a question is about."""
        structure = self._project.structures.get(line.where)
        return structure.name if structure else capital(element_name(self._project, line.where))

    # what views ask ---------------------------------------------------------------------------

    def keys(self) -> list[tuple[str, str]]:
        """Question and place of all lines, from the top down."""
        return [_key(line) for heading in self._headings for line in heading.lines]

    def first(self) -> QModelIndex:
        """Give the first line there is."""
        return self.index(0, 0, self.index(0, 0))

    def index_of(self, question: str, where: str) -> QModelIndex:
        """Give the line of a question about a place."""
        return self._found(lambda line: line.question == question and line.where == where)

    def first_about(self, where: str) -> QModelIndex:
        """Give the first line about a place."""
        return self._found(lambda line: line.where == where)

    def _found(self, fits: Callable[[Asked], bool]) -> QModelIndex:
        for row, heading in enumerate(self._headings):
            for place, line in enumerate(heading.lines):
                if fits(line):
                    return self.index(place, 0, self.index(row, 0))
        return QModelIndex()

    def index(self, row: int, column: int, parent: Index = _NOWHERE) -> QModelIndex:
        if not self.hasIndex(row, column, parent):
            return QModelIndex()
        # lines point to their heading, and headings to nothing
        above = self._headings[parent.row()] if parent.isValid() else None
        return self.createIndex(row, column, above)

    def parent(self, index: Index = _NOWHERE) -> QModelIndex:  # type: ignore[override]
        above = _heading_of(index)
        if above is None:
            return QModelIndex()
        return self.createIndex(self._headings.index(above), 0, None)

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        if not parent.isValid():
            return len(self._headings)
        if _heading_of(parent) or parent.column() > 0:
            return 0
        return len(self._headings[parent.row()].lines)

    def columnCount(self, parent: Index = _NOWHERE) -> int:
        return len(_COLUMNS)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return self.tr(_COLUMNS[section])
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        heading = _heading_of(index)
        if heading is None:
            return self._heading_data(index, role)
        line = heading.lines[index.row()]
        if role == LINE:
            return line
        if role == Qt.ItemDataRole.DisplayRole:
            return self._text(line, index.column())
        if role == Qt.ItemDataRole.DecorationRole and index.column() == ANSWER and line.answer:
            severity = RULES[line.question].severity if line.question in RULES else "missing"
            return flag_icon(_MARKS.get(line.answer.value, severity))
        if role == Qt.ItemDataRole.AccessibleTextRole and index.column() == PLACE:
            reply = self._text(line, ANSWER) or self.tr("not answered")
            return f"{self.place_of(line)}: {self._text(line, QUESTION)} {reply}"
        return None

    def _heading_data(self, index: Index, role: int) -> Any:
        if index.column() == 0 and role == Qt.ItemDataRole.DisplayRole:
            return self._headings[index.row()].title
        if role == Qt.ItemDataRole.FontRole:
            font = QFont()
            font.setBold(True)
            return font
        return None

    def _text(self, line: Asked, column: int) -> str:
        if column == PLACE:
            return self.place_of(line)
        if column == ANSWER:
            return capital(line.answer.value) if line.answer else ""
        words = line.text
        if line.answer and line.answer.note:
            words += f"\n{self.tr('Note:')} {line.answer.note}"
        if not line.stands:
            words += f"\n{self.tr('This is no longer asked here.')}"
        return words

    def flags(self, index: Index) -> Qt.ItemFlag:
        if index.isValid() and _heading_of(index) is None:
            return Qt.ItemFlag.ItemIsEnabled
        return super().flags(index)


def _is_wanted(line: Asked, wanted: Wanted) -> bool:
    return wanted == "all" or (wanted == "answered") == (line.answer is not None)


def _topic(line: Asked) -> tuple[str, str]:
    topic = (
        RULES[line.question].topic if line.question in QUESTIONS else "no longer in the rulebook"
    )
    return topic, capital(topic)


def _same_order(old: list[Any], new: list[Any]) -> bool:
    """Whether what both lists hold stands in the same order in both."""
    there = set(new)
    known = set(old)
    return [one for one in old if one in there] == [one for one in new if one in known]
