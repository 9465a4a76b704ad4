"""Elements of a picture made ready for the screen, once, so that painting only has to draw them.

Scene units are tenths of a millimetre. Strokes of one kind share a path; each line of text is a
glyph run that is laid out once for all places where the same text stands.
"""

import math
from collections import defaultdict
from collections.abc import Iterable
from functools import cache, lru_cache
from itertools import pairwise
from typing import NamedTuple

from PySide6.QtCore import QByteArray, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontDatabase,
    QGlyphRun,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
    QRawFont,
    QTextLayout,
)

from ampacre.picture.lettering import CAPITALS, font_bytes, text_width_mm
from ampacre.picture.primitives import Arc, Element, Fill, Polyline, Text
from ampacre_gui.look import Look

__all__ = [
    "NEAR_PX",
    "SCALE",
    "Ink",
    "Level",
    "Line",
    "Sketch",
    "Way",
    "bounds_of",
    "level_of",
    "paint",
    "paint_fills",
    "paint_strokes",
    "paint_words",
    "polygon",
]

SCALE = 10.0
"""Scene units in a millimetre."""

_LABEL_MM = 2.5
"""Height of the capitals of an ordinary label, by which the level of detail is chosen."""
NEAR_PX, _MIDDLE_PX = 4.1, 1.1
_LEAST_TEXT_PX = 2.6

Way = tuple[tuple[float, float], ...]
"""The points of a line in millimetres."""
Level = str
"""How much is drawn: "near" all of it, "middle" strokes only, "far" a filled box."""


def level_of(px_per_unit: float) -> Level:
    """Choose the level of detail by how many pixels high an ordinary letter is."""
    em_px = _LABEL_MM / CAPITALS * SCALE * px_per_unit
    if em_px >= NEAR_PX:
        return "near"
    return "middle" if em_px >= _MIDDLE_PX else "far"


class Ink(NamedTuple):
    """What strokes must have in common to be drawn as one path."""

    layer: str
    width: float
    dash: tuple[float, ...]
    square: bool


class Line(NamedTuple):
    """One line of text where it stands; `em` is its size in scene units, `base` where it begins.

    It is laid out when it is first painted: of thousands, few are ever large enough on the screen.
    """

    text: str
    base: QPointF
    bold: bool
    layer: str
    em: int
    field: str
    box: QRectF

    @property
    def glyphs(self) -> tuple[tuple[QGlyphRun, ...], QPointF]:
        """The line's glyphs, and where they are drawn from."""
        runs, ascent = _glyphs(self.text, self.em, self.bold)
        return runs, self.base - QPointF(0, ascent)


class Sketch:
    """All elements of one owner, ready to paint."""

    def __init__(self, elements: Iterable[Element]) -> None:
        self.elements = tuple(elements)
        paths: dict[Ink, QPainterPath] = defaultdict(QPainterPath)
        self.fills: list[tuple[QPainterPath, str, float]] = []
        self.lines: list[Line] = []
        for element in self.elements:
            match element:
                case Polyline():
                    _add_polyline(paths, element)
                case Arc():
                    _add_arc(paths, element)
                case Fill():
                    path = QPainterPath()
                    path.addPolygon(polygon(element.points))
                    path.closeSubpath()
                    self.fills.append((path, element.layer, element.shade))
                case Text():
                    self.lines.append(_line(element))
        self.strokes = list(paths.items())

    @property
    def bounds(self) -> QRectF:
        """Encloses all that is painted of it."""
        return bounds_of(self.elements)

    def field_at(self, point: QPointF) -> str:
        """Name of the number that is written at a point, "" where there is none."""
        return next(
            (line.field for line in self.lines if line.field and line.box.contains(point)), ""
        )


def bounds_of(elements: Iterable[Element], ways: Iterable[Way] = ()) -> QRectF:
    """Enclose all that is painted of some elements, and some lines; null where there is nothing."""
    boxes = [*map(_box, elements), *map(_corners, ways)]
    if not boxes:
        return QRectF()
    lefts, tops, rights, bottoms = zip(*boxes, strict=True)
    left, top = min(lefts), min(tops)
    return QRectF(left, top, max(rights) - left, max(bottoms) - top)


def _box(element: Element) -> tuple[float, float, float, float]:
    """Give left, top, right and bottom of what is painted of an element."""
    match element:
        case Text():
            left, width = _span(element)
            base, height = element.y * SCALE, element.height_mm * SCALE
            return left, base - height * 1.15, left + width, base + height * 0.35
        case Arc():
            reach = (element.radius + element.width_mm) * SCALE
            return _corners(((element.cx, element.cy),), reach)
        case Polyline():
            return _corners(element.points, element.width_mm * SCALE / 2 + 0.5)
        case Fill():
            return _corners(element.points)


def _corners(points: Way, reach: float = 0.0) -> tuple[float, float, float, float]:
    xs, ys = zip(*points, strict=True)
    return (
        min(xs) * SCALE - reach,
        min(ys) * SCALE - reach,
        max(xs) * SCALE + reach,
        max(ys) * SCALE + reach,
    )


def polygon(points: Iterable[tuple[float, float]]) -> QPolygonF:
    """Give points in millimetres as a polygon of the scene."""
    return QPolygonF([QPointF(x * SCALE, y * SCALE) for x, y in points])


def _add_polyline(paths: dict[Ink, QPainterPath], line: Polyline) -> None:
    points = line.points + line.points[:1] if line.closed else line.points
    square = all(a[0] == b[0] or a[1] == b[1] for a, b in pairwise(points))
    ink = Ink(line.layer, line.width_mm * SCALE, tuple(d * SCALE for d in line.dash), square)
    paths[ink].addPolygon(polygon(points))


