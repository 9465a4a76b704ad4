"""The bar that finds pieces and runs on the drawing while somebody types."""

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QLineEdit, QToolButton, QWidget

from ampacre.sheets.find import Described, described, found
from ampacre_gui.document import Document
from ampacre_gui.guard import Guarded
from ampacre_gui.phrases import filled

__all__ = ["FindBar"]


class FindBar(Guarded, QFrame):
    """Lies above the drawing; says which of how many hits is shown, or that there is none."""

    shown = Signal(str)
    """Id of the hit that is to be selected and brought to the middle of the drawing."""
    left = Signal()

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._elements: tuple[Described, ...] = ()
        self._hits: tuple[str, ...] = ()
        self._at = 0
        self.setObjectName("findbar")
        self.line = QLineEdit()
        self.line.setPlaceholderText(self.tr("Name, kind, structure, rating or size"))
        self.line.setAccessibleName(self.tr("Find in the drawing"))
        self.line.setClearButtonEnabled(True)
        self.line.setMaximumWidth(360)
        self.line.textChanged.connect(self._find)
        self.line.installEventFilter(self)
        self.count = QLabel()
        self.count.setTextFormat(Qt.TextFormat.PlainText)
        self.before = _button("\u2191", self.tr("Previous (Shift+Enter)"))
        self.after = _button("\u2193", self.tr("Next (Enter)"))
        close = _button("\u2715", self.tr("Close (Escape)"))
        self.before.clicked.connect(lambda: self.step(-1))
        self.after.clicked.connect(lambda: self.step(1))
        close.clicked.connect(self.leave)
        label = QLabel(self.tr("Find"))
        label.setBuddy(self.line)
        box = QHBoxLayout(self)
        box.setContentsMargins(12, 5, 8, 5)
        box.setSpacing(8)
        box.addWidget(label)
        box.addWidget(self.line, 3)
        box.addWidget(self.before)
        box.addWidget(self.after)
        box.addWidget(self.count)
        box.addStretch(1)
        box.addWidget(close)
        document.changed.connect(lambda _: self._follow())
        self.hide()

    def come(self) -> None:
        """Show the bar with what was looked for last, ready to be written over."""
        if not self.isVisible():
            self._look()
            self.show()
        self.line.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.line.selectAll()

    def leave(self) -> None:
        """Go away; what was found stays selected."""
        self.hide()
        self.left.emit()

    def step(self, way: int) -> None:
        """Go to the next hit (1) or the one before (-1), from the last to the first."""
        if not self.isVisible():
            self._look()
        if not self._hits:
            self.come()
            return
        self._at = (self._at + way) % len(self._hits)
        self._say()
        self.shown.emit(self._hits[self._at])

    def _find(self) -> None:
        self._hits = found(self._elements, self.line.text())
        self._at = 0
        self._say()
        if self._hits:
            self.shown.emit(self._hits[0])

    def _follow(self) -> None:
        if self.isVisible():
            self._look()

    def _look(self) -> None:
        """Look anew at a drawing that may have changed; stay at the hit where it is one still."""
        at = self._hits[self._at] if self._hits else ""
        self._elements = described(self._document.study)
        self._hits = found(self._elements, self.line.text())
        self._at = self._hits.index(at) if at in self._hits else 0
        self._say()

    def _say(self) -> None:
        several = len(self._hits) > 1
        self.before.setEnabled(several)
        self.after.setEnabled(several)
        if self._hits:
            self.count.setText(filled(self.tr("%1 of %2"), self._at + 1, len(self._hits)))
        else:
            self.count.setText(self.tr("Nothing found") if self.line.text().strip() else "")

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() != QEvent.Type.KeyPress or not isinstance(event, QKeyEvent):
            return False
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            backwards = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
            self.step(-1 if backwards else 1)
        elif event.key() == Qt.Key.Key_Escape:
            self.leave()
        else:
            return False
        return True


def _button(sign: str, words: str) -> QToolButton:
    button = QToolButton()
    button.setText(sign)
    button.setAutoRaise(True)
    button.setToolTip(words)
    button.setAccessibleName(words)
    return button
