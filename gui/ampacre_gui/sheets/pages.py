"""The sheet shown, the buttons that page and zoom, and the strip that says it is out of date."""

from collections.abc import Callable

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from ampacre_gui.flags import flag_icon
from ampacre_gui.icons import command_icon
from ampacre_gui.sheets.proof import Proof

__all__ = ["Pages"]

_MARK_PX = 18


class Pages(QWidget):
    step_wanted = Signal(int)
    """How many sheets on, or back."""
    update_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.proof = Proof()
        self._strip = QFrame()
        self._strip.setObjectName("infobar")
        self._mark, self._words = QLabel(), QLabel()
        self._words.setWordWrap(True)
        self.update_button = QPushButton(self.tr("&Update"))
        self.update_button.setToolTip(self.tr("Draw the sheets of the project as it is now (F5)"))
        self.update_button.clicked.connect(self.update_wanted)
        strip = QHBoxLayout(self._strip)
        strip.setContentsMargins(12, 6, 8, 6)
        strip.setSpacing(10)
        strip.addWidget(self._mark)
        strip.addWidget(self._words, 1)
        strip.addWidget(self.update_button)
        self._place, self._zoom = QLabel(), QLabel()
        self._icons: dict[QToolButton, str] = {}
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(4)
        box.addWidget(self._strip)
        box.addWidget(self.proof, 1)
        box.addLayout(self._line())
        self.proof.zoom_changed.connect(lambda pct: self._zoom.setText(f"{pct:.0f} %"))
        self.draw_icons()
        self.warn("")

    def _line(self) -> QHBoxLayout:
        line = QHBoxLayout()
        line.addWidget(
            self._tool(
                self.tr("Sheet before (Page Up)"), lambda: self.step_wanted.emit(-1), "\u2039"
            )
        )
        line.addWidget(self._place)
        line.addWidget(
            self._tool(
                self.tr("Next sheet (Page Down)"), lambda: self.step_wanted.emit(1), "\u203a"
            )
        )
        line.addStretch(1)
        line.addWidget(self._zoom)
        for icon, words, act in (
            ("zoom-out", self.tr("Zoom out"), self.proof.zoom_out),
            ("zoom-in", self.tr("Zoom in"), self.proof.zoom_in),
            ("fit", self.tr("Whole sheet"), self.proof.fit),
        ):
            button = self._tool(words, act)
            self._icons[button] = icon
            line.addWidget(button)
        return line

    def _tool(self, words: str, act: Callable[[], object], text: str = "") -> QToolButton:
        button = QToolButton()
        button.setText(text)
        button.setAutoRaise(True)
        button.setToolTip(words)
        button.setAccessibleName(words)
        button.setMinimumSize(QSize(26, 26))
        button.clicked.connect(lambda _=False: act())
        return button

    def draw_icons(self) -> None:
        for button, icon in self._icons.items():
            button.setIcon(command_icon(icon))
        self._mark.setPixmap(flag_icon("warning", _MARK_PX).pixmap(_MARK_PX, _MARK_PX))
        self.proof.follow_look()

    def say_place(self, words: str) -> None:
        """Say which of the sheets is shown."""
        self._place.setText(words)

    def warn(self, why: str) -> None:
        """Say why the sheet is out of date, and offer to update it; "" where it is not."""
        self._words.setText(why)
        self._strip.setVisible(bool(why))
