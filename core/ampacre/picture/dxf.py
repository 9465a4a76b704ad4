"""Writes pictures to a DXF file (AutoCAD release 2010 format): a layout for each, text as text.

All sheets stand in model space one below the other, in millimetres, with y upward; each also has
a layout of its own size that shows it at full scale.
"""

import io
import os
from collections.abc import Callable, Sequence
from pathlib import Path

from ezdxf.document import Drawing
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new
from ezdxf.layouts.layout import Modelspace

from ampacre.picture.primitives import Arc, Element, Fill, Picture, Polyline, Text

__all__ = ["write_dxf"]

_GAP = 50.0
_LAYERS = {
    "new": ("E-NEWW", 7, 60, "New runs"),
    "existing": ("E-EXST", 7, 30, "Existing runs"),
    "bus": ("E-BUSS", 7, 100, "Buses"),
    "symbol": ("E-SYMB", 7, 30, "Symbols and figures"),
    "enclosure": ("E-ENCL", 8, 35, "Enclosures and structures"),
    "text": ("E-TEXT", 7, 25, "Labels and tables"),
    "note": ("E-NOTE", 8, 25, "Notes"),
    "flag": ("E-REVS", 30, 30, "Marks of revisions"),
    "frame": ("E-TTLB", 7, 50, "Title block and rules of tables"),
}
"""Name, colour number, line weight [1/100 mm] and description of each layer."""

_WEIGHTS = (0, 5, 9, 13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70, 80, 90, 100, 106, 120, 140)
"""Line weights that the format knows, up to the heaviest pen [1/100 mm]."""

_STYLE, _BOLD_STYLE = "SHEET", "SHEET-BOLD"
_ALIGN = {
    "start": TextEntityAlignment.LEFT,
    "middle": TextEntityAlignment.CENTER,
    "end": TextEntityAlignment.RIGHT,
}
_LONGEST_NAME = 120


def write_dxf(
    pages: Sequence[tuple[str, Picture]],
    path: Path,
    progress: Callable[[int, int], None] | None = None,
) -> None:
    """Write titled pictures to a file, replaced in one step. Raises OSError if it can't be.

    `progress` is told how many pictures are drawn, and of how many; what it raises stops the work.
    """
    document = new("R2010", units=4)
    _prepare(document)
    space = document.modelspace()
    top = 0.0
    for number, (title, picture) in enumerate(pages, 1):
        for element in picture.elements:
            _draw(space, element, top)
        _layout(document, title, picture, top)
        top -= picture.height_mm + _GAP
        if progress:
            progress(number, len(pages))
    document.layouts.delete("Layout1")
    text = io.StringIO()
    document.write(text)
    unfinished = path.with_name(f"{path.name}.part")
    try:
        unfinished.write_text(text.getvalue(), encoding="utf-8", errors="replace")
        os.replace(unfinished, path)  # noqa: PTH105 - one step on every system
    finally:
        unfinished.unlink(missing_ok=True)


def _prepare(document: Drawing) -> None:
    for name, colour, weight, said in _LAYERS.values():
        document.layers.add(name, color=colour, lineweight=weight).description = said
    document.styles.add(_STYLE, font="DejaVuSansCondensed.ttf")
    document.styles.add(_BOLD_STYLE, font="DejaVuSansCondensed-Bold.ttf")


def _line_type(document: Drawing, dash: tuple[float, ...]) -> str:
    name = "DASH" + "_".join(f"{round(10 * part)}" for part in dash)
    if name not in document.linetypes:
        pattern = [part if place % 2 == 0 else -part for place, part in enumerate(dash)]
        document.linetypes.add(name, [sum(dash), *pattern])
    return name


def _layout(document: Drawing, title: str, picture: Picture, top: float) -> None:
    name = _layout_name(document, title)
    layout = document.layouts.new(name)
    width, height = picture.width_mm, picture.height_mm
    layout.page_setup(size=(width, height), margins=(0, 0, 0, 0), units="mm")
    layout.add_viewport(
        center=(width / 2, height / 2),
        size=(width, height),
        view_center_point=(width / 2, top - height / 2),
        view_height=height,
    )


def _layout_name(document: Drawing, title: str) -> str:
    kept = "".join(" " if c in '<>/\\":;?*|=,`' or c < " " else c for c in title)
    kept = " ".join(kept.split())[:_LONGEST_NAME]
    name, count = kept, 1
    while name in document.layouts:
        count += 1
        name = f"{kept} {count}"
    return name


def _draw(space: Modelspace, element: Element, top: float) -> None:
    layer = {"layer": _LAYERS[element.layer][0]}
    match element:
        case Polyline():
            look = {**layer, "lineweight": _weight(element.width_mm)}
            if element.dash:
                assert space.doc is not None
                look["linetype"] = _line_type(space.doc, element.dash)
            points = [(x, top - y) for x, y in element.points]
            space.add_lwpolyline(points, close=element.closed, dxfattribs=look)
        case Arc():
            _draw_arc(space, element, top, {**layer, "lineweight": _weight(element.width_mm)})
        case Fill():
            hatch = space.add_hatch(dxfattribs=layer)
            grey = round(255 * element.shade)
            hatch.rgb = (grey, grey, grey)
            hatch.paths.add_polyline_path([(x, top - y) for x, y in element.points], is_closed=True)
        case Text():
            _draw_text(space, element, top, layer)


def _draw_arc(space: Modelspace, arc: Arc, top: float, look: dict[str, object]) -> None:
    centre = (arc.cx, top - arc.cy)
    if abs(arc.sweep_deg) >= 360:
        space.add_circle(centre, arc.radius, dxfattribs=look)
        return
    # a picture counts angles clockwise, a DXF file the other way round
    start, end = -arc.start_deg, -(arc.start_deg + arc.sweep_deg)
    if arc.sweep_deg > 0:
        start, end = end, start
    space.add_arc(centre, arc.radius, start, end, dxfattribs=look)


def _draw_text(space: Modelspace, text: Text, top: float, look: dict[str, str]) -> None:
    words = "".join(c if c >= " " else "\ufffd" for c in text.text)
    if not words.strip():
        return
    style = _BOLD_STYLE if text.bold else _STYLE
    # a caret or a double per cent sign would be read as a code
    words = words.replace("^", "^ ").replace("%%", "%%37%%37")
    entity = space.add_text(words, height=text.height_mm, dxfattribs={**look, "style": style})
    entity.set_placement((text.x, top - text.y), align=_ALIGN[text.anchor])


def _weight(width_mm: float) -> int:
    wanted = 100 * width_mm
    return min(_WEIGHTS, key=lambda weight: abs(weight - wanted))
