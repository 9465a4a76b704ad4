"""Small marks on the one-line diagram: findings, lines that go on elsewhere, what is removed."""

from ampacre.rules.rule import Severity
from ampacre.sheets.pen import CAPITALS_MM, Pen

__all__ = ["DELTA_MM", "PLATE_MM", "cross_out", "draw_delta", "draw_flag", "draw_plate", "strike"]

DELTA_MM = 5.4
"""Height of the triangle that marks a change."""

PLATE_MM = 7.5
"""Height of the plate that names where a line goes on."""


def draw_flag(pen: Pen, severity: Severity, x: float, y: float) -> None:
    """Draw a finding's mark around (x, y): told apart by shape and shade, not by colour alone."""
    if severity == "violation":
        pen.fill((x, y - 2.7), (x + 2.8, y + 2.2), (x - 2.8, y + 2.2))
        pen.fill(
            (x - 0.35, y - 1.1),
            (x + 0.35, y - 1.1),
            (x + 0.2, y + 0.7),
            (x - 0.2, y + 0.7),
            shade=1,
        )
        pen.disc(x, y + 1.45, 0.35, shade=1)
    elif severity == "warning":
        pen.outline((x, y - 2.7), (x + 2.7, y), (x, y + 2.7), (x - 2.7, y))
        pen.line((x, y - 1.3), (x, y + 0.3))
        pen.disc(x, y + 1.3, 0.35)
    elif severity == "ask":
        pen.box(x - 2.3, y - 2.3, x + 2.3, y + 2.3)
        pen.arc(x, y - 0.7, 0.8, 180, 270)
        pen.line((x, y + 0.1), (x, y + 0.7))
        pen.disc(x, y + 1.5, 0.35)
    else:
        pen.arc(x, y, 2.3)
        pen.disc(x, y - 1.1, 0.35)
        pen.line((x, y - 0.2), (x, y + 1.3))


def draw_delta(pen: Pen, x: float, y: float, number: str) -> None:
    """Draw the triangle around (x, y) that marks a change, with the number of the set in it.

    Hardly higher than one line of a list, so that those of neighbouring lines stay apart.
    """
    foot = y + DELTA_MM / 2
    pen.outline((x, foot - DELTA_MM), (x + 4.4, foot), (x - 4.4, foot))
    pen.letters(x, foot - 0.35, number)


def draw_plate(pen: Pen, top: float, mark: str) -> None:
    """Draw the plate of an interrupted line: it points where the power flows, the mark inside."""
    pen.outline((-4, top), (4, top), (4, top + 4.9), (0, top + PLATE_MM), (-4, top + 4.9))
    pen.letters(0, top + 1 + CAPITALS_MM, mark)


def cross_out(pen: Pen, left: float, top: float, right: float, bottom: float) -> None:
    """Cross out what is removed."""
    pen.line((left, top), (right, bottom))
    pen.line((left, bottom), (right, top))


def strike(pen: Pen, x: float, y: float) -> None:
    """Put a small cross on a line that is removed."""
    cross_out(pen, x - 1.5, y - 1.5, x + 1.5, y + 1.5)
