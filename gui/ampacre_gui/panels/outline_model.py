"""The network as a tree of lines: all that the drawing shows, for keyboards and screen readers."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from PySide6.QtCore import (
    QAbstractItemModel,
    QItemSelection,
    QItemSelectionRange,
    QMimeData,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
)

from ampacre.model.standing import work_of
from ampacre.model.words import kind_of
from ampacre.quantity import show
from ampacre.rules.review import SEVERITIES
from ampacre_gui.document import Document
from ampacre_gui.dragging import KIND, PIECE, data_of_piece, kind_in, piece_in
from ampacre_gui.flags import flag_icon, worst
from ampacre_gui.guard import Guarded
from ampacre_gui.icons import kind_icon
from ampacre_gui.intents import Intent, to_add, to_feed
from ampacre_gui.names import rating_words
from ampacre_gui.phrases import said
from ampacre_gui.stretches import stretches

__all__ = ["KEY", "OutlineModel"]

KEY = Qt.ItemDataRole.UserRole
_COLUMNS = ("Equipment", "Rating", "")
_NAME, _RATING, _FLAG = range(3)

Index = QModelIndex | QPersistentModelIndex
_NOWHERE = QModelIndex()
_OF_LINE = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemIsDropEnabled
_OF_NAME = _OF_LINE | Qt.ItemFlag.ItemIsEditable | Qt.ItemFlag.ItemIsDragEnabled


@dataclass(eq=False)
class _Node:
    """A line: a piece, or a heading for pieces that no energised tree holds."""

    key: str
    parent: "_Node | None" = None
    row: int = 0
    children: list["_Node"] = field(default_factory=list)

    def add(self, key: str) -> "_Node":
        child = _Node(key, self, len(self.children))
        self.children.append(child)
        return child


class OutlineModel(Guarded, QAbstractItemModel):
    """The energised trees from their sources down; then what is not supplied. Empty until `renew`."""

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._root = _Node("")
        self._nodes: dict[str, _Node] = {}
        self._found: dict[str, list[str]] = {}

    # keeping up with the document -------------------------------------------------------------

    def renew(self, altered: frozenset[str], *, shape: bool) -> None:
        """Follow the document; without a change of shape the lines stay and some say new things."""
        if shape:
            self.beginResetModel()
            self._plant()
            self.endResetModel()
            return
        before = self._found
        self._collect_findings()
        if "project" in altered:
            altered = frozenset(self._nodes)
        for key in altered & self._nodes.keys():
            self._tell(key, _NAME, _FLAG)
        for key in _unlike(before, self._found) & self._nodes.keys() - altered:
            # a rating that stays has no new width
            self._tell(key, _NAME, _NAME)
            self._tell(key, _FLAG, _FLAG)

    def _tell(self, key: str, first: int, last: int) -> None:
        node = self._nodes[key]
        ends = (self.createIndex(node.row, column, node) for column in (first, last))
        self.dataChanged.emit(*ends)

    def _plant(self) -> None:
        self._root = _Node("")
        self._nodes = {}
        study, project = self._document.study, self._document.project
        for island in study.islands:
            for key in island.order:
                feed = island.feed.get(key)
                above = self._nodes[feed.parent] if feed else self._root
                self._nodes[key] = above.add(key)
        left = [key for key in sorted(project.equipment) if key not in self._nodes]
        fed_by = {run.target: run.source for run in project.runs.values()}
        while left:
            ready = [key for key in left if fed_by.get(key) not in left or fed_by[key] == key]
            for key in ready or left[:1]:
                above = self._nodes.get(fed_by.get(key, ""), self._root)
                self._nodes[key] = above.add(key)
                left.remove(key)
        self._sort(self._root)
        self._collect_findings()

    def _sort(self, root: _Node) -> None:
        """Put the lines below a piece in the order of its spaces, then of names."""
        project = self._document.project
        spaces = {run.target: run.spaces for run in project.runs.values() if run.spaces}
        stack = [root]
        while stack:
            node = stack.pop()
            if node is not self._root:
                node.children.sort(
                    key=lambda child: (
                        spaces.get(child.key, (999,)), project.equipment[child.key].name,
                    )
                )  # fmt: skip
            for row, child in enumerate(node.children):
                child.row = row
            stack.extend(node.children)

    def _collect_findings(self) -> None:
        self._found = {}
        runs = self._document.project.runs
        for finding in self._document.review.standing:
            run = runs.get(finding.where)
            self._found.setdefault(run.target if run else finding.where, []).append(
                finding.severity
            )

    # what views ask ---------------------------------------------------------------------------

    def index_of(self, key: str) -> QModelIndex:
        """Give the line of a piece; of a run that of the piece it leads to."""
        node = self._node_of(key)
        return self.createIndex(node.row, 0, node) if node else QModelIndex()

    def _node_of(self, key: str) -> _Node | None:
        run = self._document.project.runs.get(key)
        return self._nodes.get(run.target if run else key)

    def selection_of(self, keys: Iterable[str]) -> QItemSelection:
        """Give the whole lines of pieces and runs, neighbours as one range.

        Qt compares every range of a selection with every other.
        """
        rows: dict[_Node, set[int]] = {}
        for key in keys:
            node = self._node_of(key)
            if node and node.parent:
                rows.setdefault(node.parent, set()).add(node.row)
        wanted = QItemSelection()
        for above, chosen in rows.items():
            for first, last in stretches(sorted(chosen)):
                start = self.createIndex(first, 0, above.children[first])
                end = self.createIndex(last, _FLAG, above.children[last])
                wanted.append(QItemSelectionRange(start, end))
        return wanted

    def keys_in(self, selection: QItemSelection) -> list[str]:
        """Give the pieces whose lines are selected, each once."""
        found: dict[str, None] = {}
        for chosen in selection.toList():
            lines = self._node(chosen.parent()).children[chosen.top() : chosen.bottom() + 1]
            found.update((line.key, None) for line in lines)
        return list(found)

    def _node(self, index: Index) -> _Node:
        return index.internalPointer() if index.isValid() else self._root

    def index(self, row: int, column: int, parent: Index = _NOWHERE) -> QModelIndex:
        # asked for every line; Qt's own test would ask back twice
        if not (0 <= row < self.rowCount(parent) and 0 <= column < len(_COLUMNS)):
            return QModelIndex()
        return self.createIndex(row, column, self._node(parent).children[row])

    def parent(self, index: Index = _NOWHERE) -> QModelIndex:  # type: ignore[override]
        above = self._node(index).parent if index.isValid() else None
        if above is None or above is self._root:
            return QModelIndex()
        return self.createIndex(above.row, 0, above)

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        return 0 if parent.column() > 0 else len(self._node(parent).children)

    def columnCount(self, parent: Index = _NOWHERE) -> int:
        return len(_COLUMNS)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return said(_COLUMNS[section])
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        key = self._node(index).key
        piece = self._document.project.equipment.get(key)
        if piece is None:
            return None
        column = index.column()
        if role == KEY:
            return key
        if role == Qt.ItemDataRole.DisplayRole:
            return self._text(key, column)
        if role == Qt.ItemDataRole.EditRole and column == _NAME:
            return piece.name
        if role == Qt.ItemDataRole.DecorationRole:
            return self._picture(key, column)
        if role == Qt.ItemDataRole.ToolTipRole:
            return self._in_words(key)
        if role == Qt.ItemDataRole.AccessibleTextRole and column == _NAME:
            return self._in_words(key)
        if role == Qt.ItemDataRole.TextAlignmentRole and column == _RATING:
            return Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        return None

    def _text(self, key: str, column: int) -> str:
        piece = self._document.project.equipment[key]
        if column == _NAME:
            return piece.name or said(kind_of(piece))
        if column == _RATING:
            return rating_words(piece, self._document.project.settings.units)
        return ""

    def _load(self, key: str) -> str:
        facts = self._document.study.found.equipment.get(key)
        demand = facts.demand if facts else None
        return show(round(demand.heavier_a), "a") if demand and demand.calculated_a else ""

    def _picture(self, key: str, column: int) -> Any:
        if column == _NAME:
            return kind_icon(kind_of(self._document.project.equipment[key]), 18)
        mark = worst(set(self._found.get(key, ()))) if column == _FLAG else ""
        return flag_icon(mark) if mark else None

    def _in_words(self, key: str) -> str:
        """Say a line as a whole: "Panel LP-1, 200 A, existing, fed from M1, one violation"."""
        project = self._document.project
        piece = project.equipment[key]
        kind = said(kind_of(piece))
        words = [
            f"{kind[:1].upper()}{kind[1:]} {piece.name}",
            self._text(key, _RATING),
            work_of(piece),
        ]
        node = self._nodes[key]
        if node.parent and node.parent is not self._root:
            words.append(f"fed from {project.equipment[node.parent.key].name}")
        if load := self._load(key):
            words.append(f"load {load}")
        for severity in SEVERITIES:
            count = self._found.get(key, []).count(severity)
            if count:
                several = count > 1 and severity in ("violation", "warning")
                word = "to ask" if severity == "ask" else severity
                words.append(f"{count} {word}{'s' if several else ''}")
        return ", ".join(word for word in words if word)

    # editing in place and dragging ------------------------------------------------------------

    def flags(self, index: Index) -> Qt.ItemFlag:
        if not index.isValid():
            return Qt.ItemFlag.NoItemFlags
        return _OF_NAME if index.column() == _NAME else _OF_LINE

    def mimeTypes(self) -> list[str]:
        return [PIECE, KIND]

    def mimeData(self, indexes: Any) -> QMimeData:
        return data_of_piece(self._node(indexes[0]).key)

    def supportedDropActions(self) -> Qt.DropAction:
        return Qt.DropAction.CopyAction | Qt.DropAction.MoveAction

    def intent_of(self, data: QMimeData, parent: Index) -> Intent:
        """Say what dropping on a line does: a kind from the drawer, or a piece from elsewhere."""
        study = self._document.study
        key = self._node(parent).key
        dragged = kind_in(data)
        if dragged:
            kind, existing = dragged
            return to_add(study, kind, key or None, existing=existing)
        piece = piece_in(data)
        if key and piece in self._document.project.equipment:
            return to_feed(study, key, piece)
        return Intent(self.tr("Drop on the piece that shall feed it"))


def _unlike(old: dict[str, list[str]], new: dict[str, list[str]]) -> set[str]:
    return {key for key in old.keys() | new.keys() if old.get(key) != new.get(key)}
