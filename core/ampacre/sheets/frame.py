"""The sheet around a drawing: border, title block, cautions, and room for seal and stamp.

ANSI B, 17 x 11 in, landscape (ASME Y14.1), bound at the left, the title block at the right edge.
The room for a seal stays empty: nothing here prints a seal or a licence number.
"""

from typing import NamedTuple

from msgspec.structs import replace

from ampacre.model import records as r
from ampacre.picture.lettering import shorten, wrap
from ampacre.picture.primitives import Arc, Element, Picture, Polyline, Text
from ampacre.sheets.pen import CAPITALS_MM

__all__ = ["AREA_HEIGHT", "AREA_WIDTH", "CAUTIONS", "Heading", "framed", "moved"]

SHEET_WIDTH, SHEET_HEIGHT = 431.8, 279.4
BINDING, MARGIN, BLOCK, INSIDE = 20.0, 10.0, 80.0, 3.0

AREA_WIDTH = SHEET_WIDTH - BINDING - MARGIN - BLOCK - 2 * INSIDE
AREA_HEIGHT = SHEET_HEIGHT - 2 * MARGIN - 2 * INSIDE
"""The drawing area [mm]."""

CAUTIONS = (
    "A design aid for people who know the trade.",
    "Local amendments and the authority having jurisdiction decide.",
    "A licensed person's review may be required by law.",
    "Nothing here makes energised work safe.",
    "Utility-side work is the utility's.",
)
"""What every sheet states."""

_PITCH = 4.7
_BORDER_MM, _LINE_MM = 0.7, 0.35
_SEAL, _STAMP, _FOOT = 64.0, 64.0, 32.0


class Heading(NamedTuple):
    """What the title block says of one sheet besides the project's own data."""

    number: str
    title: str
    date: str
    place: str = ""


def framed(
    elements: list[Element],
    settings: r.Settings,
    heading: Heading,
    width: float = AREA_WIDTH,
    height: float = AREA_HEIGHT,
) -> Picture:
    """Put a drawing, given from the corner of its area, into the frame of a sheet.

    A drawing area larger than that of ANSI B gives a sheet that is larger by as much.
    """
    wide = SHEET_WIDTH + width - AREA_WIDTH
    high = SHEET_HEIGHT + height - AREA_HEIGHT
    out: list[Element] = [moved(element, BINDING + INSIDE, MARGIN + INSIDE) for element in elements]
    right, bottom = wide - MARGIN, high - MARGIN
    left = right - BLOCK
    _box(out, BINDING, MARGIN, right, bottom, _BORDER_MM)
    _box(out, left, MARGIN, right, bottom, _BORDER_MM)
    _title_block(out, settings, heading, left, bottom)
    return Picture(tuple(out), wide, high)


def moved(element: Element, dx: float, dy: float) -> Element:
    """Give an element at another place."""
    if isinstance(element, Text):
        return replace(element, x=element.x + dx, y=element.y + dy)
    if isinstance(element, Arc):
        return replace(element, cx=element.cx + dx, cy=element.cy + dy)
    return replace(element, points=tuple((x + dx, y + dy) for x, y in element.points))


def _box(
    out: list[Element], left: float, top: float, right: float, bottom: float, width_mm: float
) -> None:
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    out.append(Polyline(corners, "frame", width_mm, (), True))


def _title_block(
    out: list[Element], settings: r.Settings, heading: Heading, left: float, bottom: float
) -> None:
    """Fill the block: seal and stamp above, then the project, the cautions, and the sheet."""
    right = left + BLOCK
    x, width = left + 2.5, BLOCK - 5.0
    seal, stamp = MARGIN + _SEAL, MARGIN + _SEAL + _STAMP
    foot = bottom - _FOOT
    for y in (seal, stamp, foot):
        _rule(out, left, right, y)
    _line(out, x, MARGIN + 5.5, "Seal and signature, if required")
    _line(out, x, seal + 5.5, "Approval stamp")

    y = stamp + 7.0
    for line in wrap(settings.name, width, 4.5, bold=True)[:2]:
        _line(out, x, y, shorten(line, width, 4.5, bold=True), 4.5, bold=True)
        y += 6.2
    for line in wrap(settings.address, width, CAPITALS_MM)[:2]:
        _line(out, x, y, line)
        y += _PITCH
    for label, value in (
        ("Owner", settings.owner),
        ("Prepared by", settings.prepared_by),
        ("Authority", settings.jurisdiction),
        ("Utility", settings.utility),
        ("Code", f"NEC {settings.edition}, local amendments"),
        ("Scale", "not to scale"),
    ):
        _line(out, x, y, shorten(f"{label}: {value or 'not entered'}", width, CAPITALS_MM))
        y += _PITCH
    lines = wrap(" ".join(CAUTIONS), width, CAPITALS_MM)
    y = foot - 2.5 - _PITCH * (len(lines) - 1)
    _rule(out, left, right, y - 5.5)
    for line in lines:
        _line(out, x, y, line)
        y += _PITCH

    y = foot + 6.5
    for line in wrap(heading.title, width, CAPITALS_MM, bold=True)[:2]:
        _line(out, x, y, line, bold=True)
        y += _PITCH
    _line(out, x, bottom - 3.5, heading.number, 8.0, bold=True)
    _line(out, right - 2.5, bottom - 3.5 - _PITCH, heading.place, end=True)
    _line(out, right - 2.5, bottom - 3.5, heading.date, end=True)


def _rule(out: list[Element], left: float, right: float, y: float) -> None:
    out.append(Polyline(((left, y), (right, y)), "frame", _LINE_MM))


def _line(
    out: list[Element],
    x: float,
    y: float,
    text: str,
    height_mm: float = CAPITALS_MM,
    *,
    bold: bool = False,
    end: bool = False,
) -> None:
    if text:
        out.append(Text(x, y, text, height_mm, "end" if end else "start", bold, "frame"))
