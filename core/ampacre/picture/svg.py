"""Writes a picture as SVG: text as text, groups for layers, millimetres as user units."""

import math
from itertools import groupby
from xml.sax.saxutils import escape, quoteattr

from ampacre.picture.inks import ink
from ampacre.picture.lettering import CAPITALS, text_width_mm
from ampacre.picture.primitives import Arc, Element, Fill, Picture, Polyline, Text

__all__ = ["svg_text"]

_ANCHORS = {"start": "start", "middle": "middle", "end": "end"}


def svg_text(picture: Picture, title: str) -> str:
    """Give the file's text; elements of one layer that follow one another make a group."""
    width, height = _mm(picture.width_mm), _mm(picture.height_mm)
    parts = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
            f'viewBox="0 0 {width} {height}">'
        ),
        f"<title>{_words(title)}</title>",
        f'<rect width="{width}" height="{height}" fill="#ffffff"/>',
    ]
    for layer, elements in groupby(picture.elements, key=lambda element: element.layer):
        colour = ink(layer)
        parts.append(
            f'<g class="{layer}" stroke="{colour}" fill="none" stroke-linecap="round" '
            'stroke-linejoin="round">'
        )
        parts += (_element(element, colour) for element in elements)
        parts.append("</g>")
    return "\n".join([*parts, "</svg>", ""])


def _element(element: Element, colour: str) -> str:
    match element:
        case Polyline():
            name = "polygon" if element.closed else "polyline"
            dash = " ".join(map(_mm, element.dash))
            dashed = f' stroke-dasharray="{dash}"' if dash else ""
            return (
                f'<{name} points="{_points(element.points)}" '
                f'stroke-width="{_mm(element.width_mm)}"{dashed}/>'
            )
        case Arc():
            return _arc(element)
        case Fill():
            grey = _shade(colour, element.shade)
            return f'<polygon points="{_points(element.points)}" fill="{grey}" stroke="none"/>'
        case Text():
            return _text(element, colour)


def _arc(arc: Arc) -> str:
    pen = f'stroke-width="{_mm(arc.width_mm)}"'
    if abs(arc.sweep_deg) >= 360:
        return f'<circle cx="{_mm(arc.cx)}" cy="{_mm(arc.cy)}" r="{_mm(arc.radius)}" {pen}/>'

    def at(degrees: float) -> str:
        turn = math.radians(degrees)
        return f"{_mm(arc.cx + arc.radius * math.cos(turn))} {_mm(arc.cy + arc.radius * math.sin(turn))}"

    large, clockwise = int(abs(arc.sweep_deg) > 180), int(arc.sweep_deg > 0)
    radius = _mm(arc.radius)
    start, end = at(arc.start_deg), at(arc.start_deg + arc.sweep_deg)
    return f'<path d="M {start} A {radius} {radius} 0 {large} {clockwise} {end}" {pen}/>'


def _text(text: Text, colour: str) -> str:
    weight = ' font-weight="bold"' if text.bold else ""
    # the length is told, so that another font takes no more room than the sheets' own
    length = text_width_mm(text.text, text.height_mm, text.bold)
    family = quoteattr("DejaVu Sans Condensed, sans-serif")
    return (
        f'<text x="{_mm(text.x)}" y="{_mm(text.y)}" font-size="{_mm(text.height_mm / CAPITALS)}" '
        f'font-family={family} text-anchor="{_ANCHORS[text.anchor]}"{weight} '
        f'textLength="{_mm(length)}" lengthAdjust="spacingAndGlyphs" xml:space="preserve" '
        f'fill="{colour}" stroke="none">{_words(text.text)}</text>'
    )


def _words(text: str) -> str:
    """Give text as XML has it; what XML cannot hold becomes a replacement sign."""
    kept = "".join(c if c >= " " and c not in "\ufffe\uffff" else "\ufffd" for c in text)
    return escape(kept)


def _points(points: tuple[tuple[float, float], ...]) -> str:
    return " ".join(f"{_mm(x)},{_mm(y)}" for x, y in points)


def _shade(colour: str, shade: float) -> str:
    parts = (int(colour[at : at + 2], 16) for at in (1, 3, 5))
    return "#" + "".join(f"{round(part + (255 - part) * shade):02x}" for part in parts)


def _mm(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")
