"""The outline panel: the network as a tree, in which everything can be done that the canvas can."""

from PySide6.QtCore import (
    QItemSelectionModel,
    QModelIndex,
    QPoint,
    Qt,
    QTimer,
    Signal,
)
from PySide6.QtGui import QDragMoveEvent, QDropEvent, QFont, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTreeView, QWidget

from ampacre.model.edits import alter
from ampacre.quantity import NotUnderstood
from ampacre_gui.document import Document, Published
from ampacre_gui.guard import Guarded
from ampacre_gui.intents import Intent
from ampacre_gui.panels.entries import read_name, sentence
from ampacre_gui.panels.outline_model import KEY, OutlineModel
from ampacre_gui.selection import Selection

__all__ = ["Outline"]

_ROOM_FOR_RATINGS = 240
"""In panels narrower than this names need the width that ratings would take."""


class Outline(Guarded, QTreeView):
    """Follows the document one frame after the drawing, so that typing never waits for it.

    While it cannot be seen it does not follow at all.
    """

    menu_wanted = Signal(QPoint)
    details_wanted = Signal()
    intent = Signal(object)
    """Something was dropped on a line; the window carries the Intent out."""
    hint = Signal(str)

    def __init__(
        self, document: Document, selection: Selection, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._model = OutlineModel(document, self)
        self._folded: set[str] = set()
        self._seen, self._stale, self._reshape = False, True, True
        self._altered: frozenset[str] = frozenset()
        self._own = False
        self.setModel(self._model)
        self.setObjectName("outline")
        self.setAccessibleName(self.tr("Outline of the drawing"))
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.EditKeyPressed)
        self.setDragDropMode(QAbstractItemView.DragDropMode.DragDrop)
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self.setUniformRowHeights(True)
        self.setIndentation(11)
        font = QFont(self.font())
        font.setPointSizeF(font.pointSizeF() * 0.94)
        self.setFont(font)
        self.setFrameShape(QTreeView.Shape.NoFrame)
        self.setExpandsOnDoubleClick(False)
        self._arrange_columns()
        self._late = QTimer(self, singleShot=True, interval=0)
        self._late.timeout.connect(self._catch_up)
        document.changed.connect(self._follow)
        selection.changed.connect(self._show_selection)
        selection.reveal.connect(self._reveal)
        self.selectionModel().selectionChanged.connect(self._take_selection)
        self.customContextMenuRequested.connect(
            lambda at: self.menu_wanted.emit(self.viewport().mapToGlobal(at))
        )
        self.doubleClicked.connect(lambda _: self.details_wanted.emit())
        self.collapsed.connect(lambda index: self._folded.add(index.data(KEY)))
        self.expanded.connect(lambda index: self._folded.discard(index.data(KEY)))

    def _arrange_columns(self) -> None:
        header = self.header()
        header.setStretchLastSection(False)
        header.setMinimumSectionSize(22)
        # widths are taken from the lines in view, not from thousands
        header.setResizeContentsPrecision(0)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(2, QHeaderView.ResizeMode.Fixed)
        header.resizeSection(2, 24)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        # names go before ratings
        self.setColumnHidden(1, event.size().width() < _ROOM_FOR_RATINGS)

    def _follow(self, news: Published) -> None:
        self._altered |= news.altered
        self._reshape |= news.topology or bool(news.added or news.removed)
        self._stale = True
        self._late.start()

    def watch(self, seen: bool) -> None:
        """Take notice of whether anybody can see the outline; behind another tab it costs nothing."""
        self._seen = seen
        if self._stale:
            self._catch_up()

    def _catch_up(self) -> None:
        if not self._seen:
            return
        folded = set(self._folded)
        self._model.renew(self._altered, shape=self._reshape)
        if self._reshape:
            # thousands of lines would each be told
            self.blockSignals(True)
            self.expandAll()
            self.blockSignals(False)
            for key in folded:
                self.collapse(self._model.index_of(key))
            self._folded = folded
        self._stale, self._reshape, self._altered = False, False, frozenset()
        self._show_selection()

    def _show_selection(self) -> None:
        wanted = self._model.selection_of(self._selection.ids)
        current = self._selection.current
        flags = QItemSelectionModel.SelectionFlag
        self._own = True
        self.selectionModel().select(wanted, flags.ClearAndSelect)
        if current:
            index = self._model.index_of(current)
            self.selectionModel().setCurrentIndex(index, flags.NoUpdate)
            if index.isValid():
                self.scrollTo(index)
        self._own = False

    def _take_selection(self) -> None:
        if self._own:
            return
        current = self.currentIndex().data(KEY)
        keys = self._model.keys_in(self.selectionModel().selection())
        keys.sort(key=lambda key: key == current)
        self._selection.set(keys)
        if current in keys:
            self._selection.reveal.emit(current)

    def _reveal(self, key: str) -> None:
        self.scrollTo(self._model.index_of(key))

    def edit_name(self) -> None:
        """Let the name of the current line be typed over."""
        index = self.currentIndex().siblingAtColumn(0)
        if index.isValid():
            self.edit(index)

    def commitData(self, editor: QWidget) -> None:
        """Take a name that was typed over the line."""
        key = self.currentIndex().data(KEY)
        name = editor.property("text")
        if not key or name is None:
            return
        try:
            edit = alter(self._document.project, "equipment", key, name=read_name(name))
        except NotUnderstood as error:
            self._document.trouble.emit(sentence(str(error)))
        else:
            self._document.do(edit)

    def _line_under(self, event: QDropEvent) -> QModelIndex:
        return self.indexAt(event.position().toPoint())

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        super().dragMoveEvent(event)
        intent: Intent = self._model.intent_of(event.mimeData(), self._line_under(event))
        self.hint.emit(intent.words)
        if intent.edit is None:
            event.ignore()
        else:
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        self.hint.emit("")
        self.intent.emit(self._model.intent_of(event.mimeData(), self._line_under(event)))
        event.setDropAction(Qt.DropAction.CopyAction)
        event.accept()
        self.setState(QAbstractItemView.State.NoState)
