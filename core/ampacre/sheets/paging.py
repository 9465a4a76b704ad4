"""Spreads a one-line diagram over sheets.

Both ends of what is cut show the same mark, with the number of the other sheet. Of several ways to
cut, the one is taken that is easiest to follow.
"""

from collections.abc import Callable, Iterator
from itertools import product
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
from ampacre.sheets.tree import Branch, Jump, in_order, plant
from ampacre.study.study import Study

__all__ = ["Deltas", "Leaf", "page"]

_HIGH = (1.0, 0.6, 0.8, 0.45)
_WIDE = (1.0, 0.8, 0.62, 0.48, 0.9, 0.7, 0.55, 0.4)
_PARTS = sorted(product(_WIDE, _HIGH), key=lambda part: _WIDE.index(part[0]) + _HIGH.index(part[1]))
"""The largest part of a sheet that a tree may take, in width and height: smaller ones pack better."""

_LEAST_WIDTH, _LEAST_HEIGHT = 170.0, 120.0
"""No tree is cut smaller [mm]: there is no way to cut a piece and its words."""

_LEAST_PLANS, _PIECES = 2, 1000
"""How many plans are made at least, and of how many pieces in all."""

_LEAF, _SPLIT, _TORN, _FAR, _NEAR = 8, 4, 2, 2, 1
"""What it costs a reader to turn to one more sheet, to put a bus together that stands in two places,
or a structure, and to follow a line to another sheet or to another place of the same one."""


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
            if jump.run is None:
                cost += _SPLIT
            elif jump.target.piece.structure in (None, jump.source.piece.structure):
                cost += _TORN
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
    leaves, _, sheets = min(_plans(study, width, height), key=lambda plan: plan.cost)
    for number, jump in enumerate(_as_read(leaves)):
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
    count = max(_LEAST_PLANS, _PIECES // max(len(study.project.equipment), 1))
    limits = (
        (
            max(wide * width, min(width, _LEAST_WIDTH)),
            max(high * height, min(height, _LEAST_HEIGHT)),
        )
        for wide, high in _PARTS
    )
    for most_wide, most_high in list(dict.fromkeys(limits))[:count]:
        forest = plant(study.project, study.islands)
        jumps = [jump for branch in forest.branches.values() for jump in branch.leaving]
        plan = _Plan([], jumps, {})
        for root in fragments(list(forest.roots), most_wide, most_high, jumps, room):
            number = pack(plan.leaves, arrange(root, room), width, height)
            for branch in root.walk():
                plan.sheets[branch] = number
                for chain in branch.chains:
                    plan.sheets.update(dict.fromkeys(chain.root.walk(), number))
        yield plan
        if len(plan.leaves) == 1 and not any(jump.target.entry is jump for jump in jumps):
            return


def _as_read(leaves: list[Leaf]) -> Iterator[Jump]:
    """Give the interrupted lines in the order in which their upper ends are met."""
    for leaf in leaves:
        for spot, _, _ in leaf.parts:
            for branch in spot.branch.walk():
                yield from (below for below in in_order(branch) if isinstance(below, Jump))


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
