"""The drawing as a scene: the laid-out picture, cut into one item per piece and run."""

from collections import defaultdict
from collections.abc import Iterable
from typing import Any

from PySide6.QtCore import QPointF, QRectF, QSizeF
from PySide6.QtGui import QPainterPath
from PySide6.QtWidgets import QGraphicsScene

from ampacre.model.project import Project
from ampacre.picture.primitives import Element
from ampacre.rules.review import Review
from ampacre.sheets.one_line import OneLine, lay_out
from ampacre.study.study import Study
from ampacre_gui.canvas.items import ElementItem, FeedHandle, Figure, Role
from ampacre_gui.canvas.painter import SCALE, Sketch

__all__ = ["Scene"]


_GROUND = ("enclosure", "note")
"""Layers in which the outlines and names of structures are drawn."""


class Scene(QGraphicsScene):
    """Items of all elements; `show_study` brings them up to date and touches what changed."""

    def __init__(self) -> None:
        super().__init__()
        self._items: dict[str, ElementItem] = {}
        self._handle = FeedHandle()
        self.addItem(self._handle)
        self._one_line: OneLine | None = None
        self.folded: frozenset[str] = frozenset()
        self._hovered = ""
        self._target = ""

    def show_study(self, study: Study, review: Review) -> None:
        """Lay the drawing out and bring the items up to date."""
        project = study.project
        elements = project.equipment.keys() | project.runs.keys()
        marks = {key: severity for key in elements if (severity := review.worst(key))}
        self._one_line = lay_out(study, self.folded, marks)
        by_owner: dict[str, list[Element]] = defaultdict(list)
        for element in self._one_line.picture.elements:
            outline = element.layer in _GROUND and element.owner in project.structures
            # a structure may have the id of a piece
            by_owner[f"{element.owner} outline" if outline else element.owner].append(element)
        for key in self._items.keys() - by_owner.keys():
            self.removeItem(self._items.pop(key))
        for key, owned in by_owner.items():
            item = self._items.get(key)
            if item is None:
                item = self._items[key] = ElementItem(key)
                self.addItem(item)
            item.setPos(QPointF())
            item.show_sketch(self._figure(key, owned, project))
            item.show_state(mark=marks.get(key, ""))
        self.offer_handle(self._handle.key)

    def _figure(self, key: str, elements: list[Element], project: Project) -> Figure:
        """Gather what an item shows. The mark of a finding is drawn by the item itself."""
        assert self._one_line is not None
        drawn = [element for element in elements if element.layer != "flag"]
        flag = Sketch([element for element in elements if element.layer == "flag"]).bounds
        role: Role = "ground"
        core = QRectF()
        if key in project.equipment:
            role = "piece"
            box = self._one_line.places.get(key)
            core = QRectF(box.x, box.y, box.w, box.h) if box else core
        elif key in project.runs:
            role = "run"
        strokes = self._one_line.paths.get(key, ())
        way = tuple(tuple(QPointF(x, y) * SCALE for x, y in stroke) for stroke in strokes)
        core = QRectF(core.topLeft() * SCALE, core.size() * SCALE)
        return Figure(role, tuple(drawn), core, way, flag.center())

    @property
    def empty(self) -> bool:
        """Whether nothing is drawn yet."""
        return not any(self._items)

    @property
    def drawn(self) -> QRectF:
        """What the drawing covers."""
        if self._one_line is None or self.empty:
            return QRectF()
        box = self._one_line.bounds
        return QRectF(QPointF(box.x, box.y) * SCALE, QSizeF(box.w, box.h) * SCALE)

    def item(self, key: str) -> ElementItem | None:
        """The item of a piece or run, None where it is not drawn."""
        return self._items.get(key)

    def port_of(self, key: str) -> QPointF | None:
        """Where a line that hangs from a piece starts."""
        port = self._one_line.ports.get(key) if self._one_line else None
        return QPointF(*port) * SCALE if port else None

    def hidden_below(self, key: str) -> int:
        """How many pieces a folded one hides."""
        return self._one_line.hidden.get(key, 0) if self._one_line else 0

    def items_in(self, area: QRectF) -> tuple[str, ...]:
        """Ids of the elements that lie wholly in an area, pieces before runs."""
        inside = [item for item in self._items.values() if item.lies_in(area)]
        return tuple(item.key for item in sorted(inside, key=lambda item: item.role))

    def element_at(self, point: QPointF, reach: float = 0.0) -> str:
        """Id of the piece or else the run at a point or within reach of it, "" on empty ground."""
        area = QRectF(point.x() - reach, point.y() - reach, 2 * reach or 1, 2 * reach or 1)
        probe = QPainterPath()
        probe.addRect(area)
        hits = [
            item
            for item in self.items(probe)
            if isinstance(item, ElementItem) and item.role != "ground"
        ]
        hits.sort(key=lambda item: (item.role, item.distance(point)))
        return hits[0].key if hits else ""

    def field_at(self, key: str, point: QPointF) -> str:
        """Name of the number of an element that is written at a point."""
        item = self._items.get(key)
        return item.field_at(point) if item else ""

    def handle_at(self, point: QPointF, px_per_unit: float) -> str:
        """Id of the piece whose feed handle is at a point."""
        if not self._handle.isVisible():
            return ""
        off = (point - self._handle.pos()) * px_per_unit
        radius = FeedHandle.RADIUS_PX
        near = abs(off.x()) <= radius and -2 <= off.y() <= 2 * radius
        return self._handle.key if near else ""

    def offer_handle(self, key: str) -> None:
        """Show the feed handle below a piece; "" hides it."""
        self._handle.show_at(key, self.port_of(key))

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
