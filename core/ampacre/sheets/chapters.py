"""Chapters on sheets: each begins on a sheet of its own, or where the one before leaves room for it.

A chapter follows below the one before where it fits whole or finds a good part of the sheet free,
or takes the columns that are left beside it.
"""

from collections.abc import Iterable
from typing import Literal, NamedTuple

from ampacre.picture.primitives import Element
from ampacre.sheets.frame import moved, title_fits
from ampacre.sheets.paper import Paper
from ampacre.sheets.table import PART_GAP, Flowed, Part, flow

__all__ = ["Bound", "Chapter", "Columns", "bind", "titled", "titles_in"]

_JOINT = "; "
_GAP = 2 * PART_GAP
_FREE = 1 / 3
"""Share of the height that is enough for a chapter to begin in."""

Begins = Literal["below", "column", "sheet"]
Chapter = tuple[str, Iterable[Part]]
"""Title and parts."""


class Columns(NamedTuple):
    """How the drawing area of a sheet is divided [mm]."""

    across: int
    width: float
    pitch: float
    height: float


class Bound(NamedTuple):
    """What stands on one sheet: the titles of its chapters, and its elements."""

    titles: tuple[str, ...]
    elements: list[Element]


class _Leaf:
    """A sheet as it fills up; `column` is the last one in use, filled as far as `foot`."""

    def __init__(self) -> None:
        self.titles: list[str] = []
        self.elements: list[Element] = []
        self.column = -1
        self.foot = 0.0

    def put(self, title: str, elements: list[Element], x: float) -> None:
        if title not in self.titles:
            self.titles.append(title)
        self.elements += [moved(element, x, 0.0) if x else element for element in elements]


def titled(titles: Iterable[str]) -> str:
    """Give the title of a sheet that holds these chapters."""
    return _JOINT.join(titles)


def titles_in(title: str) -> list[str]:
    """Give the chapters that a sheet holds, from its title."""
    return title.split(_JOINT)


def bind(chapters: Iterable[Chapter], columns: Columns, paper: Paper) -> list[Bound]:
    """Set chapters on sheets of this paper, in order; those with nothing to say are left out."""
    leaves: list[_Leaf] = []
    for title, parts in chapters:
        flowed, begins = _placed(leaves, title, tuple(parts), columns, paper)
        if any(flowed.sheets):
            _set(leaves, title, flowed, begins, columns)
    return [Bound(tuple(leaf.titles), leaf.elements) for leaf in leaves]


def _placed(
    leaves: list[_Leaf], title: str, parts: tuple[Part, ...], columns: Columns, paper: Paper
) -> tuple[Flowed, Begins]:
    """Flow a chapter, and say where it begins."""
    last = leaves[-1] if leaves else None
    joins = last is not None and title_fits(titled([*last.titles, title]), paper)
    start = last.foot + _GAP if last else 0.0
    if joins and start < columns.height:
        below = flow(parts, columns.width, columns.height, start)
        if len(below.sheets) == 1 or start <= (1 - _FREE) * columns.height:
            return below, "below"
    apart = flow(parts, columns.width, columns.height)
    beside = joins and last is not None and last.column + len(apart.sheets) < columns.across
    return apart, "column" if beside else "sheet"


def _set(leaves: list[_Leaf], title: str, flowed: Flowed, begins: Begins, columns: Columns) -> None:
    for number, elements in enumerate(flowed.sheets):
        where = begins if number == 0 else "column"
        if where == "sheet" or (where == "column" and leaves[-1].column + 1 == columns.across):
            leaves.append(_Leaf())
        leaf = leaves[-1]
        leaf.column += where != "below"
        if elements:
            leaf.put(title, elements, leaf.column * columns.pitch)
        leaf.foot = columns.height
    leaves[-1].foot = flowed.foot
