"""What stands on the canvas: one item per piece and run."""

from collections.abc import Callable
from typing import Literal, NamedTuple

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPainterPathStroker, QPen, QPolygonF

from ampacre.picture.primitives import Element
from ampacre.sheets.pen import LINE_MM
from ampacre_gui.canvas.painter import SCALE, Sketch, Way, bounds_of, paint, polygon
from ampacre_gui.flags import flag_picture
from ampacre_gui.look import Look

__all__ = ["ElementItem", "Figure", "Role"]

Role = Literal["piece", "run", "ground"]
"""Pieces sort before runs; the ground (outlines of structures, titles) is never hit."""

_HALO = 1.6 * SCALE
_FLAG = 5.4 * SCALE
_LEAST_FLAG_PX = 9
_PLUS = 6 * SCALE
"""How far a plus reaches before the note that pieces are not shown."""
_REACH = 0.75 * _FLAG
"""How far the mark of a finding reaches from its middle."""


class Figure(NamedTuple):
    """What an item shows: its elements, where the symbol stands, its line, where its mark goes.

    `riser_x` is where the line that feeds a piece comes down to it, None where it has none.
    """

    role: Role
    elements: tuple[Element, ...]
    core: QRectF
    way: tuple[Way, ...]
    flag_at: QPointF | None
    riser_x: float | None = None


_NOTHING = Figure("ground", (), QRectF(), (), None)


