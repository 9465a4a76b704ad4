"""Packs parts of a one-line diagram on sheets: beside what is wide below and narrow above, too."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from typing import NamedTuple

from ampacre.picture.primitives import Element
from ampacre.sheets import spots as s

__all__ = ["Leaf", "pack"]

GAP = 6.0
_LEAST_WIDTH, _LEAST_HEIGHT = 40.0, 30.0
"""Nothing that is drawn by itself is smaller."""

_STEP = 12.0
_MOST_ROOMS = 60


class Rect(NamedTuple):
    """A rectangle [mm], y downward."""

    left: float
    top: float
    right: float
    bottom: float

    def area(self) -> float:
        """Give its area [mm2]."""
        return (self.right - self.left) * (self.bottom - self.top)

    def holds(self, other: "Rect") -> bool:
        """Tell whether another rectangle lies in this one."""
        return (
            self.left <= other.left
            and self.top <= other.top
            and self.right >= other.right
            and self.bottom >= other.bottom
        )


@dataclass(slots=True)
class Leaf:
    """One sheet's drawing area as it fills up: what was drawn, and the rooms still free.

    `width` and `height` are larger than was asked for only where one part alone is. `free` holds
    every largest free rectangle; they overlap.
    """

    width: float
    height: float
    free: list[Rect]
    parts: list[tuple[s.Spot, float, float]] = field(default_factory=list)
    elements: list[Element] = field(default_factory=list)

    def take(self, spot: s.Spot) -> bool:
        """Put a tree where there is room for it, the highest first; False if there is none."""
        width, height = spot.left + spot.right, spot.height
        fitting = [
            room
            for room in self.free
            if width <= room.right - room.left and height <= room.bottom - room.top
        ]
        if not fitting:
            return False
        at = min(fitting, key=lambda room: (room.top, room.left))
        x, y = at.left + spot.left, at.top
        self.parts.append((spot, x, y))
        whole = Rect(x - spot.left, y, x + spot.right, y + spot.height)
        for left, top, right, bottom in _columns([_even(r, whole) for r in _rooms(spot, x, y)]):
            self._fill(Rect(left - GAP, top - GAP, right + GAP, bottom + GAP))
        return True

    def _fill(self, taken: Rect) -> None:
        rooms: list[Rect] = []
        parts: list[Rect] = []
        for room in self.free:
            left, top, right, bottom = room
            if (
                left >= taken.right
                or top >= taken.bottom
                or right <= taken.left
                or bottom <= taken.top
            ):
                rooms.append(room)
                continue
            parts += (
                Rect(left, top, taken.left, bottom),
                Rect(left, top, right, taken.top),
                Rect(taken.right, top, right, bottom),
                Rect(left, taken.bottom, right, bottom),
            )
        parts = [
            part
            for part in dict.fromkeys(parts)
            if part.right - part.left >= _LEAST_WIDTH and part.bottom - part.top >= _LEAST_HEIGHT
        ]
        rooms += [
            part
            for part in parts
            if not any(other is not part and other.holds(part) for other in (*rooms, *parts))
        ]
        self.free = sorted(rooms, key=Rect.area, reverse=True)[:_MOST_ROOMS]


def pack(leaves: list[Leaf], spot: s.Spot, width: float, height: float) -> int:
    """Put a tree on the first sheet that has room for it, or on a new one; give its number."""
    for number, leaf in enumerate(leaves):
        if leaf.take(spot):
            return number
    wide, high = max(width, spot.left + spot.right), max(height, spot.height)
    leaf = Leaf(wide, high, [Rect(0.0, 0.0, wide, high)])
    leaf.take(spot)
    leaves.append(leaf)
    return len(leaves) - 1


def _even(room: Rect, whole: Rect) -> Rect:
    """Put the edges of a room on a coarse grid, so that there are few steps; not beyond the whole."""
    left, top, right, bottom = room
    return Rect(
        max(whole.left, left // _STEP * _STEP),
        max(whole.top, top // _STEP * _STEP),
        min(whole.right, -(-right // _STEP) * _STEP),
        min(whole.bottom, -(-bottom // _STEP) * _STEP),
    )


def _columns(rooms: list[Rect]) -> list[Rect]:
    """Give what rooms take from their highest to their lowest, from one edge to the next."""
    edges = sorted({x for room in rooms for x in (room.left, room.right)})
    columns: list[Rect] = []
    for left, right in pairwise(edges):
        here = [room for room in rooms if room.left < right and room.right > left]
        if not here:
            continue
        top, bottom = min(room.top for room in here), max(room.bottom for room in here)
        last = columns[-1] if columns else None
        if last and (last.right, last.top, last.bottom) == (left, top, bottom):
            columns[-1] = last._replace(right=right)
        else:
            columns.append(Rect(left, top, right, bottom))
    return columns


class _Hanging(NamedTuple):
    """A spot, where its line starts, and the top of the outline that it stands in."""

    spot: s.Spot
    x: float
    y: float
    outline: float | None


def _rooms(spot: s.Spot, x: float, y: float) -> Iterator[Rect]:
    """Give the rooms of everything in a tree that hangs from (x, y)."""
    waiting = [_Hanging(spot, x, y, None)]
    while waiting:
        at = waiting.pop()
        yield from _own_rooms(at)
        spot, x, y, outline = at
        hang_y = y + spot.drop + spot.head
        here = spot.branch.piece.structure
        if spot.branch.structure_starts:
            outline = y + spot.drop - spot.join - spot.title
        pad = s.OUTLINE_PAD + 1.0 if outline is not None else 0.0
        for part in spot.hung:
            if isinstance(part, s.Spot):
                inside = outline if part.branch.piece.structure == here else None
                waiting.append(_Hanging(part, x + part.x, hang_y, inside))
                continue
            yield Rect(
                x + part.x - part.left - pad,
                hang_y,
                x + part.x + part.right + pad,
                hang_y + part.height + pad,
            )
        base = y + spot.beside_y
        for part in spot.beside:
            if isinstance(part, s.Spot):
                waiting.append(_Hanging(part, x + part.x, base, None))
            yield Rect(x, base, x + part.x + part.right, hang_y)


def _own_rooms(at: _Hanging) -> Iterator[Rect]:
    """Give the rooms of a piece with its lead, and of the outline that starts there."""
    spot, x, y, outline = at
    left, right = spot.own
    top = y + spot.drop
    pad = s.OUTLINE_PAD + 1.0 if spot.branch.piece.structure is not None else 0.0
    bottom = top + (spot.box[2] if spot.is_panel else max(spot.foot, spot.head)) + pad
    yield Rect(x - s.LEFT, y, x + spot.lead.reach, top)
    if spot.branch.structure_starts:
        yield Rect(x - spot.left, top - spot.join - spot.title, x + spot.right, bottom)
    upper = top - spot.join if outline is None else outline
    yield Rect(x - left - pad, upper, x + right + pad, bottom)
    if len(spot.hung) > 1:
        taps = [x + part.x for part in spot.hung]
        yield Rect(min(taps), top + spot.head - 1.0, max(taps), top + spot.head + 1.0)