def _add_arc(paths: dict[Ink, QPainterPath], arc: Arc) -> None:
    ink = Ink(arc.layer, arc.width_mm * SCALE, (), square=False)
    radius = arc.radius * SCALE
    box = QRectF(arc.cx * SCALE - radius, arc.cy * SCALE - radius, 2 * radius, 2 * radius)
    path = paths[ink]
    # Qt counts angles against the clock
    path.arcMoveTo(box, -arc.start_deg)
    path.arcTo(box, -arc.start_deg, -arc.sweep_deg)


@cache
def _face(*, bold: bool) -> tuple[str, str]:
    """Give family and style of the sheets' own face.

    Without its style, a wider face of the same family would be taken where the system has one.
    """
    data = QByteArray(font_bytes(bold))
    number = QFontDatabase.addApplicationFontFromData(data)
    family = QFontDatabase.applicationFontFamilies(number)[0]
    return family, QRawFont(data, 10).styleName()


@lru_cache(maxsize=20_000)
def _glyphs(text: str, em: int, bold: bool) -> tuple[tuple[QGlyphRun, ...], float]:
    """Lay a text out: its glyph runs, and how far the base line is below their origin."""
    family, style = _face(bold=bold)
    font = QFont(family)
    font.setStyleName(style)
    font.setBold(bold)
    font.setPixelSize(em)
    font.setKerning(False)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    layout = QTextLayout(text, font)
    layout.beginLayout()
    line = layout.createLine()
    layout.endLayout()
    return tuple(layout.glyphRuns()), line.ascent()


def _line(text: Text) -> Line:
    em = max(round(text.height_mm * SCALE / CAPITALS), 1)
    left, width = _span(text)
    base = text.y * SCALE
    height = text.height_mm * SCALE
    box = QRectF(left, base - height * 1.15, width, height * 1.5)
    return Line(text.text, QPointF(left, base), text.bold, text.layer, em, text.field, box)


def _span(text: Text) -> tuple[float, float]:
    """Give where a line of text begins and how wide it is."""
    width = text_width_mm(text.text, text.height_mm, text.bold) * SCALE
    return text.x * SCALE - {"start": 0.0, "middle": width / 2, "end": width}[text.anchor], width


def paint(
    painter: QPainter,
    sketch: Sketch,
    colours: Look,
    px_per_unit: float,
    ink: QColor | None = None,
    *,
    whole: bool = False,
) -> None:
    """Draw a sketch; words too small to be read are left out. `ink` overrules all colours.

    `whole` leaves nothing out at any scale, as a sheet of paper shows it.
    """
    paint_fills(painter, sketch.fills, colours, ink)
    paint_strokes(painter, sketch.strokes, colours, px_per_unit, ink)
    least_px = 0.0 if whole else _LEAST_TEXT_PX
    paint_words(painter, sketch.lines, colours, px_per_unit, ink, least_px=least_px)


def paint_fills(
    painter: QPainter,
    fills: Iterable[tuple[QPainterPath, str, float]],
    colours: Look,
    ink: QColor | None = None,
) -> None:
    """Fill areas, each with its layer's colour as pale as its shade says."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for path, layer, shade in fills:
        painter.fillPath(path, _shaded(ink or colours.layers[layer], colours.paper, shade))


def paint_strokes(
    painter: QPainter,
    strokes: Iterable[tuple[Ink, QPainterPath]],
    colours: Look,
    px_per_unit: float,
    ink: QColor | None = None,
    *,
    smooth: bool = True,
) -> None:
    """Draw lines and curves, smooth where they are neither upright nor level."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    dots = painter.device().devicePixelRatio()
    for style, path in strokes:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=smooth and not style.square)
        painter.setPen(_pen(style, ink or colours.layers[style.layer], px_per_unit, dots))
        painter.drawPath(path)


def paint_words(
    painter: QPainter,
    lines: Iterable[Line],
    colours: Look,
    px_per_unit: float,
    ink: QColor | None = None,
    *,
    least_px: float = _LEAST_TEXT_PX,
) -> None:
    """Write the lines that are at least so many pixels high."""
    for line in lines:
        if line.em * px_per_unit >= least_px:
            painter.setPen(ink or colours.layers[line.layer])
            runs, origin = line.glyphs
            for run in runs:
                painter.drawGlyphRun(origin, run)


def _pen(style: Ink, colour: QColor, px_per_unit: float, dots: float) -> QPen:
    """Whole dots for upright and level strokes, so that equal lines look equal; else as it is.

    A cosmetic pen counts in dots of the screen, of which a logical pixel may have several.
    """
    exact = style.width * px_per_unit * dots
    width_px = max(math.floor(exact + 0.5), math.floor(dots)) if style.square else max(exact, dots)
    pen = QPen(colour, width_px)
    pen.setCosmetic(True)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap if style.dash else Qt.PenCapStyle.SquareCap)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    if style.dash:
        pen.setDashPattern([max(d * px_per_unit * dots / width_px, 0.1) for d in style.dash])
    return pen


def _shaded(colour: QColor, paper: QColor, shade: float) -> QColor:
    red, green, blue = (
        ink() * (1 - shade) + ground() * shade
        for ink, ground in (
            (colour.redF, paper.redF),
            (colour.greenF, paper.greenF),
            (colour.blueF, paper.blueF),
        )
    )
    return QColor.fromRgbF(red, green, blue)
