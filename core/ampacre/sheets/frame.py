"""The sheet around a drawing: border, title block, cautions, and room for seal and stamp.

Landscape, bound at the left, the title block at the right edge, on a small sheet along the foot.
The room for a seal stays empty: nothing here prints a seal.
"""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from msgspec.structs import replace

from ampacre.model import records as r
from ampacre.model.amendments import amended
from ampacre.picture.lettering import shorten, wrap
from ampacre.picture.primitives import Arc, Element, Picture, Polyline, Text
from ampacre.sheets.paper import BINDING, BLOCK_WIDTH, INSIDE, MARGIN, STRIP_HEIGHT, Paper
from ampacre.sheets.pen import CAPITALS_MM

__all__ = ["CAUTIONS", "Heading", "framed", "moved", "title_fits"]

CAUTIONS = (
    "A design aid for people who know the trade.",
    "Local amendments and the authority having jurisdiction decide.",
    "A licensed person's review may be required by law.",
    "Nothing here makes energized work safe.",
    "Utility-side work is the utility's.",
)
"""What every sheet states."""

_PITCH = 4.7
_BORDER_MM, _LINE_MM = 0.7, 0.35
_SEAL, _STAMP, _FOOT = 60.0, 50.0, 32.0
_STRIP_DATA, _STRIP_END = 60.0, 58.0
_NAME_LINES, _TITLE_LINES, _STRIP_LINES = 2, 3, 9
_BESIDE_NUMBER = ("Sheet", "Scale")
"""What a strip says beside the sheet's number, and not with the job's data."""


class Heading(NamedTuple):
    """What the title block says of one sheet besides the project's own data."""

    number: str
    title: str
    date: str
    place: str
    revision: str
    violations: str


def framed(
    elements: list[Element],
    settings: r.Settings,
    heading: Heading,
    paper: Paper,
    size: tuple[float, float] | None = None,
) -> Picture:
    """Put a drawing, given from the corner of its area, into the frame of a sheet.

    A drawing of a `size` beyond the paper's area [mm] gives a sheet that is larger by as much.
    """
    width, height = size or (paper.area_width, paper.area_height)
    wide = paper.width + max(0.0, width - paper.area_width)
    high = paper.height + max(0.0, height - paper.area_height)
    out: list[Element] = [moved(element, BINDING + INSIDE, MARGIN + INSIDE) for element in elements]
    right, bottom = wide - MARGIN, high - MARGIN
    _box(out, BINDING, MARGIN, right, bottom, _BORDER_MM)
    if paper.strip:
        top = bottom - STRIP_HEIGHT
        _box(out, BINDING, top, right, bottom, _BORDER_MM)
        _title_strip(out, settings, heading, paper, (BINDING, top, right, bottom))
    else:
        left = right - BLOCK_WIDTH
        _box(out, left, MARGIN, right, bottom, _BORDER_MM)
        _title_block(out, settings, heading, paper, left, bottom)
    return Picture(tuple(out), wide, high)


def title_fits(title: str, paper: Paper) -> bool:
    """Tell whether the title block has room for a sheet's title."""
    return len(_title_lines(title, paper.strip)) <= _TITLE_LINES


def _title_lines(title: str, strip: bool) -> tuple[str, ...]:
    width = _STRIP_END - 4.0 if strip else BLOCK_WIDTH - 5.0
    return wrap(title, width, CAPITALS_MM, bold=True)


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


def _facts(settings: r.Settings, heading: Heading, paper: Paper) -> Iterator[tuple[str, str]]:
    """What the block says of the job, in the order in which it is read."""
    if settings.permit_number:
        yield "Permit", settings.permit_number
    if settings.parcel:
        yield "Parcel", settings.parcel
    yield "Owner", settings.owner or "not entered"
    yield "Prepared by", settings.prepared_by or "not entered"
    if settings.licence:
        yield "License", settings.licence
    yield "Authority", settings.jurisdiction or "not entered"
    yield "Utility", settings.utility or "not entered"
    yield "Code", _code(settings)
    if heading.violations:
        yield "Open", heading.violations
    yield "Sheet", paper.words
    yield "Scale", "not to scale"
    yield "Revision", heading.revision


def _code(settings: r.Settings) -> str:
    changed = settings.local_code or amended(settings)
    return f"NEC {settings.edition}" + (", amended locally" if changed else "")


