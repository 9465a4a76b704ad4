"""Spreads a one-line diagram over sheets.

Both ends of what is cut show the same mark, with the number of the other sheet. Of several ways to
cut, the one is taken that is easiest to follow.
"""

from collections.abc import Callable, Iterator
from typing import NamedTuple

from ampacre.picture.lettering import text_width_mm
from ampacre.picture.primitives import Arc, Element, Text
from ampacre.sheets.arrange import arrange
from ampacre.sheets.cutting import fragments
from ampacre.sheets.drafter import NO_DELTAS, Deltas
from ampacre.sheets.drawing import Drawing
from ampacre.sheets.one_line import mark_letters
from ampacre.sheets.packing import Leaf, pack
from ampacre.sheets.rooms import Fitted
from ampacre.sheets.tree import Branch, Jump, plant
from ampacre.study.study import Study

__all__ = ["Deltas", "Leaf", "page"]

_PARTS = ((1.0, 1.0), (0.8, 1.0), (0.62, 1.0), (0.48, 1.0), (1.0, 0.6), (0.62, 0.6))
"""The largest part of a sheet that a tree may take, in width and height: smaller ones pack better."""

_LEAF, _SPLIT, _FAR, _NEAR = 8, 4, 2, 1
"""What it costs a reader to turn to one more sheet, to put a bus together that stands in two places,
and to follow a line to another sheet or to another place of the same one."""


class _Plan(NamedTuple):
    """A way to spread a diagram over sheets."""

    leaves: list[Leaf]
    jumps: list[Jump]
    sheets: dict[Branch, int]

    @property
    def cost(self) -> int:
        """How hard it is to read."""
        cost = _LEAF * len(self.leaves)
        for jump in self.jumps:
            cost += _FAR if self.sheets[jump.source] != self.sheets[jump.target] else _NEAR
            cost += _SPLIT if jump.run is None else 0
        return cost


def page(
    study: Study,
    width: float,
    height: float,
    sheet_name: Callable[[int], str],
    deltas: Deltas = NO_DELTAS,
) -> tuple[list[Leaf], frozenset[str]]:
    """Lay out a project on as many sheets as it takes, each `width` by `height`.

    `sheet_name` gives the number of the n-th sheet (from 0). The second result names the symbols
    that are used. A sheet that could not hold what was moved by hand shows it in its tidy place.
    `deltas` marks what changed since a set was handed in.
    """
    leaves, jumps, sheets = min(_plans(study, width, height), key=lambda plan: plan.cost)
    jumps.sort(key=lambda jump: sheets[jump.source])
    for number, jump in enumerate(jumps):
        jump.mark = mark_letters(number)
        if sheets[jump.source] != sheets[jump.target]:
            jump.source_sheet = sheet_name(sheets[jump.source])
            jump.target_sheet = sheet_name(sheets[jump.target])
    symbols: set[str] = set()
    for leaf in leaves:
        drawing = _drawn(study, leaf, deltas, placed=True)
        if _reaches_out(drawing.drafter.elements, leaf):
            drawing = _drawn(study, leaf, deltas, placed=False)
        leaf.elements = drawing.drafter.elements
        symbols |= drawing.drafter.symbols
    return leaves, frozenset(symbols)


def _plans(study: Study, width: float, height: float) -> Iterator[_Plan]:
    """Cut trees to different sizes, whole ones first, and see how many sheets they fill."""
    room = Fitted(study)
    for wide, high in _PARTS:
        forest = plant(study.project, study.islands)
        jumps = [jump for branch in forest.branches.values() for jump in branch.leaving]
        plan = _Plan([], jumps, {})
        for root in fragments(list(forest.roots), wide * width, high * height, jumps, room):
            number = pack(plan.leaves, arrange(root, room), width, height)
            for branch in root.walk():
                plan.sheets[branch] = number
                for chain in branch.chains:
                    plan.sheets.update(dict.fromkeys(chain.root.walk(), number))
        yield plan
        if len(plan.leaves) == 1 and not any(jump.target.entry is jump for jump in jumps):
            return


def _drawn(study: Study, leaf: Leaf, deltas: Deltas, *, placed: bool) -> Drawing:
    drawing = Drawing(study, {}, deltas, placed=placed)
    for spot, x, y in leaf.parts:
        drawing.tree(spot, x, y)
    return drawing


def _reaches_out(elements: list[Element], leaf: Leaf) -> bool:
    """Whether something was moved by hand to where the sheet ends."""
    points: tuple[tuple[float, float], ...]
    for element in elements:
        if isinstance(element, Text):
            width = text_width_mm(element.text, element.height_mm, element.bold)
            points = ((element.x, element.y - element.height_mm), (element.x + width, element.y))
        elif isinstance(element, Arc):
            points = ((element.cx, element.cy),)
        else:
            points = element.points
        if any(not (0 <= x <= leaf.width and 0 <= y <= leaf.height) for x, y in points):
            return True
    return False
