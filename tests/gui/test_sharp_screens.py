"""Screens of which a logical pixel has several dots: lines keep their thickness there."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QImage, QPainter

from ampacre.picture.primitives import Polyline
from ampacre_gui.canvas.painter import SCALE, Sketch, paint
from ampacre_gui.look import LIGHT


def thickness_dots(dots, px_per_unit, points, width_mm):
    """Paint one line on a screen with so many dots to a pixel; count the dots across it."""
    side = round(100 * dots)
    image = QImage(side, side, QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(dots)
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    painter.scale(px_per_unit, px_per_unit)
    line = Polyline(points, width_mm=width_mm)
    paint(painter, Sketch([line]), LIGHT, px_per_unit, QColor("black"), whole=True)
    painter.end()
    ink = sum(255 - image.pixelColor(side // 2, y).lightness() for y in range(side))
    return ink / 255


LEVEL = ((0, 50 / SCALE), (100 / SCALE, 50 / SCALE))
SLANTED = ((0, 45 / SCALE), (100 / SCALE, 55 / SCALE))


@pytest.mark.parametrize("points", [LEVEL, SLANTED])
@pytest.mark.parametrize("width_mm", [0.05, 0.3, 0.7])
@pytest.mark.parametrize("dots", [2, 3])
def test_a_line_is_as_thick_in_pixels_as_on_any_screen(qapp, points, width_mm, dots):
    plain = thickness_dots(1, 1.0, points, width_mm)
    fine = thickness_dots(dots, 1.0, points, width_mm)
    # whole dots: half a pixel more or less
    assert fine / dots == pytest.approx(plain, abs=0.55)
    assert fine >= dots * 0.95
