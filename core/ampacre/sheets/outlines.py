"""Outlines of structures: a dashed line around the pieces that stand together in one."""

import heapq
from dataclasses import dataclass, field

__all__ = ["Outline"]

Point = tuple[float, float]


@dataclass(slots=True, eq=False)
class Outline:
    """The outline around connected pieces of a structure: flat on top, stepped below.

    `columns` are the parts inside: left, right and bottom. What hangs further down from a piece
    inside, and stands elsewhere, stays outside since the outline reaches only as low as it must.
    """

    structure: str
    title_x: float
    top: float
    title_width: float
    columns: list[tuple[float, float, float]] = field(default_factory=list)

    def points(self, side: float, below: float) -> tuple[Point, ...]:
        """Corners of the outline, clockwise from its upper left one, this far from the parts."""
        starts = sorted(
            (left - side, right + side, bottom + below) for left, right, bottom in self.columns
        )
        edges = sorted({x for start in starts for x in start[:2]})
        shallow = min(bottom for _, _, bottom in starts)
        steps: list[tuple[float, float]] = []
        standing: list[tuple[float, float]] = []
        upcoming = iter(starts)
        part = next(upcoming, None)
        for x in edges:
            while part is not None and part[0] <= x:
                heapq.heappush(standing, (-part[2], part[1]))
                part = next(upcoming, None)
            while standing and standing[0][1] <= x:
                heapq.heappop(standing)
            low = -standing[0][0] if standing else shallow
            if not steps or steps[-1][1] != low:
                steps.append((x, low))
        corners: list[Point] = [(edges[0], self.top), (edges[-1], self.top)]
        end = edges[-1]
        for x, low in reversed(steps):
            if x != edges[-1]:
                corners += [(end, low), (x, low)]
                end = x
        return tuple(corners)
