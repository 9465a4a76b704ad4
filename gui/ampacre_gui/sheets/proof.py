"""Shows a sheet as it will be printed: white paper, the set's own inks, whatever the scheme."""

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import (
    QGraphicsItem,
    QGraphicsScene,
    QGraphicsView,
    QStyleOptionGraphicsItem,
    QWidget,
)

from ampacre.picture.primitives import Picture
from ampacre_gui.canvas.painter import SCALE, Sketch, paint
from ampacre_gui.canvas.zooming import Zooming
from ampacre_gui.guard import Guarded
from ampacre_gui.look import PAPER, look

__all__ = ["Proof"]

_STALE_OPACITY = 0.4


class _Sheet(Guarded, QGraphicsItem):
    def __init__(self, picture: Picture) -> None:
        super().__init__()
        self.paper = QRectF(0, 0, picture.width_mm * SCALE, picture.height_mm * SCALE)
        self._sketch = Sketch(picture.elements)

    def boundingRect(self) -> QRectF:
        return self.paper

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        edge = QPen(QColor(0, 0, 0, 90), 1)
        edge.setCosmetic(True)
        painter.setPen(edge)
        painter.setBrush(PAPER.paper)
        painter.drawRect(self.paper)
        scale = QStyleOptionGraphicsItem.levelOfDetailFromTransform(painter.worldTransform())
        paint(painter, self._sketch, PAPER, scale, whole=True)


class Proof(Zooming):
    """One sheet at a time; it is dragged by the pointer and zoomed like the drawing."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setScene(QGraphicsScene(self))
        self.setAccessibleName(self.tr("Sheet"))
        self.setRenderHint(QPainter.RenderHint.TextAntialiasing)
        self.setDragMode(QGraphicsView.DragMode.ScrollHandDrag)
        self.setFrameShape(QGraphicsView.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._sheet: _Sheet | None = None
        self._stale = False
        self.follow_look()

    def follow_look(self) -> None:
        """Take up the colours of the desktop for what is around the paper."""
        self.setBackgroundBrush(look().backdrop)

    def drawn(self) -> QRectF:
        return self._sheet.paper if self._sheet else QRectF()

    def grow_scene(self) -> None:
        """Leave only a little room around the paper: a sheet that fits needs no scrolling."""
        margin = 16 / self.px_per_unit
        self.setSceneRect(self.drawn().adjusted(-margin, -margin, margin, margin))

    def show_picture(self, picture: Picture) -> None:
        """Show a sheet, at the zoom of the one before or fitted as that was."""
        before = self.drawn()
        if self._sheet:
            self.scene().removeItem(self._sheet)
        self._sheet = _Sheet(picture)
        self._sheet.setOpacity(_STALE_OPACITY if self._stale else 1.0)
        self.scene().addItem(self._sheet)
        if self.fitted or self.drawn() != before:
            self.fit()

    def set_stale(self, stale: bool) -> None:
        """Grey a sheet that no longer shows the project."""
        self._stale = stale
        if self._sheet:
            self._sheet.setOpacity(_STALE_OPACITY if stale else 1.0)
