"""The sizes of sheets that a set can be drawn on, and the room that each leaves for the drawing.

ANSI sizes by ASME Y14.1, Arch D as plan offices ask for it, A3 by ISO 216; all landscape.
"""

from typing import NamedTuple

from ampacre.model import records as r

__all__ = ["PAPERS", "Paper", "paper_named"]

BINDING, MARGIN, INSIDE = 20.0, 10.0, 3.0
BLOCK_WIDTH, STRIP_HEIGHT = 80.0, 47.7
_TABLE_WIDTH, _GUTTER = 300.0, 10.0


class Paper(NamedTuple):
    """A sheet [mm]. The title block stands at the right edge, on a small sheet along the foot."""

    name: str
    words: str
    width: float
    height: float
    strip: bool = False

    @property
    def area_width(self) -> float:
        """Width of the drawing area [mm]."""
        block = 0.0 if self.strip else BLOCK_WIDTH
        return self.width - BINDING - MARGIN - block - 2 * INSIDE

    @property
    def area_height(self) -> float:
        """Height of the drawing area [mm]."""
        return self.height - 2 * MARGIN - (STRIP_HEIGHT if self.strip else 0.0) - 2 * INSIDE

    @property
    def columns(self) -> int:
        """How many tables stand beside each other."""
        return max(1, int((self.area_width + _GUTTER) // (_TABLE_WIDTH + _GUTTER)))

    @property
    def column_width(self) -> float:
        """Width of a table [mm]."""
        return (self.area_width - _GUTTER * (self.columns - 1)) / self.columns

    @property
    def column_pitch(self) -> float:
        """From one table to the one beside it [mm]."""
        return self.column_width + _GUTTER


PAPERS: dict[r.PaperName, Paper] = {
    "ANSI B": Paper("ANSI B", "ANSI B, 17 x 11 in", 431.8, 279.4),
    "ANSI D": Paper("ANSI D", "ANSI D, 34 x 22 in", 863.6, 558.8),
    "Arch D": Paper("Arch D", "Arch D, 36 x 24 in", 914.4, 609.6),
    "A3": Paper("A3", "A3, 420 x 297 mm", 420.0, 297.0),
    "letter": Paper("letter", "letter, 11 x 8.5 in", 279.4, 215.9, strip=True),
}


def paper_named(name: r.PaperName) -> Paper:
    """Give the paper of a name."""
    return PAPERS[name]
