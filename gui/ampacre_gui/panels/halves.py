"""A list with the page of what is at hand in it beside it, as the panels below the drawing are."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QSplitter, QVBoxLayout, QWidget

__all__ = ["lay_out_halves"]


def lay_out_halves(panel: QWidget, above: QWidget, rows: QWidget, page: QWidget) -> None:
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
