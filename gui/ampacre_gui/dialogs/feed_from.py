"""Chooses the piece that shall feed another, without dragging."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QApplication,
    QDialog,
    QDialogButtonBox,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QVBoxLayout,
    QWidget,
)

from ampacre.model.words import kind_of
from ampacre_gui.document import Document
from ampacre_gui.guard import Guarded
from ampacre_gui.icons import kind_icon
from ampacre_gui.intents import Intent, can_feed, to_feed
from ampacre_gui.phrases import filled, said

__all__ = ["FeedFromDialog"]

_KEY = Qt.ItemDataRole.UserRole
_MOVES = (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown)


class _Search(Guarded, QLineEdit):
    """What is typed; keys that move go to the list."""

    def __init__(self, pieces: QListWidget) -> None:
        super().__init__()
        self._pieces = pieces

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in _MOVES:
            QApplication.sendEvent(self._pieces, event)
        else:
            super().keyPressEvent(event)


class FeedFromDialog(QDialog):
    """Lists all pieces that can feed; says below what choosing one would do, or why it can't."""

    def __init__(self, document: Document, target: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._target = target
        name = document.project.equipment[target].name
        self.setWindowTitle(filled(self.tr("Feed %1 From"), name))
        self.pieces = QListWidget()
        self._search = _Search(self.pieces)
        self._search.setPlaceholderText(self.tr("Find a piece"))
        self._search.setAccessibleName(self._search.placeholderText())
        self._search.textChanged.connect(self._filter)
        self.pieces.setAccessibleName(self.tr("Pieces that can feed"))
        pieces = sorted(document.project.equipment.values(), key=lambda piece: piece.name)
        for piece in pieces:
            if can_feed(piece) and piece.id != target:
                item = QListWidgetItem(kind_icon(kind_of(piece), 22), piece.name, self.pieces)
                item.setData(_KEY, piece.id)
                item.setToolTip(said(kind_of(piece)))
        self._words = QLabel()
        self._words.setWordWrap(True)
        self._words.setMinimumHeight(self.fontMetrics().lineSpacing() * 2)
        buttons = QDialogButtonBox()
        self._feed = buttons.addButton(
            self.tr("Feed from Here"), QDialogButtonBox.ButtonRole.AcceptRole
        )
        buttons.addButton(QDialogButtonBox.StandardButton.Cancel)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        self.pieces.currentItemChanged.connect(lambda *_: self._look())
        self.pieces.itemActivated.connect(lambda _: self._feed.click())
        box = QVBoxLayout(self)
        box.setContentsMargins(16, 14, 16, 14)
        box.setSpacing(8)
        for widget in (self._search, self.pieces, self._words, buttons):
            box.addWidget(widget)
        self.resize(400, 420)
        self._look()

    def _filter(self, text: str) -> None:
        """Show what fits, and choose the first of it."""
        items = [self.pieces.item(row) for row in range(self.pieces.count())]
        for item in items:
            item.setHidden(text.casefold() not in item.text().casefold())
        first = next((item for item in items if not item.isHidden()), None)
        self.pieces.setCurrentItem(first)  # type: ignore[arg-type]

    def intent(self) -> Intent:
        """What choosing the current line means."""
        item = self.pieces.currentItem()
        if item is None:
            return Intent(self.tr("Choose the piece that shall feed it"))
        return to_feed(self._document.study, item.data(_KEY), self._target)

    def _look(self) -> None:
        intent = self.intent()
        self._words.setText(intent.words)
        self._feed.setEnabled(intent.edit is not None)
