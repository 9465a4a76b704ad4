"""The drawing as a scene: the laid-out picture, cut into one item per piece and run."""

from collections import defaultdict
from collections.abc import Iterable
from typing import Any

from PySide6.QtCore import QPointF, QRectF, QSizeF, Signal
from PySide6.QtGui import QPainterPath
from PySide6.QtWidgets import QGraphicsScene

from ampacre.picture.primitives import Element
from ampacre.rules.review import Review
from ampacre.sheets.one_line import OneLine, lay_out
from ampacre.study.study import Study
from ampacre_gui.canvas.items import ElementItem, FeedHandle
from ampacre_gui.canvas.painter import SCALE, Sketch
from ampacre_gui.flags import worst

__all__ = ["Scene"]


class Scene(QGraphicsScene):
    """Items of all elements; `show_study` brings them up to date and touches what changed."""

    laid_out = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._items: dict[str, ElementItem] = {}
        self._handle = FeedHandle()
        self.addItem(self._handle)
        self._one_line: OneLine | None = None
        self._hovered = ""
        self._target = ""

    def show_study(self, study: Study, review: Review) -> None:
        one_line = lay_out(study)
        self._one_line = one_line
        by_owner: dict[str, list[Element]] = defaultdict(list)
        for element in one_line.picture.elements:
            by_owner[element.owner].append(element)
        for key in self._items.keys() - by_owner.keys():
            self.removeItem(self._items.pop(key))
        marks = _marks(review)
        for key, elements in by_owner.items():
            item = self._items.get(key)
            if item is None:
                item = self._items[key] = ElementItem(key)
                self.addItem(item)
            item.setPos(QPointF())
            core, way = self._place(key)
            if item.sketch.elements != tuple(elements) or item.core != core:
                item.show_sketch(Sketch(elements), core, way)
            item.show_state(mark=marks.get(key, ""))
        self._handle.show_below(self._items.get(self._handle.key))
        self.laid_out.emit()

    def _place(self, key: str) -> tuple[QRectF, list[QPointF]]:
        assert self._one_line is not None
        box = self._one_line.places.get(key)
        core = QRectF()
        if box is not None:
            core = QRectF(QPointF(box.x, box.y) * SCALE, QSizeF(box.width, box.height) * SCALE)
        path = self._one_line.paths.get(key, ())
        return core, [QPointF(x, y) * SCALE for x, y in path]

    @property
    def empty(self) -> bool:
        """Whether nothing is drawn yet."""
        return not any(self._items)

    @property
    def drawn(self) -> QRectF:
        """What the drawing covers."""
        bounds = QRectF()
        for item in self._items.values():
            bounds |= item.sketch.bounds
        return bounds

    def item(self, key: str) -> ElementItem | None:
        """The item of a piece or run, None where it is not drawn by itself."""
        return self._items.get(key)

    def items_in(self, area: QRectF) -> tuple[str, ...]:
        """Ids of the elements that lie wholly in an area, pieces before runs."""
        inside = [
            item
            for key, item in self._items.items()
            if key and area.contains(item.core if not item.is_run else item.sketch.bounds)
        ]
        return tuple(item.key for item in sorted(inside, key=lambda item: item.is_run))

    def element_at(self, point: QPointF, reach: float = 0.0) -> str:
        """Id of the piece or else the run at a point or within reach of it, "" on empty ground."""
        area = QRectF(point.x() - reach, point.y() - reach, 2 * reach or 1, 2 * reach or 1)
        probe = QPainterPath()
        probe.addRect(area)
        hits = [
            item
            for item in self.items(probe)
            if isinstance(item, ElementItem) and item.key
        ]
        hits.sort(key=lambda item: (item.is_run, _distance(item, point)))
        return hits[0].key if hits else ""

    def field_at(self, key: str, point: QPointF) -> str:
        """Name of the number of an element that is written at a point."""
        item = self._items.get(key)
        return item.sketch.field_at(point) if item else ""

    def handle_at(self, point: QPointF, px_per_unit: float) -> str:
        """Id of the piece whose feed handle is at a point."""
        if not self._handle.isVisible():
            return ""
        off = (point - self._handle.pos()) * px_per_unit
        radius = FeedHandle.RADIUS_PX
        near = abs(off.x()) <= radius and -2 <= off.y() <= 2 * radius  # noqa: PLR2004
        return self._handle.key if near else ""

    def offer_handle(self, key: str) -> None:
        """Show the feed handle below a piece; "" hides it."""
        self._handle.show_below(self._items.get(key))

    def light_handle(self, *, on: bool) -> None:
        self._handle.light(on=on)

    def hover(self, key: str) -> None:
        """Light up the element under the pointer; "" for none."""
        if key != self._hovered:
            self._state(self._hovered, hovered=False)
            self._state(key, hovered=True)
            self._hovered = key

    def mark_target(self, key: str, *, welcome: bool = True) -> None:
        """Light up the element that a drop would reach; "" for none."""
        if key != self._target:
            self._state(self._target, target="")
            self._target = key
        self._state(key, target="yes" if welcome else "no")

    def _state(self, key: str, **state: Any) -> None:
        item = self._items.get(key)
        if item:
            item.show_state(**state)

    def select(self, ids: Iterable[str]) -> None:
        chosen = set(ids)
        for key, item in self._items.items():
            item.show_state(selected=key in chosen)


def _distance(item: ElementItem, point: QPointF) -> float:
    off = item.core.center() - point
    return off.x() ** 2 + off.y() ** 2


def _marks(review: Review) -> dict[str, str]:
    """The gravest open finding of each element."""
    severities: dict[str, set[str]] = defaultdict(set)
    for finding in review.findings:
        if review.accepted(finding) is None:
            severities[finding.where].add(finding.severity)
    marks = {key: "missing" for key in review.missing}
    return marks | {key: worst(found) for key, found in severities.items()}
