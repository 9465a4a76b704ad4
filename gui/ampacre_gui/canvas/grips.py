"""Round grips on the drawing, from which a run is drawn or by which its supply end is taken.

A grip is as large on the screen at any zoom but the smallest, so it has no place of its own on the
paper: it stands at the first of some spots about a point where it hides neither words nor lines.
"""

from collections.abc import Callable
from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter, QPainterPath, QPen

from ampacre_gui.look import Look

__all__ = ["BELOW", "BESIDE", "Drawn", "Grip"]

_RADIUS_PX, _LEAST_RADIUS_PX = 9.0, 6.0
_WHOLE_FROM = 0.19
"""Pixels per unit of the scene from which a grip has its whole size."""
_REACH_PX = 12.0
"""How far from its middle a grip can be taken hold of."""
_FURTHER_PX = (14, 28, 42, 56, 70)

Spots = tuple[tuple[float, float], ...]

BELOW: Spots = ((0, 12), *((side * off, 12) for off in _FURTHER_PX for side in (-1, 1)))
"""On the line that hangs from a piece, else along its bus, in pixels from where lines leave it."""
BESIDE: Spots = tuple(
    (-off, down) for downs in ((0, 12, 24), (-12,)) for off in (13, 20, 28, 36) for down in downs
)
"""Beside the start of a run, on the side away from its words."""


class Drawn(NamedTuple):
    """What a grip should not hide: boxes of words and marks, and lines."""

    words: list[QRectF]
    lines: list[QPainterPath]


class Grip:
    """Shown for one element at a time. `drawn` gives what stands in an area.

    `touch` is called before and after a change.
    """

    def __init__(
        self, spots: Spots, drawn: Callable[[QRectF], Drawn], touch: Callable[["Grip"], None]
    ) -> None:
        self.key = ""
        self.port: QPointF | None = None
        self._spots = spots
        self._drawn = drawn
        self._touch = touch
        self._lit = False
        across, down = zip(*spots, strict=True)
        self._room = QRectF(
            QPointF(min(across), min(down)), QPointF(max(across), max(down))
        ).adjusted(-_REACH_PX, -_REACH_PX, _REACH_PX, _REACH_PX)

    def show_at(self, key: str, port: QPointF | None) -> None:
        """Show the grip for an element about a point; without a point it is hidden."""
        if (self.key, self.port) != (key if port else "", port):
            self._touch(self)
            self.key, self.port = (key if port else ""), port
            self._touch(self)

    def light(self, *, on: bool) -> None:
        if on != self._lit:
            self._lit = on
            self._touch(self)

    def key_at(self, point: QPointF, px_per_unit: float) -> str:
        """Id of the element whose grip is at a point, "" where none is shown there."""
        if self.port is None or not self.area(px_per_unit).contains(point):
            return ""
        off = (point - self.middle(px_per_unit)) * px_per_unit
        return self.key if max(abs(off.x()), abs(off.y())) <= _REACH_PX else ""

    def area(self, px_per_unit: float) -> QRectF:
        """Where it may stand at a scale; nothing while it is hidden."""
        return QRectF() if self.port is None else self._in_scene(self._room, px_per_unit)

    def middle(self, px_per_unit: float) -> QPointF:
        """Where it stands at a scale."""
        assert self.port is not None
        drawn = self._drawn(self.area(px_per_unit))
        best = min(self._spots, key=lambda spot: self._hides(spot, drawn, px_per_unit))
        return self.port + QPointF(*best) * _size(px_per_unit) / px_per_unit

    def _hides(self, spot: tuple[float, float], drawn: Drawn, px_per_unit: float) -> int:
        """Tell how bad a spot is: words are worse to hide than lines."""
        size = _size(px_per_unit)
        middle, corner = QPointF(*spot) * size, QPointF(1, 1) * (_RADIUS_PX * size + 1)
        disc = self._in_scene(QRectF(middle - corner, middle + corner), px_per_unit)
        if any(box.intersects(disc) for box in drawn.words):
            return 2
        if spot[0] == 0:
            # a spot on the line that hangs there covers lines anyway
            return 0
        return int(any(_crosses(path, disc) for path in drawn.lines))

    def _in_scene(self, box: QRectF, px_per_unit: float) -> QRectF:
        assert self.port is not None
        return QRectF(box.topLeft() / px_per_unit, box.size() / px_per_unit).translated(self.port)

    def paint(self, painter: QPainter, colours: Look, px_per_unit: float) -> None:
        """Draw it in pixels of the screen, where it is shown."""
        if self.port is None:
            return
        painter.save()
        painter.translate(self.middle(px_per_unit))
        size = _size(px_per_unit) / px_per_unit
        painter.scale(size, size)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(colours.select, 1.6))
        painter.setBrush(colours.select if self._lit else colours.paper)
        painter.drawEllipse(QPointF(), _RADIUS_PX, _RADIUS_PX)
        painter.setPen(QPen(colours.paper if self._lit else colours.select, 1.6))
        painter.drawLine(QPointF(0, -4), QPointF(0, 4))
        painter.drawLine(QPointF(-3, 1), QPointF(0, 4))
        painter.drawLine(QPointF(3, 1), QPointF(0, 4))
        painter.restore()


def _size(px_per_unit: float) -> float:
    """Give the part of its whole size that a grip has, where words are small."""
    return min(max(px_per_unit / _WHOLE_FROM, _LEAST_RADIUS_PX / _RADIUS_PX), 1.0)


def _crosses(path: QPainterPath, box: QRectF) -> bool:
    """Whether a line goes through a box, which may lie within a closed outline."""
    return path.intersects(box) and not path.contains(box)
