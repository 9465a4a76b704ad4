"""Items by where they stand, so that only what is in view is looked at, and what is drawn from afar.

Seen from afar, where a symbol is a few pixels large, a cell is drawn as a whole: its strokes as one
path for each kind of line, or still farther its pieces as filled boxes in the colour of their
findings. Such a drawing is made when it is first asked for, and again after a change in the cell.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from itertools import pairwise
from typing import NamedTuple

from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QPainterPath, QPolygonF

from ampacre_gui.canvas.items import ElementItem
from ampacre_gui.canvas.painter import Ink, Line

__all__ = ["Cell", "Cells", "Far", "Middle", "drawing_order"]

_SIDE = 4000.0
_ORDER = {"ground": 0, "run": 1, "piece": 2}


def drawing_order(item: ElementItem) -> tuple[int, str]:
    """Tell which items are drawn over which others: the same whatever was done before."""
    return _ORDER[item.role], item.key


class Middle(NamedTuple):
    """What a cell shows where letters are too small: its strokes by kind, words, and who has a mark."""

    strokes: list[tuple[Ink, QPainterPath]]
    fills: list[tuple[QPainterPath, str, float]]
    lines: list[Line]
    marked: list[ElementItem]


class Far(NamedTuple):
    """What a cell shows from afar: outlines, lines of runs and boxes of pieces by their marks."""

    outlines: list[QLineF]
    wires: dict[str, list[QLineF]]
    boxes: dict[str, list[QRectF]]


class Cell:
    """Items whose upper left corners are in one square; `bounds` encloses all of them."""

    def __init__(self) -> None:
        self.items: dict[str, ElementItem] = {}
        self._bounds: QRectF | None = None
        self._middle: Middle | None = None
        self._far: Far | None = None

    def forget(self) -> None:
        """Something in the cell has changed."""
        self._bounds = self._middle = self._far = None

    @property
    def bounds(self) -> QRectF:
        """Encloses all that is drawn of its items where they stand."""
        if self._bounds is None:
            self._bounds = QRectF()
            for item in self.items.values():
                self._bounds |= item.bounds
        return self._bounds

    @property
    def middle(self) -> Middle:
        """Strokes of all its items that are in their places."""
        if self._middle is None:
            paths: dict[Ink, QPainterPath] = defaultdict(QPainterPath)
            middle = Middle([], [], [], [])
            for item in sorted(self._in_place(), key=drawing_order):
                for ink, path in item.sketch.strokes:
                    paths[ink].addPath(path)
                middle.fills.extend(item.sketch.fills)
                middle.lines.extend(item.sketch.lines)
                if item.mark:
                    middle.marked.append(item)
            middle.strokes.extend(sorted(paths.items(), key=lambda kind: kind[0]))
            self._middle = middle
        return self._middle

    @property
    def far(self) -> Far:
        """Boxes and lines of all its items that are in their places."""
        if self._far is None:
            self._far = Far([], defaultdict(list), defaultdict(list))
            for item in self._in_place():
                if item.role == "piece":
                    self._far.boxes[item.mark].append(item.core)
                elif item.role == "run":
                    self._far.wires[item.mark].extend(_lines(item.strokes))
                else:
                    for _, path in item.sketch.strokes:
                        self._far.outlines.extend(_lines(path.toSubpathPolygons()))
        return self._far

    def _in_place(self) -> Iterator[ElementItem]:
        return (item for item in self.items.values() if item.off.isNull())


def _lines(polygons: Iterable[QPolygonF]) -> Iterator[QLineF]:
    for polygon in polygons:
        for start, end in pairwise(polygon.toList()):
            yield QLineF(start, end)


class Cells:
    """All items; `put` again moves an item to the cell where it now belongs."""

    def __init__(self) -> None:
        self._cells: dict[tuple[int, int], Cell] = defaultdict(Cell)
        self._at: dict[str, tuple[int, int]] = {}

    def put(self, item: ElementItem) -> None:
        """Take an item in, or note that it has changed."""
        corner: QPointF = item.bounds.topLeft()
        at = int(corner.x() // _SIDE), int(corner.y() // _SIDE)
        before = self._at.get(item.key)
        if before is not None and before != at:
            self.take(item)
        self._at[item.key] = at
        cell = self._cells[at]
        cell.items[item.key] = item
        cell.forget()

    def take(self, item: ElementItem) -> None:
        """Leave an item out."""
        at = self._at.pop(item.key)
        cell = self._cells[at]
        del cell.items[item.key]
        cell.forget()
        if not cell.items:
            del self._cells[at]

    def near(self, area: QRectF) -> list[Cell]:
        """Give the cells of which something may be in an area, in a fixed order."""
        found = [at for at, cell in self._cells.items() if cell.bounds.intersects(area)]
        return [self._cells[at] for at in sorted(found)]

    def within(self, area: QRectF) -> Iterator[ElementItem]:
        """Give the items of which something may be in an area."""
        for cell in self.near(area):
            yield from (item for item in cell.items.values() if item.bounds.intersects(area))
