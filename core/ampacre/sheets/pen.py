"""A pen that draws around a point: what symbols, marks and labels are drawn with."""

import math

from ampacre.picture.primitives import Arc, Element, Fill, Layer, Polyline, Text

__all__ = ["CAPITALS_MM", "LINE_MM", "THICK_MM", "THIN_MM", "Pen"]

CAPITALS_MM = 3.2
"""Height of the capitals of every text on a sheet: 1/8 in, the most that a plan office asks for."""

LINE_MM = 4.8
"""From one base line to the next: half a letter between lines, the least of ASME Y14.2."""

THIN_MM, THICK_MM = 0.3, 0.7
"""Existing and new work: two widths that a coarse print keeps apart (ASME Y14.2: 0.3, 0.6 at least)."""


class Pen:
    """Adds elements to a list, offset to (x, y), in one layer and width, for one owner."""

    __slots__ = ("layer", "out", "owner", "width_mm", "x", "y")

    def __init__(
        self,
        out: list[Element],
        x: float = 0.0,
        y: float = 0.0,
        layer: Layer = "symbol",
        width_mm: float = THIN_MM,
        owner: str = "",
    ) -> None:
        self.out = out
        self.x = x
        self.y = y
        self.layer: Layer = layer
        self.width_mm = width_mm
        self.owner = owner

    def line(self, *points: tuple[float, float], dash: tuple[float, ...] = ()) -> None:
        """Draw straight strokes through the points."""
        self._strokes(points, dash, closed=False)

    def outline(self, *points: tuple[float, float], dash: tuple[float, ...] = ()) -> None:
        """Draw a closed outline."""
        self._strokes(points, dash, closed=True)

    def box(
        self, left: float, top: float, right: float, bottom: float, dash: tuple[float, ...] = ()
    ) -> None:
        """Draw a rectangle."""
        self.outline((left, top), (right, top), (right, bottom), (left, bottom), dash=dash)

    def arc(
        self, cx: float, cy: float, radius: float, start_deg: float = 0.0, sweep_deg: float = 360.0
    ) -> None:
        """Draw an arc, clockwise from the start; a circle without more said."""
        self.out.append(
            Arc(
                self.x + cx,
                self.y + cy,
                radius,
                start_deg,
                sweep_deg,
                self.layer,
                self.width_mm,
                self.owner,
            )
        )

    def fill(self, *points: tuple[float, float], shade: float = 0.0) -> None:
        """Fill a polygon."""
        x, y = self.x, self.y
        moved = tuple((x + px, y + py) for px, py in points)
        self.out.append(Fill(moved, self.layer, shade, self.owner))

    def disc(self, cx: float, cy: float, radius: float, shade: float = 0.0) -> None:
        """Fill a circle, as a polygon of twelve corners."""
        turns = (math.tau * part / 12 for part in range(12))
        self.fill(
            *((cx + radius * math.cos(turn), cy + radius * math.sin(turn)) for turn in turns),
            shade=shade,
        )

    def letters(self, x: float, y: float, text: str, height_mm: float = CAPITALS_MM) -> None:
        """Write a word of a symbol, its base line centred at the point, in the symbol's layer."""
        self.out.append(
            Text(self.x + x, self.y + y, text, height_mm, "middle", False, self.layer, self.owner)
        )

    def note(self, x: float, y: float, text: str) -> None:
        """Write a line that starts at the point, in the pen's own layer."""
        if text:
            self.out.append(
                Text(
                    self.x + x,
                    self.y + y,
                    text,
                    CAPITALS_MM,
                    "start",
                    False,
                    self.layer,
                    self.owner,
                )
            )

    def text(
        self,
        x: float,
        y: float,
        text: str,
        field: str = "",
        *,
        bold: bool = False,
        height_mm: float = CAPITALS_MM,
    ) -> None:
        """Write a line that starts at the point, in the text layer."""
        if text:
            self.out.append(
                Text(
                    self.x + x,
                    self.y + y,
                    text,
                    height_mm,
                    "start",
                    bold,
                    "text",
                    self.owner,
                    field,
                )
            )

    def _strokes(
        self, points: tuple[tuple[float, float], ...], dash: tuple[float, ...], *, closed: bool
    ) -> None:
        x, y = self.x, self.y
        self.out.append(
            Polyline(
                tuple((x + px, y + py) for px, py in points),
                self.layer,
                self.width_mm,
                dash,
                closed,
                self.owner,
            )
        )
