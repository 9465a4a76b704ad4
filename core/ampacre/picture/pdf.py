"""Writes pictures to a PDF file: vector lines, embedded fonts, text that can be searched.

The same pictures give the same bytes.
"""

import io
import os
import re
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path
from typing import BinaryIO, NamedTuple

from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from ampacre.picture.inks import ink
from ampacre.picture.lettering import CAPITALS, font_bytes, known, text_width_mm
from ampacre.picture.primitives import Arc, Fill, Layer, Picture, Polyline, Text

__all__ = ["Info", "Page", "write_pdf"]

_DATE = re.compile(r"\d{4}-\d\d-\d\d")
_PLAIN, _BOLD = "AmpacreSheet", "AmpacreSheet-Bold"

Colour = tuple[float, float, float]


class Page(NamedTuple):
    """One page: a picture of the page's own size, the title that its bookmark shows, its label.

    The label is what a reader calls the page by, such as "E-601"; without one it has its number.
    """

    picture: Picture
    title: str
    label: str = ""


class Info(NamedTuple):
    """Properties of the document; `date` is that of the drawings, such as 2026-03-01."""

    title: str
    author: str = ""
    subject: str = ""
    keywords: tuple[str, ...] = ()
    date: str = ""


@cache
def _colour(layer: Layer) -> Colour:
    red, green, blue = bytes.fromhex(ink(layer)[1:])
    return red / 255, green / 255, blue / 255


@cache
def _register_fonts() -> None:
    for name, bold in ((_PLAIN, False), (_BOLD, True)):
        pdfmetrics.registerFont(TTFont(name, io.BytesIO(font_bytes(bold))))


def write_pdf(
    pages: Sequence[Page],
    target: Path | BinaryIO,
    info: Info,
    progress: Callable[[int, int], None] | None = None,
) -> None:
    """Write pages to a file (replaced in one step, or left alone if writing fails) or a stream.

    `progress` is told how many pages are drawn, and of how many; what it raises stops the work.
    Raises OSError if the file can't be written, ValueError if there are no pages.
    """
    if not pages:
        raise ValueError("a PDF needs at least one page")
    _register_fonts()
    stream = io.BytesIO()
    canvas = Canvas(stream, invariant=1, pageCompression=1, initialFontName=_PLAIN, lang="en-US")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    canvas.setTitle(known(info.title))
    canvas.setAuthor(known(info.author))
    canvas.setSubject(known(info.subject))
    canvas.setKeywords([known(word) for word in info.keywords])
    canvas.setCreator("Ampacre")
    if _DATE.fullmatch(info.date):
        canvas.setDateFormatter(lambda *_: f"D:{info.date.replace('-', '')}")
    for number, page in enumerate(pages, 1):
        picture = page.picture
        canvas.setPageSize((picture.width_mm * mm, picture.height_mm * mm))
        canvas.addPageLabel(number - 1, prefix=known(page.label or str(number)))
        canvas.bookmarkPage(f"page{number}")
        canvas.addOutlineEntry(known(page.title), f"page{number}", level=0)
        _draw(canvas, picture)
        canvas.showPage()
        if progress:
            progress(number, len(pages))
    canvas.showOutline()
    canvas.save()
    if isinstance(target, Path):
        unfinished = target.with_name(f"{target.name}.part")
        try:
            unfinished.write_bytes(stream.getvalue())
            os.replace(unfinished, target)  # noqa: PTH105 - one step on every system
        finally:
            unfinished.unlink(missing_ok=True)
    else:
        target.write(stream.getvalue())


def _draw(canvas: Canvas, picture: Picture) -> None:
    canvas.setLineCap(1)
    canvas.setLineJoin(1)
    height = picture.height_mm
    for element in picture.elements:
        colour = _colour(element.layer)
        match element:
            case Polyline():
                _draw_line(canvas, element, height, colour)
            case Arc():
                _draw_arc(canvas, element, height, colour)
            case Fill():
                _draw_fill(canvas, element, height, colour)
            case Text():
                _draw_text(canvas, element, height, colour)


def _draw_line(canvas: Canvas, line: Polyline, height: float, colour: Colour) -> None:
    canvas.setStrokeColorRGB(*colour)
    canvas.setLineWidth(line.width_mm * mm)
    canvas.setDash([length * mm for length in line.dash])
    path = canvas.beginPath()
    (x, y), *rest = line.points
    path.moveTo(x * mm, (height - y) * mm)
    for x, y in rest:
        path.lineTo(x * mm, (height - y) * mm)
    if line.closed:
        path.close()
    canvas.drawPath(path, stroke=1, fill=0)


def _draw_arc(canvas: Canvas, arc: Arc, height: float, colour: Colour) -> None:
    canvas.setStrokeColorRGB(*colour)
    canvas.setLineWidth(arc.width_mm * mm)
    canvas.setDash()
    x, y, radius = arc.cx * mm, (height - arc.cy) * mm, arc.radius * mm
    if abs(arc.sweep_deg) >= 360:
        canvas.circle(x, y, radius, stroke=1, fill=0)
        return
    # a picture counts angles clockwise with y downward, a PDF the other way round
    path = canvas.beginPath()
    path.arc(
        x - radius,
        y - radius,
        x + radius,
        y + radius,
        startAng=-arc.start_deg,
        extent=-arc.sweep_deg,
    )
    canvas.drawPath(path, stroke=1, fill=0)


def _draw_fill(canvas: Canvas, fill: Fill, height: float, colour: Colour) -> None:
    canvas.setFillColorRGB(*(part + (1 - part) * fill.shade for part in colour))
    path = canvas.beginPath()
    (x, y), *rest = fill.points
    path.moveTo(x * mm, (height - y) * mm)
    for x, y in rest:
        path.lineTo(x * mm, (height - y) * mm)
    path.close()
    canvas.drawPath(path, stroke=0, fill=1)


def _draw_text(canvas: Canvas, text: Text, height: float, colour: Colour) -> None:
    words = known(text.text, text.bold)
    if not words.strip():
        return
    share = {"start": 0.0, "middle": 0.5, "end": 1.0}[text.anchor]
    left = text.x - share * text_width_mm(words, text.height_mm, text.bold)
    canvas.setFillColorRGB(*colour)
    canvas.setFont(_BOLD if text.bold else _PLAIN, text.height_mm / CAPITALS * mm)
    canvas.drawString(left * mm, (height - text.y) * mm, words)
