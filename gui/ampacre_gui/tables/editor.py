"""Typing in a cell: the line, its list of choices, and where the current cell goes afterwards."""

from PySide6.QtCore import QEvent, QModelIndex, QObject, QPersistentModelIndex, QRect, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPen
from PySide6.QtWidgets import (
    QCompleter,
    QLineEdit,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from ampacre_gui.guard import Guarded
from ampacre_gui.look import look
from ampacre_gui.selection import Selection
from ampacre_gui.tables.model import KEY, TableModel

__all__ = ["CellDelegate", "CellEditor"]

Index = QModelIndex | QPersistentModelIndex
_WIDTH = 120
_STEPS = {
    Qt.Key.Key_Return: (1, 0),
    Qt.Key.Key_Enter: (1, 0),
    Qt.Key.Key_Tab: (0, 1),
    Qt.Key.Key_Backtab: (0, -1),
}


class CellEditor(Guarded, QLineEdit):
    """A line in a cell; the down key opens the list of what a field with choices takes."""

    finished = Signal()

    def __init__(self, choices: list[str], parent: QWidget) -> None:
        super().__init__(parent)
        self.before = ""
        self.done = False
        self.setObjectName("cell")
        if choices:
            completer = QCompleter(choices, self)
            completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
            completer.setMaxVisibleItems(12)
            self.setCompleter(completer)
            completer.activated.connect(lambda _: self.finished.emit())
        # reached with the list open, which takes the keys before anything else
        self.returnPressed.connect(self.finished)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        completer = self.completer()
        if completer and event.key() == Qt.Key.Key_Down:
            completer.setCompletionPrefix("")
            completer.complete()
            return
        super().keyPressEvent(event)


class CellDelegate(Guarded, QStyledItemDelegate):
    """Opens editors, draws what was not taken, and says where to go after an entry."""

    stepped = Signal(int, int)
    """Rows and columns to move by, after an entry."""

    def __init__(self, model: TableModel, selected: Selection, parent: QWidget) -> None:
        super().__init__(parent)
        self._model = model
        self._selected = selected

    def createEditor(self, parent: QWidget, _option: QStyleOptionViewItem, index: Index) -> QWidget:
        column = self._model.column(index)
        editor = CellEditor(self._model.sheet.choices(column), parent)
        editor.setAccessibleName(self._model.head(column))
        cell = self._model.cell(index)
        editor.setPlaceholderText(cell.text if not cell.entry else "")
        editor.finished.connect(lambda: self._finish(editor, Qt.Key.Key_Return))
        return editor

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        # a change elsewhere must not take away what is being typed
        if isinstance(editor, CellEditor) and editor.text() == editor.before:
            editor.before = str(index.data(Qt.ItemDataRole.EditRole))
            editor.setText(editor.before)

    def setModelData(self, editor: QWidget, model: QObject, index: Index) -> None:
        if isinstance(editor, CellEditor) and editor.text() != editor.before:
            editor.before = editor.text()
            self._model.setData(index, editor.text())

    def updateEditorGeometry(
        self, editor: QWidget, option: QStyleOptionViewItem, _index: Index
    ) -> None:
        rect: QRect = option.rect
        rect.setWidth(max(rect.width(), _WIDTH))
        editor.setGeometry(rect)

    def eventFilter(self, editor: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.KeyPress and isinstance(editor, CellEditor):
            assert isinstance(event, QKeyEvent)
            key = Qt.Key(event.key())
            if key in _STEPS:
                self._finish(editor, key, back=bool(event.modifiers() & _SHIFT))
                return True
        return super().eventFilter(editor, event)

    def _finish(self, editor: CellEditor, key: Qt.Key, *, back: bool = False) -> None:
        # a choice from the list by the enter key finishes twice
        if editor.done:
            return
        editor.done = True
        rows, columns = _STEPS[key]
        self.commitData.emit(editor)
        self.closeEditor.emit(editor, QStyledItemDelegate.EndEditHint.NoHint)
        self.stepped.emit(-rows if back else rows, columns)

    def initStyleOption(self, option: QStyleOptionViewItem, index: Index) -> None:
        super().initStyleOption(option, index)
        if index.data(KEY) in self._selected:
            # a copy: the look's own colour is everybody's
            tint = QColor(look().select)
            tint.setAlphaF(0.09)
            option.backgroundBrush = tint  # type: ignore[assignment]

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        super().paint(painter, option, index)
        if self._model.reason(index):
            painter.save()
            painter.setPen(QPen(look().mark["violation"], 2))
            painter.drawRect(option.rect.adjusted(1, 1, -2, -2))
            painter.restore()


_SHIFT = Qt.KeyboardModifier.ShiftModifier
