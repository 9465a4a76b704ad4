"""Painting the drawing where symbols are small: whole cells at once, and names of structures."""

from collections.abc import Iterable

from PySide6.QtCore import QPoint, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QPen

from ampacre.picture.primitives import Polyline, Text
from ampacre.rules.review import SEVERITIES
from ampacre_gui.canvas.cells import Cell, Far
from ampacre_gui.canvas.items import ElementItem
from ampacre_gui.canvas.painter import (
    NEAR_PX,
    SCALE,
    Level,
    level_of,
    paint_fills,
    paint_strokes,
    paint_words,
)
from ampacre_gui.look import Look

__all__ = ["paint_from_afar", "paint_titles"]

_TITLE_PX, _LEAST_TITLE_PX = 11, 96
_LEAST_MARK_PX = 2.0


def paint_from_afar(
    painter: QPainter, cells: Iterable[Cell], colours: Look, scale: float, level: Level = ""
) -> None:
    """Draw cells in middle or far detail, as suits the scale if nothing is said."""
    if (level or level_of(scale)) == "far":
        _paint_far([cell.far for cell in cells], painter, colours)
        return
    cells = tuple(cells)
    for cell in cells:
        paint_fills(painter, cell.middle.fills, colours)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
    for cell in cells:
        paint_strokes(painter, cell.middle.strokes, colours, scale, smooth=False)
        paint_words(painter, cell.middle.lines, colours, scale, least_px=NEAR_PX)
    for cell in cells:
        for item in cell.middle.marked:
            item.paint_mark(painter, scale)


def _paint_far(cells: list[Far], painter: QPainter, colours: Look) -> None:
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
    dots = painter.device().devicePixelRatio()
    painter.setPen(_far_pen(colours.layers["enclosure"], "", dots))
    for cell in cells:
        painter.drawLines(cell.outlines)
    # the gravest last, so that nothing lies over it
    for mark in ("", *reversed(SEVERITIES)):
        ink = colours.mark[mark] if mark else colours.layers["existing"]
        painter.setPen(_far_pen(ink, mark, dots))
        for cell in cells:
            if mark in cell.wires:
                painter.drawLines(cell.wires[mark])
    for mark in ("", *reversed(SEVERITIES)):
        colour = colours.mark[mark] if mark else colours.layers["note"]
        painter.setPen(_far_pen(colour, mark, dots))
        painter.setBrush(colour)
        for cell in cells:
            if mark in cell.boxes:
                painter.drawRects(cell.boxes[mark])
    painter.setBrush(Qt.BrushStyle.NoBrush)


def _far_pen(colour: QColor, mark: str, dots: float) -> QPen:
    """Give a pen as wide on the screen as shows a finding at any distance.

    A cosmetic pen counts in dots of the screen, of which a logical pixel may have several.
    """
    pen = QPen(colour, (_LEAST_MARK_PX if mark else 1.0) * dots)
    pen.setCosmetic(True)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    return pen


def paint_titles(
    painter: QPainter, grounds: Iterable[ElementItem], area: QRectF, colours: Look, scale: float
) -> None:
    """Where no label can be read, name what each outline encloses, as far as there is room."""
    font = QFont(painter.font())
    font.setPixelSize(_TITLE_PX)
    painter.setFont(font)
    reach = area.adjusted(-_LEAST_TITLE_PX / scale, 0, 0, 2 * _TITLE_PX / scale)
    taken: list[QRect] = []
    for item in grounds:
        if item.bounds.intersects(reach):
            _paint_title(painter, item, colours, scale, taken)


def _paint_title(
    painter: QPainter, item: ElementItem, colours: Look, scale: float, taken: list[QRect]
) -> None:
    elements = item.sketch.elements
    words = next((element.text for element in elements if isinstance(element, Text)), "")
    for outline in elements if words else ():
        if isinstance(outline, Polyline) and outline.closed:
            left = min(x for x, _ in outline.points) * SCALE
            right = max(x for x, _ in outline.points) * SCALE
            top = min(y for _, y in outline.points) * SCALE
            room = max(int((right - left) * scale), _LEAST_TITLE_PX)
            painter.save()
            painter.scale(1 / scale, 1 / scale)
            corner = QPointF(left * scale, top * scale).toPoint()
            _write_title(painter, words, corner, room, colours, taken)
            painter.restore()


def _write_title(
    painter: QPainter, words: str, corner: QPoint, room: int, colours: Look, taken: list[QRect]
) -> None:
    """Write a line above a corner, in pixels of the screen, unless another line is there."""
    metrics = painter.fontMetrics()
    shown = metrics.elidedText(words, Qt.TextElideMode.ElideRight, room)
    where = metrics.boundingRect(shown).translated(corner).translated(1, -3)
    ground = where.adjusted(-2, 0, 2, 0)
    if any(ground.intersects(other) for other in taken):
        return
    taken.append(ground)
    painter.fillRect(ground, colours.paper)
    painter.setPen(colours.layers["note"])
    painter.drawText(where, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignBottom, shown)
