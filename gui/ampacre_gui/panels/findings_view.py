"""The list of findings: a click or Enter goes there, a click on a heading folds it."""

from PySide6.QtCore import QEvent, QModelIndex, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QFrame, QTreeView

from ampacre_gui.guard import Guarded
from ampacre_gui.panels.findings_model import MESSAGE, WHERE, FindingsModel, Told
from ampacre_gui.panels.wrapping import share_width, wrap_column

__all__ = ["FindingsView"]

_WIDTHS = {WHERE: 132}
_MEASURED = 400
"""A view that scrolls by the pixel asks for the height of so many lines whenever one comes."""


class FindingsView(Guarded, QTreeView):
    """Folds the headings that were folded by hand, in whatever order they come and go."""

    go = Signal()
    copy_wanted = Signal()

    def __init__(self, model: FindingsModel) -> None:
        super().__init__()
        self._model = model
        self._folded = {"accepted"}
        self._all_open = False
        self.setModel(model)
        self.setHeaderHidden(True)
        self.setIndentation(0)
        self.setIconSize(QSize(16, 16))
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setAccessibleName(self.tr("Findings"))
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        wrap_column(self, MESSAGE, _WIDTHS)
        model.modelReset.connect(lambda: self._unfold(QModelIndex(), 0, model.rowCount() - 1))
        model.rowsInserted.connect(self._unfold)
        self.clicked.connect(self._take_click)
        self.expanded.connect(lambda index: self._fold(index, away=False))
        self.collapsed.connect(lambda index: self._fold(index, away=True))

    def suit(self, lines: int) -> None:
        """Scroll by the pixel, or by the line where there are so many that to measure all is slow."""
        mode = QAbstractItemView.ScrollMode
        wanted = mode.ScrollPerPixel if lines <= _MEASURED else mode.ScrollPerItem
        if wanted != self.verticalScrollMode():
            self.setVerticalScrollMode(wanted)

    def open_all(self, on: bool) -> None:
        """Show the lines of all headings, as long as something is looked for among them."""
        if on != self._all_open:
            self._all_open = on
            self._unfold(QModelIndex(), 0, self._model.rowCount() - 1)

    def unfolded(self) -> list[Told]:
        """Give the lines that are not folded away, from the top down."""
        return [
            line
            for row, heading in enumerate(self._model.headings)
            if self.isExpanded(self._model.index(row, 0))
            for line in heading.lines
        ]

    def _unfold(self, above: QModelIndex, first: int, last: int) -> None:
        if above.isValid():
            return
        for row in range(first, last + 1):
            self.setFirstColumnSpanned(row, above, True)
        # while a layout is due anyway, opening a heading does not lay out all lines by itself
        self.scheduleDelayedItemsLayout()
        self.blockSignals(True)
        for row in range(first, last + 1):
            folded = self._model.headings[row].key in self._folded and not self._all_open
            self.setExpanded(self._model.index(row, 0), not folded)
            self._model.fold(row, away=folded)
        self.blockSignals(False)

    def _fold(self, index: QModelIndex, *, away: bool) -> None:
        key = self._model.headings[index.row()].key
        (self._folded.add if away else self._folded.discard)(key)
        self._model.fold(index.row(), away=away)

    def _take_click(self, index: QModelIndex) -> None:
        if index.parent().isValid():
            self.go.emit()
        else:
            self.setExpanded(index, not self.isExpanded(index))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        share_width(self, _WIDTHS)

    def event(self, event: QEvent) -> bool:
        # what is copied here is the finding, and not what is selected on the drawing
        pressed = event if isinstance(event, QKeyEvent) else None
        override = event.type() == QEvent.Type.ShortcutOverride
        if override and pressed and pressed.matches(QKeySequence.StandardKey.Copy):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.go.emit()
        elif event.matches(QKeySequence.StandardKey.Copy):
            self.copy_wanted.emit()
        else:
            super().keyPressEvent(event)
