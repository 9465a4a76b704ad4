"""A bar over what is worked on: what was refused or done, what wants attention, a fault."""

from collections.abc import Callable

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QToolButton, QWidget

from ampacre_gui.flags import flag_icon

__all__ = ["InfoBar"]

_PASSING_MS = 10_000


class InfoBar(QFrame):
    """Says one thing at a time, until it is closed or the next is said; what passes goes by itself."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("infobar")
        self._mark, self._text = QLabel(), QLabel()
        self._text.setWordWrap(True)
        self._text.setTextFormat(Qt.TextFormat.PlainText)
        self._text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._actions = QHBoxLayout()
        self._passing = QTimer(self, singleShot=True, interval=_PASSING_MS)
        self._passing.timeout.connect(self.hide)
        self._until_saved = False
        close = QToolButton()
        close.setText("\u2715")
        close.setAutoRaise(True)
        close.setToolTip(self.tr("Close this message"))
        close.setAccessibleName(close.toolTip())
        close.clicked.connect(self.hide)
        box = QHBoxLayout(self)
        box.setContentsMargins(12, 6, 8, 6)
        box.setSpacing(10)
        box.addWidget(self._mark, 0, Qt.AlignmentFlag.AlignTop)
        box.addWidget(self._text, 1)
        box.addLayout(self._actions)
        box.addWidget(close, 0, Qt.AlignmentFlag.AlignTop)
        self.hide()

    @property
    def text(self) -> str:
        return self._text.text()

    def say_in_passing(self, text: str) -> None:
        """Show a message that goes by itself, or with the next change."""
        self.say(text)
        self._passing.start()

    def pass_on(self) -> None:
        """Take a passing message away."""
        if self._passing.isActive():
            self._passing.stop()
            self.hide()

    def say_until_saved(self, text: str) -> None:
        """Show a message that is no longer true once the project is saved."""
        self.say(text)
        self._until_saved = True

    def saved(self) -> None:
        """Take away what a save has put right."""
        if self._until_saved:
            self.hide()

    def say(
        self,
        text: str,
        actions: dict[str, Callable[[], None]] | None = None,
        *,
        fault: bool = False,
        done: bool = False,
    ) -> None:
        """Show a message with buttons that each do one thing and close the bar.

        `done` tells of what was done as asked, `fault` of a fault of the program; anything else
        wants attention.
        """
        self._passing.stop()
        self._until_saved = False
        mark = "violation" if fault else "fine" if done else "warning"
        self._mark.setPixmap(flag_icon(mark, 18).pixmap(18, 18))
        self._text.setText(text)
        while (item := self._actions.takeAt(0)) is not None:
            widget = item.widget()
            if widget:
                widget.hide()
                widget.deleteLater()
        for label, act in (actions or {}).items():
            button = QPushButton(label)
            button.clicked.connect(self.hide)
            button.clicked.connect(act)
            self._actions.addWidget(button)
        self.setProperty("mark", mark)
        self.style().unpolish(self)
        self.style().polish(self)
        self.show()
