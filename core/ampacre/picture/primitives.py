"""A picture: lines, arcs, fills and text in millimetres on named layers.

x grows to the right and y downward, as on a sheet read from its top left corner. Writers for PDF,
DXF, SVG and the canvas draw the same picture; none of them decides anything about it.
"""

from typing import Literal

from msgspec import Struct

__all__ = ["Arc", "Element", "Fill", "Layer", "Picture", "Polyline", "Text"]

Layer = Literal["new", "existing", "bus", "symbol", "enclosure", "text", "note", "flag", "frame"]


class Polyline(Struct, frozen=True, tag=True, gc=False):
    """Straight strokes through `points`; `width_mm` is the pen, `dash` an on-off pattern in mm."""

    points: tuple[tuple[float, float], ...]
    layer: Layer = "symbol"
    width_mm: float = 0.35
    dash: tuple[float, ...] = ()
    closed: bool = False
    owner: str = ""


class Arc(Struct, frozen=True, tag=True, gc=False):
    """A circular arc from `start_deg` through `sweep_deg`, clockwise as seen on the sheet."""

    cx: float
    cy: float
    radius: float
    start_deg: float = 0.0
    sweep_deg: float = 360.0
    layer: Layer = "symbol"
    width_mm: float = 0.35
    owner: str = ""


class Fill(Struct, frozen=True, tag=True, gc=False):
    """A filled polygon; `shade` runs from 0 (black) to 1 (paper)."""

    points: tuple[tuple[float, float], ...]
    layer: Layer = "symbol"
    shade: float = 0.0
    owner: str = ""


class Text(Struct, frozen=True, tag=True, gc=False):
    """One line of text. `height_mm` is the height of its capitals; (x, y) is its base line.

    `anchor` says which point of the text stands at x. `field` names the number a text shows
    ("calculated", "fault" ...), so that the screen can lead to its working.
    """

    x: float
    y: float
    text: str
    height_mm: float = 3.2
    anchor: Literal["start", "middle", "end"] = "start"
    bold: bool = False
    layer: Layer = "text"
    owner: str = ""
    field: str = ""


Element = Polyline | Arc | Fill | Text


class Picture(Struct, frozen=True):
    """Elements in drawing order, and the size of what they fill [mm].

    `owner` of an element is the id of the piece or run it belongs to, or "".
    """

    elements: tuple[Element, ...]
    width_mm: float
    height_mm: float
