"""What stands on the canvas: one item per piece and run, and the handle that runs are drawn from."""

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPainterPathStroker, QPen
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from ampacre_gui.canvas.painter import SCALE, Sketch, level_of, paint
from ampacre_gui.flags import draw_flag
from ampacre_gui.guard import Guarded
from ampacre_gui.look import look

__all__ = ["ElementItem", "FeedHandle"]

_MARGIN = 4.0 * SCALE
_HALO = 1.6 * SCALE
_FLAG_MM = 3.6
_LEAST_FLAG_PX = 9.0


def _scale_of(painter: QPainter) -> float:
    """Logical pixels per scene unit; the screen's own ratio is not part of it."""
    return QStyleOptionGraphicsItem.levelOfDetailFromTransform(painter.worldTransform())


class ElementItem(Guarded, QGraphicsItem):
    """A piece or a run with all that is written beside it.

    `way` holds the points of a run's line; it is what a pointer has to hit and what lights up.
    """

    def __init__(self, key: str) -> None:
        super().__init__()
        self.key = key
        self.sketch = Sketch(())
        self.mark = ""
        self.selected = self.hovered = False
        self.target = ""
        self._core = QRectF()
        self._way = QPainterPath()
        self._shape = QPainterPath()

    @property
    def is_run(self) -> bool:
        """Whether this is a run: drawn below pieces, hit along its line."""
        return not self._way.isEmpty()

    @property
    def core(self) -> QRectF:
        """Where the symbol itself stands, without the labels."""
        return self._core

    def show_sketch(self, sketch: Sketch, core: QRectF, way: Sequence[QPointF]) -> None:
        self.prepareGeometryChange()
        self.sketch = sketch
        self._core = core if core.isValid() else sketch.bounds
        self._way = QPainterPath()
        if way:
            self._way.moveTo(way[0])
            for point in way[1:]:
                self._way.lineTo(point)
        self._shape = self._hit_shape()
        self.setZValue(0 if self.is_run else 1)
        self.update()

    def _hit_shape(self) -> QPainterPath:
        if self.is_run:
            stroker = QPainterPathStroker()
            stroker.setWidth(4.0 * SCALE)
            shape = stroker.createStroke(self._way)
            for line in self.sketch.lines:
                shape.addRect(line.box)
        else:
            shape = QPainterPath()
            shape.addRect(self.sketch.bounds | self._core)
        shape.setFillRule(Qt.FillRule.WindingFill)
        return shape

    def show_state(
        self, *, selected: bool | None = None, hovered: bool | None = None,
        target: str | None = None, mark: str | None = None,
    ) -> None:  # fmt: skip
        """Change how the item is lit up; what is not said stays as it is."""
        before = (self.selected, self.hovered, self.target, self.mark)
        self.selected = self.selected if selected is None else selected
        self.hovered = self.hovered if hovered is None else hovered
        self.target = self.target if target is None else target
        self.mark = self.mark if mark is None else mark
        if before != (self.selected, self.hovered, self.target, self.mark):
            self.update()

    def flag_at(self) -> QPointF:
        """Where the mark of a finding stands."""
        if self.is_run:
            return self._way.pointAtPercent(0.5)
        return self._core.topRight()

    def boundingRect(self) -> QRectF:
        return (self.sketch.bounds | self._core | self._way.boundingRect()).adjusted(
            -_MARGIN, -_MARGIN, _MARGIN, _MARGIN
        )

    def shape(self) -> QPainterPath:
        return self._shape

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        colours = look()
        scale = _scale_of(painter)
        if self.target:
            self._glow(painter, colours.target if self.target == "yes" else colours.quiet, scale)
        elif self.selected:
            self._glow(painter, colours.select, scale)
        elif self.hovered:
            self._glow(painter, colours.hover, scale)
        ink = colours.mark[self.mark] if self.mark and level_of(scale) == "far" else None
        paint(painter, self.sketch, colours, scale, ink)
        if self.mark:
            size = max(_FLAG_MM * SCALE, min(_LEAST_FLAG_PX / scale, 2 * _MARGIN))
            draw_flag(painter, self.flag_at(), size, self.mark)

    def _glow(self, painter: QPainter, colour: QColor, scale: float) -> None:
        strong = self.selected or bool(self.target)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        soft = QColor(colour)
        soft.setAlphaF(0.22 if strong else 0.14)
        if self.is_run:
            width = max(3.2 * SCALE, 7 / scale)
            pen = QPen(soft, width, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap)
            pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
            painter.setPen(pen)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawPath(self._way)
            return
        pen = QPen(colour, 2.0 if strong else 1.0)
        pen.setCosmetic(True)
        painter.setPen(pen)
        painter.setBrush(soft)
        box = (self.sketch.bounds | self._core).adjusted(-_HALO, -_HALO, _HALO, _HALO)
        painter.drawRoundedRect(box, _HALO, _HALO)


class FeedHandle(Guarded, QGraphicsItem):
    """A round grip below a piece: dragging from it draws a run to another piece.

    It keeps its size on the screen whatever the zoom.
    """

    RADIUS_PX = 12.0

    def __init__(self) -> None:
        super().__init__()
        self.key = ""
        self._lit = False
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemIgnoresTransformations)
        self.setZValue(3)
        self.hide()

    def show_below(self, item: ElementItem | None) -> None:
        self.key = item.key if item else ""
        self.setVisible(item is not None)
        if item:
            self.setPos(QPointF(item.core.center().x(), item.core.bottom()))

    def light(self, *, on: bool) -> None:
        if on != self._lit:
            self._lit = on
            self.update()

    def boundingRect(self) -> QRectF:
        reach = self.RADIUS_PX + 2
        return QRectF(-reach, -2, 2 * reach, 2 * reach + 2)

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        colours = look()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        centre = QPointF(0, self.RADIUS_PX)
        painter.setPen(QPen(colours.select, 1.6))
        painter.setBrush(colours.select if self._lit else colours.paper)
        painter.drawEllipse(centre, self.RADIUS_PX - 3, self.RADIUS_PX - 3)
        painter.setPen(QPen(colours.paper if self._lit else colours.select, 1.6))
        x, y = centre.x(), centre.y()
        painter.drawLine(QPointF(x, y - 4), QPointF(x, y + 4))
        painter.drawLine(QPointF(x - 3, y + 1), QPointF(x, y + 4))
        painter.drawLine(QPointF(x + 3, y + 1), QPointF(x, y + 4))
