"""A list with the page of what is at hand in it beside it, as the panels below the drawing are."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QLabel, QScrollArea, QSplitter, QVBoxLayout, QWidget

__all__ = ["HandPage", "lay_out_halves", "wrapped"]

_LEAST_WIDTH = 236


class HandPage(QScrollArea):
    """The page of what is at hand; its words wrap, so that it is scrolled up and down only."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setMinimumWidth(_LEAST_WIDTH)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)


def wrapped(text: str = "") -> QLabel:
    """Give a label of as many lines as its words take, from which they can be copied."""
    label = QLabel(text)
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return label


def lay_out_halves(panel: QWidget, above: QWidget, rows: QWidget, page: HandPage) -> None:
    """Fill a panel: a bar above, then rows and page side by side, the rows half as wide again."""
    halves = QSplitter(Qt.Orientation.Horizontal)
    halves.addWidget(rows)
    halves.addWidget(page)
    halves.setStretchFactor(0, 3)
    halves.setStretchFactor(1, 2)
    halves.setSizes([600, 400])
    halves.setChildrenCollapsible(False)
    box = QVBoxLayout(panel)
    box.setContentsMargins(0, 0, 0, 0)
    box.setSpacing(0)
    box.addWidget(above)
    box.addWidget(halves, 1)
    panel.setFocusProxy(rows)
