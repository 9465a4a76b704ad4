"""Icons: kinds of equipment by their symbols on the drawing, commands by small line drawings."""

from functools import cache
from importlib import resources

from PySide6.QtCore import QByteArray, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPalette, QPixmap
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QApplication

from ampacre.model.words import KINDS
from ampacre.picture.primitives import Element
from ampacre.sheets.pen import Pen
from ampacre.sheets.symbols import SYMBOLS, symbol_of
from ampacre_gui.canvas.painter import SCALE, Sketch, paint
from ampacre_gui.look import look

__all__ = ["command_icon", "kind_icon", "program_icon", "symbol_sketch"]

_DRAWN_IN = "#1d1d1d"


@cache
def symbol_sketch(kind: str) -> Sketch:
    """Give the symbol of a kind of equipment, as the drawing shows a new piece of it."""
    elements: list[Element] = []
    symbol = SYMBOLS[symbol_of(KINDS[kind](id="sample", name=""))]
    symbol.draw(Pen(elements))
    return Sketch(elements)


def kind_icon(kind: str, size: int = 24) -> QIcon:
    """Give the symbol of a kind as an icon in the colours of the desktop."""
    return _kind_icon(kind, size, _text_colour().name())


@cache
def _kind_icon(kind: str, size: int, ink: str) -> QIcon:
    sketch = symbol_sketch(kind)
    bounds = sketch.bounds
    scale = min(
        (size - 1) / max(bounds.width(), 12 * SCALE), (size - 1) / max(bounds.height(), 12 * SCALE)
    )
    icon = QIcon()
    for ratio in (1, 2):
        picture = _blank(size, ratio)
        painter = QPainter(picture)
        painter.translate(QPointF(size / 2, size / 2))
        painter.scale(scale, scale)
        painter.translate(-bounds.center())
        paint(painter, sketch, look(), scale, QColor(ink))
        painter.end()
        for mode in (QIcon.Mode.Normal, QIcon.Mode.Selected):
            icon.addPixmap(picture, mode)
    return icon


def command_icon(name: str, size: int = 20) -> QIcon:
    """Give the line drawing of a command in the colours of the desktop."""
    data = (resources.files("ampacre_resources") / "icons" / f"{name}.svg").read_text("utf-8")
    palette = QApplication.palette()
    icon = QIcon()
    for mode, group in (
        (QIcon.Mode.Normal, QPalette.ColorGroup.Active),
        (QIcon.Mode.Disabled, QPalette.ColorGroup.Disabled),
    ):
        ink = palette.color(group, QPalette.ColorRole.WindowText).name()
        renderer = QSvgRenderer(QByteArray(data.replace(_DRAWN_IN, ink).encode()))
        for ratio in (1, 2):
            picture = _blank(size, ratio)
            painter = QPainter(picture)
            renderer.render(painter, QRectF(0, 0, size, size))
            painter.end()
            icon.addPixmap(picture, mode)
    return icon


def program_icon() -> QIcon:
    """Give the icon of the program's windows."""
    data = (resources.files("ampacre_resources") / "icons" / "ampacre.svg").read_bytes()
    renderer = QSvgRenderer(QByteArray(data))
    icon = QIcon()
    for size in (16, 32, 64, 128):
        picture = _blank(size, 1)
        painter = QPainter(picture)
        renderer.render(painter)
        painter.end()
        icon.addPixmap(picture)
    return icon


def _blank(size: int, ratio: int) -> QPixmap:
    picture = QPixmap(size * ratio, size * ratio)
    picture.setDevicePixelRatio(ratio)
    picture.fill(Qt.GlobalColor.transparent)
    return picture


def _text_colour() -> QColor:
    return QApplication.palette().color(QPalette.ColorRole.WindowText)
