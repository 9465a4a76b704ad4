"""Computed numbers below one another: what each is on the left, its value on the right."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from ampacre_gui.panels.numbers import Number

__all__ = ["NumberList"]

_AT = Qt.AlignmentFlag


class NumberList(QWidget):
    """Keeps its lines from one showing to the next; a value is never broken, its name may be."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.lines: list[tuple[QLabel, QLabel]] = []
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 2, 0, 2)
        self._grid.setVerticalSpacing(3)
        self._grid.setHorizontalSpacing(12)
        self._grid.setColumnStretch(0, 1)

    def show_numbers(self, numbers: list[Number]) -> None:
        """Show these numbers and no others."""
        while len(self.lines) < len(numbers):
            self._add_line()
        for place, line in enumerate(self.lines):
            for label in line:
                label.setVisible(place < len(numbers))
        for (name, value), number in zip(self.lines, numbers, strict=False):
            name.setText(number.label)
            value.setText(number.value)
            for label in (name, value):
                label.setToolTip(number.about)

    def _add_line(self) -> None:
        name, value = QLabel(), QLabel()
        name.setWordWrap(True)
        value.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        row = len(self.lines)
        self._grid.addWidget(name, row, 0, _AT.AlignTop)
        self._grid.addWidget(value, row, 1, _AT.AlignRight | _AT.AlignTop)
        self.lines.append((name, value))
