"""Cuts a one-line diagram to sheets: at runs, or along a bus too wide for one sheet.

Nothing is made smaller. What is cut off starts again on its own, and both ends show the same mark
with the number of the other sheet.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from ampacre.picture.primitives import Element
from ampacre.sheets import spots as s
from ampacre.sheets.arrange import arrange
from ampacre.sheets.drawing import Drawing
from ampacre.sheets.one_line import mark_letters
from ampacre.sheets.tree import Branch, Jump, plant
from ampacre.study.study import Study

__all__ = ["Block", "Leaf", "page"]

GAP = 8.0
STUB_HEIGHT = s.BOX_DEPTH + s.OUTLINE_PAD + 2.0 + s.MARK_MM
STUB_WIDTH = s.LEFT + s.RUN_INDENT + s.RUN_WIDTH

Draw = Callable[[float, float], list[Element]]


class Block(NamedTuple):
    """Something that finds room on a sheet: its size [mm], and its drawing at an upper left corner."""

    width: float
    height: float
    draw: Draw


@dataclass(slots=True)
class Leaf:
    """One sheet's drawing area while it fills up: rooms still free, and what was drawn."""

    free: list[tuple[float, float, float, float]]
    parts: list[tuple[s.Spot, float, float]] = field(default_factory=list)
    elements: list[Element] = field(default_factory=list)

    def take(self, width: float, height: float) -> tuple[float, float] | None:
        """Give the corner of a free room of this size and mark it taken; None if there is none."""
        for room in sorted(self.free, key=lambda room: (room[1], room[0])):
            x, y, w, h = room
            if width > w or height > h:
                continue
            self.free.remove(room)
            right, below = w - width - GAP, h - height - GAP
            if right * h > below * w:  # keep the larger of the two remainders whole
                rest = [(x + width + GAP, y, right, h), (x, y + height + GAP, width, below)]
            else:
                rest = [(x + width + GAP, y, right, height), (x, y + height + GAP, w, below)]
            self.free += [room for room in rest if room[2] > 0 and room[3] > 0]
            return x, y
        return None


def page(
    study: Study, width: float, height: float, sheet_name: Callable[[int], str]
) -> tuple[list[Leaf], frozenset[str]]:
    """Lay out a project on as many sheets as it takes, each `width` by `height`.

    `sheet_name` gives the number of the n-th sheet (from 0). The second result names the symbols
    that are used. A branch that is too large even when everything below it is cut off stands on a
    sheet of its own and reaches beyond it.
    """
    forest = plant(study.project, study.islands)
    leaves: list[Leaf] = []
    sheet_of: dict[Branch, str] = {}
    jumps = [jump for branch in forest.branches.values() for jump in branch.leaving]
    for root in _fragments(list(forest.roots), width, height, jumps):
        spot = arrange(root)
        number = _find_room(leaves, spot, width, height)
        for branch in _with_chains(root):
            sheet_of[branch] = sheet_name(number)
    jumps.sort(key=lambda jump: sheet_of[jump.source])
    for number, jump in enumerate(jumps):
        jump.mark = mark_letters(number)
        source, target = sheet_of[jump.source], sheet_of[jump.target]
        if source != target:
            jump.source_sheet, jump.target_sheet = source, target
    symbols: set[str] = set()
    for leaf in leaves:
        drawing = Drawing(study, {})
        for spot, x, y in leaf.parts:
            drawing.tree(spot, x, y)
        leaf.elements = drawing.elements
        symbols |= drawing.symbols
    return leaves, frozenset(symbols)
