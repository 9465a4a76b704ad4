"""The marks of findings: each severity has a shape and a colour, so that either alone tells it.

The shapes are those of the sheets: triangle, diamond, square, circle.
"""

import math
from functools import cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QIcon, QPainter, QPainterPath, QPen, QPixmap, QPolygonF

from ampacre.rules.review import SEVERITIES
from ampacre_gui.look import LIGHT, look

__all__ = ["draw_flag", "flag_icon", "flag_picture", "worst"]

_SIGNS = {
    "violation": "!", "warning": "!", "ask": "?", "advice": "i", "missing": "?", "fine": "\u2713",
    "accepted": "\u2013",
}  # fmt: skip


def worst(severities: set[str]) -> str:
    """Give the gravest of some severities, "" where there is none."""
    return next((severity for severity in SEVERITIES if severity in severities), "")


def _polygon(corners: int, first_deg: float, size: float) -> QPainterPath:
    path = QPainterPath()
    points = [
        QPointF(
            size / 2 * math.cos(math.radians(first_deg + 360 / corners * k)),
            size / 2 * math.sin(math.radians(first_deg + 360 / corners * k)),
        )
        for k in range(corners)
    ]
    path.addPolygon(QPolygonF([*points, points[0]]))
    return path


def _shape(mark: str, size: float) -> QPainterPath:
    if mark == "violation":
        return _polygon(3, -90, size * 1.24).translated(0, size * 0.13)
    if mark == "warning":
        return _polygon(4, -90, size * 1.14)
    path = QPainterPath()
    if mark == "ask":
        side = size * 0.98
        path.addRoundedRect(QRectF(-side / 2, -side / 2, side, side), size / 8, size / 8)
    elif mark in ("accepted", "missing"):
        path.addRoundedRect(QRectF(-size / 2, -size / 3, size, size / 1.5), size / 3, size / 3)
    else:
        path.addEllipse(QPointF(), size / 2, size / 2)
    return path


def draw_flag(painter: QPainter, centre: QPointF, size: float, mark: str) -> None:
    """Draw the mark of a severity, or of "missing", "fine" or "accepted", about a point."""
    colours = look()
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(centre)
    # the edge holds the shape against the paper where its colour alone is too pale
    edge = colours.mark[mark].darker(150) if colours is LIGHT else colours.paper
    painter.setPen(QPen(edge, size / 14))
    painter.setBrush(colours.mark[mark])
    painter.drawPath(_shape(mark, size))
    _draw_sign(painter, size, mark, colours.on_mark[mark])
    painter.restore()


def _draw_sign(painter: QPainter, size: float, mark: str, colour: QColor) -> None:
    font = QFont(painter.font())
    font.setPixelSize(max(int(size * (0.62 if mark == "violation" else 0.7)), 1))
    font.setBold(True)
    painter.setFont(font)
    painter.setPen(colour)
    down = size * (0.16 if mark == "violation" else 0.0)
    box = QRectF(-size, -size + down, 2 * size, 2 * size)
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, _SIGNS[mark])


def flag_picture(mark: str, size_px: int, ratio: float) -> QPixmap:
    """Give the mark as a picture that is drawn many times, for a screen's ratio of pixels."""
    return _flag_picture(mark, size_px, ratio, look() is LIGHT)


@cache
def _flag_picture(mark: str, size_px: int, ratio: float, _light: bool) -> QPixmap:
    side = math.ceil(size_px * 1.5)
    picture = QPixmap(math.ceil(side * ratio), math.ceil(side * ratio))
    picture.setDevicePixelRatio(ratio)
    picture.fill(Qt.GlobalColor.transparent)
    painter = QPainter(picture)
    draw_flag(painter, QPointF(side / 2, side / 2), size_px, mark)
    painter.end()
    return picture


def flag_icon(mark: str, size: int = 16) -> QIcon:
    """Give the mark as an icon, sharp at once and twice its size."""
    return _flag_icon(mark, size, look() is LIGHT)


@cache
def _flag_icon(mark: str, size: int, _light: bool) -> QIcon:
    icon = QIcon()
    for ratio in (1, 2):
        picture = QPixmap(size * ratio, size * ratio)
        picture.setDevicePixelRatio(ratio)
        picture.fill(Qt.GlobalColor.transparent)
        painter = QPainter(picture)
        draw_flag(painter, QPointF(size / 2, size / 2), size * 0.8, mark)
        painter.end()
        for mode in (QIcon.Mode.Normal, QIcon.Mode.Selected):
            icon.addPixmap(picture, mode)
    return icon
