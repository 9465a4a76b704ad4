"""What a gesture will do, shown before the button is let go: a pale symbol or line, and words."""

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QLabel, QWidget

from ampacre_gui.canvas.painter import paint
from ampacre_gui.guard import Guarded
from ampacre_gui.icons import symbol_sketch
from ampacre_gui.look import look

__all__ = ["Bubble", "Ghost"]


class Ghost(Guarded, QWidget):
    """A sheet over the canvas that pointers pass through."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.px_per_unit = 0.3
        self._kind = ""
        self._at = QPointF()
        self._from: QPointF | None = None
        self.hide()

    def show_symbol(self, kind: str, at: QPoint, above: QPoint | None) -> None:
        self._kind, self._at = kind, QPointF(at)
        self._from = QPointF(above) if above is not None else None
        self._appear()

    def show_line(self, start: QPoint, end: QPoint) -> None:
        self._kind, self._at, self._from = "", QPointF(end), QPointF(start)
        self._appear()

    def _appear(self) -> None:
        parent = self.parentWidget()
        assert parent is not None
        self.setGeometry(parent.rect())
        self.show()
        self.raise_()
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        colours = look()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if self._from is not None:
            painter.setPen(QPen(colours.target, 2, Qt.PenStyle.DashLine))
            middle = (self._from.y() + self._at.y()) / 2
            turn = [QPointF(self._from.x(), middle), QPointF(self._at.x(), middle)]
            painter.drawPolyline([self._from, *turn, self._at])
        if self._kind:
            sketch = symbol_sketch(self._kind)
            painter.translate(self._at)
            painter.scale(self.px_per_unit, self.px_per_unit)
            painter.translate(-sketch.bounds.center().x(), -sketch.bounds.top())
            painter.setOpacity(0.75)
            paint(painter, sketch, colours, self.px_per_unit, colours.target)


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