class ElementItem:
    """A piece or a run with all that is written beside it, or part of the ground.

    `core` is where a piece stands, symbol and words. A run is hit along its line. `bounds` holds
    all that is painted but for a few pixels (see `Scene`). `off` is how far the item is held from
    its place while it is dragged or glides. `touch` is called before and after a change.

    What is painted is made ready when it is first asked for: of thousands few come into view.
    """

    def __init__(self, key: str, touch: Callable[["ElementItem"], None]) -> None:
        self.key = key
        self.role: Role = "ground"
        self.mark = ""
        self.selected = self.hovered = False
        self.target = ""
        self.core = QRectF()
        self.bounds = QRectF()
        self.flag_at: QPointF | None = None
        self.off = QPointF()
        self._figure = _NOTHING
        self._sketch: Sketch | None = None
        self._way: QPainterPath | None = None
        self._shape: QPainterPath | None = None
        self._touch = touch

    def show_sketch(self, figure: Figure) -> None:
        """Take up a figure; one equal to the present figure changes nothing."""
        if figure == self._figure:
            return
        self._touch(self)
        self._figure = figure
        self._sketch = self._way = self._shape = None
        self.role = figure.role
        self.flag_at = figure.flag_at
        drawn = bounds_of(figure.elements, figure.way)
        self.core = figure.core if figure.core.isValid() else drawn
        whole = drawn | self.core
        self.bounds = whole.adjusted(-2 * _HALO, -2 * _HALO, 2 * _HALO, 2 * _HALO)
        if self.flag_at is not None:
            corner = QPointF(_REACH, _REACH)
            self.bounds |= QRectF(self.flag_at - corner, self.flag_at + corner)
        self._touch(self)

    @property
    def sketch(self) -> Sketch:
        """All that is drawn of the item in its place, but for its mark."""
        if self._sketch is None:
            self._sketch = Sketch(self._figure.elements)
        return self._sketch

    @property
    def strokes(self) -> list[QPolygonF]:
        """The line of a run, stroke by stroke; nothing for all else."""
        return [polygon(stroke) for stroke in self._figure.way]

    @property
    def way(self) -> QPainterPath:
        """The line of a run; empty for all else."""
        if self._way is None:
            self._way = QPainterPath()
            for stroke in self.strokes:
                self._way.addPolygon(stroke)
        return self._way

    @property
    def shape(self) -> QPainterPath:
        """Where the item can be taken hold of."""
        if self._shape is None:
            self._shape = self._hit_shape()
        return self._shape

    def _hit_shape(self) -> QPainterPath:
        shape = QPainterPath()
        if self.role == "piece":
            shape.addRect(self.core)
        elif self.role == "run":
            stroker = QPainterPathStroker()
            stroker.setWidth(4.0 * SCALE)
            shape = stroker.createStroke(self.way)
            for line in self.sketch.lines:
                shape.addRect(line.box)
        shape.setFillRule(Qt.FillRule.WindingFill)
        return shape

    def lies_in(self, area: QRectF) -> bool:
        """Whether the whole element is in an area."""
        return self.role != "ground" and area.contains(
            self.core if self.role == "piece" else self.way.boundingRect()
        )

    def is_hit(self, area: QRectF) -> bool:
        """Whether an element can be taken hold of somewhere in an area."""
        return self.role != "ground" and self.shape.intersects(area)

    def distance(self, point: QPointF) -> float:
        """How far the middle of the element is from a point, squared."""
        off = self.core.center() - point
        return off.x() ** 2 + off.y() ** 2

    def field_at(self, point: QPointF) -> str:
        """Name of the number that is written at a point, "" where there is none."""
        return self.sketch.field_at(point)

    def tells_folded_at(self, point: QPointF) -> bool:
        """Whether the note that pieces below are not shown, or the plus before it, is at a point."""
        notes = (line.box for line in self.sketch.lines if line.field == "folded")
        return any(box.adjusted(-_PLUS, -_PLUS / 4, 0, _PLUS / 4).contains(point) for box in notes)

    def move_off(self, off: QPointF) -> None:
        """Hold the item away from its place, or (0, 0) put it back."""
        if off != self.off:
            self._touch(self)
            self.off = off
            self._touch(self)

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
            self._touch(self)

    @property
    def place(self) -> QPointF:
        """Where the element stands: its symbol, or the start of its line."""
        if self.role == "run":
            return self.way.pointAtPercent(0)
        riser_x = self._figure.riser_x
        return QPointF(self.core.left() if riser_x is None else riser_x, self.core.top())

    @property
    def mark_box(self) -> QRectF | None:
        """Where the mark of a finding is drawn, None where there is none."""
        if not self.mark or self.flag_at is None:
            return None
        corner = QPointF(_FLAG / 2, _FLAG / 2)
        return QRectF(self.flag_at - corner, self.flag_at + corner)

    @property
    def lit(self) -> bool:
        """Whether a glow is drawn behind the item."""
        return self.selected or self.hovered or bool(self.target)

    def paint(self, painter: QPainter, colours: Look, scale: float) -> None:
        """Draw the item with all its detail."""
        self.paint_glow(painter, colours, scale)
        paint(painter, self.sketch, colours, scale)
        self.paint_mark(painter, scale)

    def paint_glow(self, painter: QPainter, colours: Look, scale: float) -> None:
        """Light up what is selected, under the pointer, or where a drop would go."""
        if self.target:
            self._glow(painter, colours.target if self.target == "yes" else colours.quiet, scale)
        elif self.selected:
            self._glow(painter, colours.select, scale)
        elif self.hovered:
            self._glow(painter, colours.hover, scale)

    def paint_mark(self, painter: QPainter, scale: float) -> None:
        """Draw the mark of the gravest finding, at least so large that its shape is seen."""
        if not self.mark or self.flag_at is None:
            return
        # on whole pixels, so that its sign is as sharp on every piece
        size_px = max(round(_FLAG * scale), _LEAST_FLAG_PX)
        at = painter.worldTransform().map(self.flag_at)
        picture = flag_picture(self.mark, size_px, painter.device().devicePixelRatioF())
        half = picture.deviceIndependentSize().width() / 2
        painter.save()
        painter.resetTransform()
        painter.drawPixmap(QPointF(round(at.x() - half), round(at.y() - half)), picture)
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
            painter.drawPath(self.way)
            return
        # a cosmetic pen counts in dots of the screen, of which a logical pixel may have several
        pen = QPen(colour, (2.0 if strong else 1.0) * painter.device().devicePixelRatio())
        pen.setCosmetic(True)
        painter.setPen(pen)
        painter.setBrush(soft)
        # a line of a list has others close above and below
        above = 0.0 if self.core.height() <= LINE_MM * SCALE else _HALO
        box = self.core.adjusted(-_HALO, -above, _HALO, above)
        painter.drawRoundedRect(box, _HALO, _HALO)
