"""The list of questions to answer on site, with a key for each answer."""

from PySide6.QtCore import QEvent, QModelIndex, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QFrame, QTreeView

from ampacre.rules.questions import Reply
from ampacre_gui.guard import Guarded
from ampacre_gui.panels.checklist_model import ANSWER, PLACE, QUESTION, ChecklistModel
from ampacre_gui.panels.wrapping import share_width, wrap_column

__all__ = ["ChecklistView"]

_WIDTHS = {PLACE: 132, ANSWER: 96}
_REPLIES: dict[int, Reply] = {
    Qt.Key.Key_Y: "yes",
    Qt.Key.Key_N: "no",
    Qt.Key.Key_U: "unknown",
}
_TAKE_BACK = (Qt.Key.Key_Delete, Qt.Key.Key_Backspace)


class ChecklistView(Guarded, QTreeView):
    """Takes answers by single keys while it has the focus."""

    replied = Signal(str)
    taken_back = Signal()
    note_wanted = Signal()
    moved = Signal()

    def __init__(self, model: ChecklistModel) -> None:
        super().__init__()
        self.setModel(model)
        self.setIndentation(0)
        self.setIconSize(QSize(16, 16))
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHeaderHidden(True)
        self.setAccessibleName(self.tr("Questions to answer on site"))
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setExpandsOnDoubleClick(False)
        wrap_column(self, QUESTION, _WIDTHS)
        model.modelReset.connect(lambda: self._span(QModelIndex(), 0, model.rowCount() - 1))
        model.rowsInserted.connect(self._span)
        self.clicked.connect(self._fold)
        self.doubleClicked.connect(lambda _: self.note_wanted.emit())

    def _span(self, above: QModelIndex, first: int, last: int) -> None:
        if not above.isValid():
            for row in range(first, last + 1):
                self.setFirstColumnSpanned(row, above, True)
                self.expand(self.model().index(row, 0))

    def _fold(self, index: QModelIndex) -> None:
        if not index.parent().isValid():
            self.setExpanded(index, not self.isExpanded(index))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        share_width(self, _WIDTHS)

    def event(self, event: QEvent) -> bool:
        # Delete takes an answer back here, and must not reach the drawing
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            plain = event.modifiers() == Qt.KeyboardModifier.NoModifier
            if plain and (event.key() in _REPLIES or event.key() in _TAKE_BACK):
                event.accept()
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        plain = event.modifiers() == Qt.KeyboardModifier.NoModifier
        if plain and event.key() in _REPLIES:
            self.replied.emit(_REPLIES[event.key()])
        elif plain and event.key() in _TAKE_BACK:
            self.taken_back.emit()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.note_wanted.emit()
        else:
            before = self.currentIndex()
            super().keyPressEvent(event)
            if self.currentIndex() != before:
                self.moved.emit()
