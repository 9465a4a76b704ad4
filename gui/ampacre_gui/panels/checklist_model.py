"""The questions that only the eye can answer, by the places or topics that they stand under."""

from collections.abc import Iterable
from typing import Any, Literal, NamedTuple

from PySide6.QtCore import QModelIndex, QObject, Qt

from ampacre.model.project import Project
from ampacre.rules.questions import QUESTIONS, Asked
from ampacre.rules.rule import RULES
from ampacre_gui.flags import flag_icon
from ampacre_gui.names import element_name
from ampacre_gui.panels.fields import capital
from ampacre_gui.panels.headed_model import NOWHERE, HeadedModel, Heading
from ampacre_gui.phrases import said

__all__ = ["ANSWER", "LINE", "PLACE", "QUESTION", "ChecklistModel", "Grouping", "Wanted"]

LINE = Qt.ItemDataRole.UserRole
"""The role that gives the Asked of a line, None for a heading."""
PLACE, QUESTION, ANSWER = range(3)
_COLUMNS = ("Where", "Question", "Answer")
_MARKS = {"yes": "fine", "unknown": "missing"}

Wanted = Literal["open", "answered", "all"]
Grouping = Literal["place", "topic"]


class _Placed(NamedTuple):
    """A line with the name of the place that it is about."""

    asked: Asked
    place: str


def _key(line: _Placed) -> tuple[str, str]:
    return line.asked.question, line.asked.where


class ChecklistModel(HeadedModel[_Placed]):
    """Follows a checklist."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(len(_COLUMNS), _key, parent)
        self._project = Project()

    def show_lines(
        self, project: Project, lines: Iterable[Asked], wanted: Wanted, grouping: Grouping
    ) -> None:
        """Show the lines that are wanted, under a heading for each place or each topic."""
        self._project = project
        self.take(self._grouped((line for line in lines if _is_wanted(line, wanted)), grouping))

    def _grouped(self, lines: Iterable[Asked], grouping: Grouping) -> list[Heading[_Placed]]:
        found: dict[str, Heading[_Placed]] = {}
        for line in lines:
            key, title = self._place(line) if grouping == "place" else _topic(line)
            placed = _Placed(line, self.place_of(line))
            found.setdefault(key, Heading(key, title)).lines.append(placed)
        headings = list(found.values())
        if grouping == "place":
            headings.sort(
                key=lambda heading: (heading.key != "project", heading.title, heading.key)
            )
            for heading in headings:
                heading.lines.sort(key=lambda line: line.place)
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
        return [_key(line) for line in self.lines()]

    def index_of(self, question: str, where: str) -> QModelIndex:
        """Give the line of a question about a place."""
        return next(self.found(lambda line: _key(line) == (question, where)), NOWHERE)

    def first_about(self, where: str) -> QModelIndex:
        """Give the first line about a place."""
        return next(self.found(lambda line: line.asked.where == where), NOWHERE)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return said(_COLUMNS[section])
        return None

    def line_data(self, line: _Placed, column: int, role: int) -> Any:
        asked = line.asked
        if role == LINE:
            return asked
        if role == Qt.ItemDataRole.DisplayRole:
            return self._text(line, column)
        if role == Qt.ItemDataRole.DecorationRole and column == ANSWER and asked.answer:
            severity = RULES[asked.question].severity if asked.question in RULES else "missing"
            return flag_icon(_MARKS.get(asked.answer.value, severity))
        if role == Qt.ItemDataRole.AccessibleTextRole and column == PLACE:
            reply = self._text(line, ANSWER) or self.tr("not answered")
            return f"{line.place}: {self._text(line, QUESTION)} {reply}"
        return None

    def _text(self, line: _Placed, column: int) -> str:
        asked = line.asked
        if column == PLACE:
            return line.place
        if column == ANSWER:
            return capital(asked.answer.value) if asked.answer else ""
        words = asked.text
        if asked.answer and asked.answer.note:
            words += f"\n{self.tr('Note:')} {asked.answer.note}"
        if not asked.stands:
            words += f"\n{self.tr('This is no longer asked here.')}"
        return words


def _is_wanted(line: Asked, wanted: Wanted) -> bool:
    return wanted == "all" or (wanted == "answered") == (line.answer is not None)


def _topic(line: Asked) -> tuple[str, str]:
    topic = (
        RULES[line.question].topic if line.question in QUESTIONS else "no longer in the rulebook"
    )
    return topic, capital(topic)
