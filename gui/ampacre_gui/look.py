"""Colours of the drawing and of findings, for a light and a dark desktop.

Findings use the colours of Okabe and Ito ("Color Universal Design", 2008), which people with a
colour deficiency can tell apart; each has a shape of its own as well (see `flags`).
"""

from typing import NamedTuple, get_args

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QGuiApplication, QPalette

from ampacre.picture.inks import ink
from ampacre.picture.primitives import Layer

__all__ = ["DARK", "LIGHT", "PAPER", "Look", "look"]


class Look(NamedTuple):
    """One set of colours. `layers` are those of a picture; `mark` those of findings by severity.

    `quiet`, `link` and the layer of flags can be read as text on every ground that a window has.
    """

    paper: QColor
    backdrop: QColor
    layers: dict[str, QColor]
    mark: dict[str, QColor]
    on_mark: dict[str, QColor]
    select: QColor
    hover: QColor
    target: QColor
    quiet: QColor
    link: QColor


def _colours(**names: str) -> dict[str, QColor]:
    return {name: QColor(value) for name, value in names.items()}


LIGHT = Look(
    paper=QColor("#fdfcf9"),
    backdrop=QColor("#f3f1ec"),
    layers=_colours(
        new="#14385c", existing="#2b2b2b", bus="#1d1d1d", symbol="#1d1d1d", enclosure="#716c62",
        text="#1d1d1d", note="#5d5a54", flag="#b34700", frame="#716c62",
    ),
    mark=_colours(
        violation="#d55e00", warning="#e69f00", ask="#a45883", advice="#0072b2", missing="#6b675f", fine="#00805d",
        accepted="#77736b",
    ),
    on_mark=_colours(
        violation="#ffffff", warning="#1d1d1d", ask="#ffffff", advice="#ffffff", missing="#ffffff", fine="#ffffff",
        accepted="#ffffff",
    ),
    select=QColor("#0072b2"),
    hover=QColor("#8fb9d6"),
    target=QColor("#009e73"),
    quiet=QColor("#6b675f"),
    link=QColor("#004f9e"),
)  # fmt: skip

DARK = Look(
    paper=QColor("#22252a"),
    backdrop=QColor("#1b1d21"),
    layers=_colours(
        new="#9cc9ee", existing="#d5d3ce", bus="#eceae5", symbol="#e4e2dd", enclosure="#8d9097",
        text="#eceae5", note="#a9a8a4", flag="#ff9c57", frame="#8d9097",
    ),
    mark=_colours(
        violation="#ff8040", warning="#f0c04a", ask="#d79bbd", advice="#56b4e9", missing="#a3a09a", fine="#3fc79f",
        accepted="#9a978f",
    ),
    on_mark=_colours(
        violation="#1b1d21", warning="#1b1d21", ask="#1b1d21", advice="#1b1d21", missing="#1b1d21",
        fine="#1b1d21", accepted="#1b1d21",
    ),
    select=QColor("#56b4e9"),
    hover=QColor("#3f6f92"),
    target=QColor("#3fc79f"),
    quiet=QColor("#a3a09a"),
    link=QColor("#8cc8f0"),
)  # fmt: skip


PAPER = LIGHT._replace(
    paper=QColor("#ffffff"), layers={layer: QColor(ink(layer)) for layer in get_args(Layer)}
)
"""What a sheet looks like in print, whatever the desktop's scheme."""


def look() -> Look:
    """Give the colours that suit the desktop's present scheme."""
    scheme = QGuiApplication.styleHints().colorScheme()
    if scheme == Qt.ColorScheme.Unknown:
        window = QGuiApplication.palette().color(QPalette.ColorRole.Window)
        return DARK if window.lightness() < 128 else LIGHT
    return DARK if scheme == Qt.ColorScheme.Dark else LIGHT