def _title_block(
    out: list[Element],
    settings: r.Settings,
    heading: Heading,
    paper: Paper,
    left: float,
    bottom: float,
) -> None:
    """Fill the block: seal and stamp above, then the project, the cautions, and the sheet."""
    right = left + BLOCK_WIDTH
    x, width = left + 2.5, BLOCK_WIDTH - 5.0
    seal, stamp = MARGIN + _SEAL, MARGIN + _SEAL + _STAMP
    foot = bottom - _FOOT
    for y in (seal, stamp, foot):
        _rule(out, left, right, y)
    _line(out, x, MARGIN + 5.5, "Seal and signature, if required")
    sealed = f"{settings.engineer or settings.prepared_by}: date"
    _rule(out, x, right - 2.5, seal - 8.0)
    _line(out, x, seal - 2.5, shorten(sealed.removeprefix(": "), width, CAPITALS_MM))
    _line(out, x, seal + 5.5, "Approval stamp")

    y = stamp + 7.0
    for line in _at_most(_NAME_LINES, wrap(settings.name, width, 4.5, bold=True)):
        _line(out, x, y, shorten(line, width, 4.5, bold=True), 4.5, bold=True)
        y += 6.2
    for line in _at_most(_NAME_LINES, wrap(settings.address, width, CAPITALS_MM)):
        _line(out, x, y, shorten(line, width, CAPITALS_MM))
        y += _PITCH
    for label, value in _facts(settings, heading, paper):
        _line(out, x, y, shorten(f"{label}: {value}", width, CAPITALS_MM))
        y += _PITCH
    lines = wrap(" ".join(CAUTIONS), width, CAPITALS_MM)
    y = foot - 2.5 - _PITCH * (len(lines) - 1)
    _rule(out, left, right, y - 5.5)
    for line in lines:
        _line(out, x, y, line)
        y += _PITCH

    y = foot + 6.5
    for line in _title_lines(heading.title, strip=False)[:_TITLE_LINES]:
        _line(out, x, y, line, bold=True)
        y += _PITCH
    _line(out, x, bottom - 3.5, heading.number, 8.0, bold=True)
    _line(out, right - 2.5, bottom - 3.5 - _PITCH, heading.place, end=True)
    _line(out, right - 2.5, bottom - 3.5, heading.date, end=True)


def _title_strip(
    out: list[Element],
    settings: r.Settings,
    heading: Heading,
    paper: Paper,
    box: tuple[float, float, float, float],
) -> None:
    """Fill a strip along the foot: project, data, cautions, sheet; seals stand on the cover."""
    left, top, right, bottom = box
    edges = (left, left + _STRIP_DATA, left + 2 * _STRIP_DATA, right - _STRIP_END, right)
    out += [Polyline(((edge, top), (edge, bottom)), "frame", _LINE_MM) for edge in edges[1:-1]]

    def column(place: int, lines: Iterable[str], y: float = top + 5.5, bold: int = 0) -> None:
        room = edges[place + 1] - edges[place] - 4.0
        for number, line in enumerate(lines):
            heavy = number < bold
            short = shorten(line, room, CAPITALS_MM, bold=heavy)
            _line(out, edges[place] + 2.0, y + number * _PITCH, short, bold=heavy)

    width = _STRIP_DATA - 4.0
    name = _at_most(_NAME_LINES, wrap(settings.name, width, CAPITALS_MM, bold=True))
    address = _at_most(_NAME_LINES, wrap(settings.address, width, CAPITALS_MM))
    facts = dict(_facts(settings, heading, paper))
    small = [f"{label}: {facts.pop(label)}" for label in _BESIDE_NUMBER]
    rest = [f"{label}: {value}" for label, value in facts.items()]
    first = [*name, *address]
    while rest and len(more := wrap(rest[0], width, CAPITALS_MM)) + len(first) <= _STRIP_LINES:
        first += more
        del rest[0]
    column(0, first, bold=len(name))
    column(1, _wrapped_while_room(rest, width))
    column(2, wrap(" ".join(CAUTIONS), edges[3] - edges[2] - 4.0, CAPITALS_MM))
    column(3, _title_lines(heading.title, strip=True)[:_TITLE_LINES], bold=_TITLE_LINES)
    column(3, small, bottom - 3.5 - 3 * _PITCH)
    _line(out, edges[3] + 2.0, bottom - 3.5, heading.number, 6.0, bold=True)
    _line(out, right - 2.0, bottom - 3.5 - _PITCH, heading.place, end=True)
    _line(out, right - 2.0, bottom - 3.5, heading.date, end=True)


def _at_most(count: int, lines: tuple[str, ...]) -> tuple[str, ...]:
    """Put the rest into the last line that there is room for, which is then too long."""
    return lines if len(lines) <= count else (*lines[: count - 1], " ".join(lines[count - 1 :]))


def _wrapped_while_room(lines: list[str], width: float) -> list[str]:
    """Wrap lines that are too long, from the first on, as far as the strip has room."""
    out: list[str] = []
    for number, line in enumerate(lines):
        wrapped = wrap(line, width, CAPITALS_MM)
        left = _STRIP_LINES - len(out) - (len(lines) - number - 1)
        out += wrapped if len(wrapped) <= left else (line,)
    return out


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
