"""What stands on the canvas: one item per piece and run, and the handle that runs are drawn from."""

from typing import Literal, NamedTuple

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QPainter,
    QPainterPath,
    QPainterPathStroker,
    QPen,
    QPolygonF,
)
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from ampacre.picture.primitives import Element, Polyline, Text
from ampacre_gui.canvas.painter import SCALE, Sketch, level_of, paint
from ampacre_gui.flags import draw_flag
from ampacre_gui.guard import Guarded
from ampacre_gui.look import look

__all__ = ["ElementItem", "FeedHandle", "Figure", "Role"]

Role = Literal["piece", "run", "ground"]
"""Pieces sort before runs; the ground (outlines of structures, titles) is never hit."""

_MARGIN = 4.0 * SCALE
_HALO = 1.6 * SCALE
_FLAG_MM = 5.4
_LEAST_FLAG_PX = 9.0
_TITLE_PX, _LEAST_TITLE_PX = 11, 96


def _scale_of(painter: QPainter) -> float:
    """Logical pixels per scene unit; the screen's own ratio is not part of it."""
    return QStyleOptionGraphicsItem.levelOfDetailFromTransform(painter.worldTransform())


class Figure(NamedTuple):
    """What an item shows: its elements, where the symbol stands, its line, where its mark goes."""

    role: Role
    elements: tuple[Element, ...]
    core: QRectF
    way: tuple[tuple[QPointF, ...], ...]
    flag_at: QPointF


class ElementItem(Guarded, QGraphicsItem):
    """A piece or a run with all that is written beside it, or part of the ground.

    `core` is where a piece stands, symbol and words. A run is hit along its line.
    """

    def __init__(self, key: str) -> None:
        super().__init__()
        self.key = key
        self.role: Role = "ground"
        self.mark = ""
        self.selected = self.hovered = False
        self.target = ""
        self.core = QRectF()
        self._figure: Figure | None = None
        self._sketch = Sketch(())
        self._way = QPainterPath()
        self._shape = QPainterPath()
        self._bounds = QRectF()

    def show_sketch(self, figure: Figure) -> None:
        """Take up a figure; one equal to the present figure changes nothing."""
        if figure == self._figure:
            return
        self.prepareGeometryChange()
        self._figure = figure
        self.role = figure.role
        self._sketch = Sketch(figure.elements)
        self._way = QPainterPath()
        for stroke in figure.way:
            self._way.addPolygon(QPolygonF(stroke))
        self.core = figure.core if figure.core.isValid() else self._sketch.bounds
        self._shape = self._hit_shape()
        whole = self._sketch.bounds | self.core | self._way.boundingRect()
        self._bounds = whole.adjusted(-_MARGIN, -_MARGIN, _MARGIN, _MARGIN)
        self.setZValue({"ground": -1, "run": 0, "piece": 1}[figure.role])
        self.update()

    def _hit_shape(self) -> QPainterPath:
        shape = QPainterPath()
        if self.role == "piece":
            shape.addRect(self.core)
        elif self.role == "run":
            stroker = QPainterPathStroker()
            stroker.setWidth(4.0 * SCALE)
            shape = stroker.createStroke(self._way)
            for line in self._sketch.lines:
                shape.addRect(line.box)
        shape.setFillRule(Qt.FillRule.WindingFill)
        return shape

    def lies_in(self, area: QRectF) -> bool:
        """Whether the whole element is in an area."""
        return self.role != "ground" and area.contains(
            self.core if self.role == "piece" else self._way.boundingRect()
        )

    def distance(self, point: QPointF) -> float:
        """How far the middle of the element is from a point, squared."""
        off = self.core.center() - point
        return off.x() ** 2 + off.y() ** 2

    @property
    def elements(self) -> tuple[Element, ...]:
        """What the drawing shows of the element, in millimetres."""
        return self._figure.elements if self._figure else ()

    def field_at(self, point: QPointF) -> str:
        """Name of the number that is written at a point, "" where there is none."""
        return self._sketch.field_at(point)

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

    def boundingRect(self) -> QRectF:
        return self._bounds

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
        paint(painter, self._sketch, colours, scale, ink)
        if self.role == "ground" and level_of(scale) != "near":
            self._titles(painter, scale)
        if self.mark and self._figure:
            size = max(_FLAG_MM * SCALE, min(_LEAST_FLAG_PX / scale, 2 * _MARGIN))
            draw_flag(painter, self._figure.flag_at, size, self.mark)

    def _titles(self, painter: QPainter, scale: float) -> None:
        """From afar, where no label can be read, name what each outline encloses."""
        elements = self.elements
        words = next((element.text for element in elements if isinstance(element, Text)), "")
        if not words:
            return
        font = QFont(painter.font())
        font.setPixelSize(_TITLE_PX)
        painter.setFont(font)
        for outline in elements:
            if isinstance(outline, Polyline) and outline.closed:
                left = min(x for x, _ in outline.points) * SCALE
                right = max(x for x, _ in outline.points) * SCALE
                top = min(y for _, y in outline.points) * SCALE
                painter.save()
                painter.translate(left, top)
                painter.scale(1 / scale, 1 / scale)
                _write_title(painter, words, max(int((right - left) * scale), _LEAST_TITLE_PX))
                painter.restore()

    def _glow(self, painter: QPainter, colour: QColor, scale: float) -> None:
        strong = self.selected or bool(self.target)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        soft = QColor(colour)
        soft.setAlphaF(0.22 if strong else 0.14)
        if self.role == "run":
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
        box = self.core.adjusted(-_HALO, -_HALO, _HALO, _HALO)
        painter.drawRoundedRect(box, _HALO, _HALO)


def _write_title(painter: QPainter, words: str, room: int) -> None:
    """Write a line above the point that is now (0, 0), in pixels of the screen."""
    metrics = painter.fontMetrics()
    shown = metrics.elidedText(words, Qt.TextElideMode.ElideRight, room)
    where = metrics.boundingRect(shown).translated(1, -3)
    painter.fillRect(where.adjusted(-2, 0, 2, 0), look().paper)
    painter.setPen(look().layers["note"])
    painter.drawText(where, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignBottom, shown)


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

    def show_at(self, key: str, port: QPointF | None) -> None:
        """Show the grip where lines leave a piece; without a place it is hidden."""
        self.key = key if port else ""
        self.setVisible(port is not None)
        if port:
            self.setPos(port)

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
