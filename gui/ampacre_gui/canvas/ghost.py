"""What a gesture will do, shown before the button is let go: the line, and words."""

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QLabel, QWidget

from ampacre_gui.guard import Guarded
from ampacre_gui.look import look

__all__ = ["Bubble", "Ghost"]


class Ghost(Guarded, QWidget):
    """A sheet over the canvas that pointers pass through; shows the line that would be drawn."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._start = self._end = QPointF()
        self.hide()

    def show_line(self, start: QPoint, end: QPoint) -> None:
        self._start, self._end = QPointF(start), QPointF(end)
        parent = self.parentWidget()
        assert parent is not None
        self.setGeometry(parent.rect())
        self.show()
        self.raise_()
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setPen(QPen(look().target, 2, Qt.PenStyle.DashLine))
        middle = (self._start.y() + self._end.y()) / 2
        corners = [QPointF(self._start.x(), middle), QPointF(self._end.x(), middle)]
        painter.drawPolyline([self._start, *corners, self._end])


class Bubble(QLabel):
    """A few words beside the pointer."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setWordWrap(True)
        self.setObjectName("bubble")
        self.hide()

    def say(self, text: str, at: QPoint) -> None:
        """Show the words below and right of a point, or on the side where there is room."""
        self.setText(text)
        self.setFixedWidth(min(self.fontMetrics().horizontalAdvance(text) + 28, 280))
        self.adjustSize()
        parent = self.parentWidget()
        assert parent is not None
        x, y = at.x() + 22, at.y() + 22
        if x + self.width() > parent.width():
            x = at.x() - 22 - self.width()
        if y + self.height() > parent.height():
            y = at.y() - 22 - self.height()
        self.move(max(x, 0), max(y, 0))
        self.show()
        self.raise_()
