"""The history panel: every change in words, and the way back or forward to any of them."""

from typing import Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QListView, QWidget

from ampacre_gui.document import Document
from ampacre_gui.guard import Guarded
from ampacre_gui.look import look
from ampacre_gui.phrases import filled

__all__ = ["HistoryModel", "HistoryPanel"]

Index = QModelIndex | QPersistentModelIndex
_NOWHERE = QModelIndex()


class HistoryModel(Guarded, QAbstractListModel):
    """Line 0 is the project before any change; line n is how it was after n changes."""

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._labels: tuple[str, ...] = ()
        self._renew()
        document.history_changed.connect(self._renew)

    def _renew(self) -> None:
        self.beginResetModel()
        self._labels = tuple(edit.label for edit in self._document.history.edits)
        self.endResetModel()

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        return 0 if parent.isValid() else len(self._labels) + 1

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        row, history = index.row(), self._document.history
        undone = row > history.done
        if role == Qt.ItemDataRole.DisplayRole:
            return self._words(row)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            state = self.tr(", undone") if undone else ""
            return self._words(row) + (self.tr(", now") if row == history.done else state)
        if role == Qt.ItemDataRole.FontRole:
            font = QFont()
            font.setBold(row == history.done)
            font.setItalic(undone)
            return font
        if role == Qt.ItemDataRole.ForegroundRole and undone:
            return look().quiet
        return None

    def _words(self, row: int) -> str:
        words = self._labels[row - 1] if row else self.tr("Before any change")
        if self._document.path and row == self._document.history.saved:
            return filled(self.tr("%1 (saved)"), words)
        return words


class HistoryPanel(QListView):
    """A click or Enter on a line takes the project to how it was then."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._model = HistoryModel(document, self)
        self.setModel(self._model)
        self.setObjectName("history")
        self.setAccessibleName(self.tr("History of changes"))
        self.setUniformItemSizes(True)
        self.setFrameShape(QListView.Shape.NoFrame)
        self.clicked.connect(self._go)
        self.activated.connect(self._go)
        self._model.modelReset.connect(self._show_now)
        self._show_now()

    def _go(self, index: QModelIndex) -> None:
        self._document.go_to(index.row())

    def _show_now(self) -> None:
        now = self._model.index(self._document.history.done)
        self.setCurrentIndex(now)
        self.scrollTo(now)
