"""A layout in which widgets stand side by side, and go on in further lines where room ends."""

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem

from ampacre_gui.guard import Guarded

__all__ = ["Flow"]


class Flow(Guarded, QLayout):
    """Every widget keeps the size that it would like to have."""

    def __init__(self) -> None:
        super().__init__()
        self._items: list[QLayoutItem] = []

    def addItem(self, item: QLayoutItem) -> None:
        self._items.append(item)

    def count(self) -> int:
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        places = self._places(width)
        return max((place.bottom() + 1 for place in places), default=0)

    def sizeHint(self) -> QSize:
        return self.minimumSize()

    def minimumSize(self) -> QSize:
        size = QSize()
        for item in self._items:
            size = size.expandedTo(item.sizeHint())
        return size

    def setGeometry(self, rect: QRect) -> None:
        super().setGeometry(rect)
        for item, place in zip(self._items, self._places(rect.width()), strict=True):
            item.setGeometry(place.translated(rect.topLeft()))

    def _places(self, width: int) -> list[QRect]:
        """Give where each widget stands, measured from the upper left corner."""
        places: list[QRect] = []
        x = y = line_height = 0
        for item in self._items:
            size = item.sizeHint()
            if x and x + size.width() > width:
                x, y, line_height = 0, y + line_height + self.spacing(), 0
            places.append(QRect(QPoint(x, y), size))
            x += size.width() + self.spacing()
            line_height = max(line_height, size.height())
        return places
