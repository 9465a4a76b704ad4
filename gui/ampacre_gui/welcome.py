"""What an empty drawing says: one sentence, and two ways to begin."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

__all__ = ["Welcome"]


class Welcome(QFrame):
    """Lies over the canvas until the first piece is there; drops go through to the canvas."""

    template_wanted = Signal()
    open_wanted = Signal()
    sample_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("welcome")
        title = QLabel(self.tr("Draw the supply from the utility down"))
        font = QFont(self.font())
        font.setPointSizeF(font.pointSizeF() * 1.6)
        title.setFont(font)
        words = QLabel(
            self.tr(
                "Drag a utility source from the drawer onto this sheet, then drop what it feeds onto it."
            )
        )
        words.setObjectName("quiet")
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        for text, signal in (
            (self.tr("Start from a template\u2026"), self.template_wanted),
            (self.tr("Open a project\u2026"), self.open_wanted),
            (self.tr("Look at the sample"), self.sample_wanted),
        ):
            button = QPushButton(text)
            button.clicked.connect(signal)
            buttons.addWidget(button)
        buttons.addStretch(1)
        box = QVBoxLayout(self)
        box.setSpacing(12)
        for label in (title, words):
            label.setAlignment(Qt.AlignmentFlag.AlignCenter)
            label.setWordWrap(True)
            box.addWidget(label)
        box.addLayout(buttons)

    def centre(self) -> None:
        """Take the middle of the canvas."""
        parent = self.parentWidget()
        assert parent is not None
        width = min(parent.width() - 40, 520)
        height = (
            self.heightForWidth(width) if self.hasHeightForWidth() else self.sizeHint().height()
        )
        self.setGeometry(
            (parent.width() - width) // 2, (parent.height() - height) // 2, width, height
        )
