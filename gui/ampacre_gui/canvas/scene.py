"""The drawing as a scene: one item per piece and run, kept up to date and painted."""

import math
from collections.abc import Container, Iterable, Mapping
from typing import Any, NamedTuple

from PySide6.QtCore import QPointF, QRectF, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QGraphicsScene, QStyleOptionGraphicsItem

from ampacre.model.project import Project
from ampacre.picture.primitives import Element
from ampacre.rules.review import Review
from ampacre.rules.rule import Finding, Severity
from ampacre.sheets.badges import Badge
from ampacre.sheets.one_line import Box, OneLine, lay_out, redraw, same_shape
from ampacre.study.facts import EquipmentFacts, RunFacts, Voltage
from ampacre.study.study import Study
from ampacre_gui.canvas.cells import Cells, drawing_order
from ampacre_gui.canvas.grips import BELOW, BESIDE, Drawn, Grip
from ampacre_gui.canvas.items import ElementItem, Figure, Role
from ampacre_gui.canvas.painter import SCALE, bounds_of, level_of
from ampacre_gui.canvas.survey import paint_from_afar, paint_titles
from ampacre_gui.differing import differing
from ampacre_gui.guard import Guarded
from ampacre_gui.look import look

__all__ = ["Scene"]

_REACH_PX = 12.0
"""How far glows and marks reach beyond an item's bounds, where they are drawn in pixels."""


class _Known(NamedTuple):
    """All that the items are made from; the tables hold it by piece and run."""

    project: Project
    pieces: Mapping[str, EquipmentFacts]
    runs: Mapping[str, RunFacts]
    findings: tuple[Finding, ...]
    marks: Mapping[str, Severity]
    voltages: Mapping[str, Voltage | None]
    badge: Badge


def _told(study: Study, review: Review, badge: Badge, before: _Known | None) -> _Known:
    project, found = study.project, study.found
    if (
        before is not None
        and before.findings is review.findings
        and before.project.accepted is project.accepted
    ):
        marks = before.marks
    else:
        marks = _marks(review)
    written = project.equipment if badge == "voltage" else ()
    voltages = {key: study.voltage(key) for key in written}
    return _Known(project, found.equipment, found.runs, review.findings, marks, voltages, badge)


def _marks(review: Review) -> Mapping[str, Severity]:
    marks: dict[str, Severity] = {}
    for finding in review.standing:
        # the gravest come first
        marks.setdefault(finding.where, finding.severity)
    return marks


def _changed(old: _Known, new: _Known) -> set[str]:
    """Give the pieces and runs whose words may be others than before."""
    before, after = old.project, new.project
    if (before.settings, before.grounding, old.badge) != (
        after.settings, after.grounding, new.badge,
    ):  # fmt: skip
        return {*after.equipment, *after.runs}
    tables = (
        (before.equipment, after.equipment),
        (before.runs, after.runs),
        (old.pieces, new.pieces),
        (old.runs, new.runs),
        (old.marks, new.marks),
        (old.voltages, new.voltages),
    )
    return set().union(*(differing(*pair) for pair in tables))


class Scene(Guarded, QGraphicsScene):
    """Items of all elements; `show_study` brings them up to date and touches what changed."""

    redrawn = Signal()
    """What is seen from afar is another than before: what is drawn, its place or its mark."""

    def __init__(self) -> None:
        super().__init__()
        self._items: dict[str, ElementItem] = {}
        self._cells = Cells()
        self._away: dict[str, ElementItem] = {}
        self._lit: dict[str, ElementItem] = {}
        self._titled: dict[str, ElementItem] = {}
        self.handle = Grip(BELOW, self._drawn_in, self._touch_grip)
        self.supply_end = Grip(BESIDE, self._drawn_in, self._touch_grip)
        self._known: _Known | None = None
        self._one_line: OneLine | None = None
        self._all_anew = False
        self._laid_out_folded: frozenset[str] = frozenset()
        self.folded: frozenset[str] = frozenset()
        self.badge: Badge = ""
        self._selected: frozenset[str] = frozenset()
        self._hovered = ""
        self._target = ""

    # what is drawn ------------------------------------------------------------------------------

    def show_study(self, study: Study, review: Review) -> bool:
        """Bring the items up to date; tells whether the drawing was laid out anew."""
        before = self._known
        now = self._known = _told(study, review, self.badge, before)
        anew = before is None or not self._stays_in_shape(before.project, now.project)
        if anew or self._one_line is None:
            self._one_line = lay_out(study, self.folded, now.marks, self.badge)
            self._laid_out_folded = self.folded
            self._show_all(self._one_line, now.project)
            marked = {
                key for key, item in self._items.items() if item.mark != now.marks.get(key, "")
            }
        else:
            assert before is not None
            changed = _changed(before, now)
            self._show(redraw(self._one_line, study, changed, now.marks, self.badge), now.project)
            marked = differing(before.marks, now.marks)
        for key in marked:
            self._state(key, mark=now.marks.get(key, ""))
        for grip in (self.handle, self.supply_end):
            # it may have to make way for other words
            self._touch_grip(grip)
        if anew or marked:
            self.redrawn.emit()
        return anew

    def _stays_in_shape(self, before: Project, now: Project) -> bool:
        return self.folded == self._laid_out_folded and same_shape(before, now)

    def _show_all(self, one_line: OneLine, project: Project) -> None:
        self.update()
        self._all_anew = True
        grounds = {f"{key} outline": found for key, found in one_line.grounds.items()}
        for key in self._items.keys() - one_line.owned.keys() - grounds.keys():
            item = self._items.pop(key)
            self._touch(item)
            self._cells.take(item)
            self._away.pop(key, None)
            self._lit.pop(key, None)
            self._titled.pop(key, None)
        self._show(one_line.owned, project)
        for key, elements in grounds.items():
            self._item(key).show_sketch(Figure("ground", elements, QRectF(), (), None))
        self._all_anew = False

    def _show(self, owned: Mapping[str, tuple[Element, ...]], project: Project) -> None:
        for key, elements in owned.items():
            item = self._item(key)
            item.move_off(QPointF())
            item.show_sketch(self._figure(key, elements, project))

    def _item(self, key: str) -> ElementItem:
        if key not in self._items:
            self._items[key] = ElementItem(key, self._touch)
            self._items[key].selected = key in self._selected
        return self._items[key]

    def _figure(self, key: str, elements: tuple[Element, ...], project: Project) -> Figure:
        """Gather what an item shows. The mark of a finding is drawn by the item itself."""
        assert self._one_line is not None
        drawn = tuple(element for element in elements if element.layer != "flag")
        flag = [element for element in elements if element.layer == "flag"]
        flag_at = bounds_of(flag).center() if flag else None
        role: Role = "piece" if key in project.equipment else "run"
        box = self._one_line.places.get(key) if role == "piece" else None
        core = _rect(box) if box else QRectF()
        way = self._one_line.paths.get(key, ())
        port = self._one_line.ports.get(key)
        return Figure(role, drawn, core, way, flag_at, port[0] * SCALE if port else None)

    def _touch(self, item: ElementItem) -> None:
        """Have the place of an item painted again, and keep the books of where it is."""
        if item.bounds.isNull():
            return
        if not self._all_anew:
            reach = self._reach()
            self.update(item.bounds.translated(item.off).adjusted(-reach, -reach, reach, reach))
        self._cells.put(item)
        _note(self._away, item, not item.off.isNull())
        _note(self._lit, item, item.lit)
        _note(self._titled, item, item.role == "ground")

    def _touch_grip(self, grip: Grip) -> None:
        if grip.port is not None:
            self.update(grip.area(self._scale()))

    def _drawn_in(self, area: QRectF) -> Drawn:
        """Give what a grip should not hide."""
        found = list(self._cells.within(area))
        words = [line.box for item in found for line in item.sketch.lines]
        words += [item.mark_box for item in found if item.mark_box is not None]
        lines = [p for item in found if item.role != "ground" for _, p in item.sketch.strokes]
        return Drawn(words, lines)

    def _scale(self) -> float:
        """Give pixels per unit of the scene in the view."""
        views = self.views()
        return views[0].transform().m11() if views else 1.0

    def _reach(self) -> float:
        """Give what some pixels are in units of the scene."""
        return _REACH_PX / self._scale()

    # painting -----------------------------------------------------------------------------------

    def drawBackground(self, painter: QPainter, rect: QRectF | Any) -> None:
        scale = QStyleOptionGraphicsItem.levelOfDetailFromTransform(painter.worldTransform())
        colours = look()
        painter.fillRect(rect, colours.paper)
        reach = _REACH_PX / scale
        area = QRectF(rect).adjusted(-reach, -reach, reach, reach)
        if level_of(scale) == "near":
            found = [item for item in self._cells.within(area) if item.off.isNull()]
            for item in sorted(found, key=drawing_order):
                item.paint(painter, colours, scale)
        else:
            for item in sorted(self._lit.values(), key=drawing_order):
                if item.off.isNull():
                    item.paint_glow(painter, colours, scale)
            paint_from_afar(painter, self._cells.near(area), colours, scale)
            titled = sorted(self._titled.values(), key=drawing_order)
            paint_titles(painter, titled, QRectF(rect), colours, scale)
        for item in sorted(self._away.values(), key=drawing_order):
            painter.translate(item.off)
            item.paint(painter, colours, scale)
            painter.translate(-item.off)

    def drawForeground(self, painter: QPainter, rect: QRectF | Any) -> None:
        scale = QStyleOptionGraphicsItem.levelOfDetailFromTransform(painter.worldTransform())
        for handle in (self.handle, self.supply_end):
            handle.paint(painter, look(), scale)

    def paint_map(self, painter: QPainter, scale: float) -> None:
        """Paint the whole drawing as it is seen from afar."""
        paint_from_afar(painter, self._cells.near(self.drawn), look(), scale, level="far")

    # what it is asked --------------------------------------------------------------------------

    @property
    def empty(self) -> bool:
        """Whether nothing is drawn yet."""
        return not any(self._items)

    @property
    def drawn(self) -> QRectF:
        """What the drawing covers."""
        if self._one_line is None or self.empty:
            return QRectF()
        return _rect(self._one_line.bounds)

    def item(self, key: str) -> ElementItem | None:
        """The item of a piece or run, None where it is not drawn."""
        return self._items.get(key)

    def port_of(self, key: str) -> QPointF | None:
        """Where a line that hangs from a piece starts."""
        port = self._one_line.ports.get(key) if self._one_line else None
        return QPointF(*port) * SCALE if port else None

    def items_in(self, area: QRectF) -> tuple[str, ...]:
        """Ids of the elements that lie wholly in an area, pieces before runs."""
        inside = [item for item in self._cells.within(area) if item.lies_in(area)]
        return tuple(item.key for item in sorted(inside, key=lambda item: item.role))

    def shows_any_in(self, area: QRectF) -> bool:
        """Whether some of a piece or run lies in an area."""
        return any(item.is_hit(area) for item in self._cells.within(area))

    def nearest(self, point: QPointF, area: QRectF, among: Container[str]) -> str:
        """Id of the piece in an area that is nearest to a point, "" where there is none."""
        pieces = [item for item in self._cells.within(area) if item.key in among]
        return min(pieces, key=lambda item: (item.distance(point), item.key)).key if pieces else ""

    def element_at(self, point: QPointF, reach: float = 0.0) -> str:
        """Id of the piece or else the run at a point or within reach of it, "" on empty ground."""
        area = QRectF(point.x() - reach, point.y() - reach, 2 * reach or 1, 2 * reach or 1)
        hits = [item for item in self._cells.within(area) if item.is_hit(area)]
        hits.sort(key=lambda item: (item.role, item.distance(point)))
        return hits[0].key if hits else ""

    def field_at(self, key: str, point: QPointF) -> str:
        """Name of the number of an element that is written at a point."""
        item = self._items.get(key)
        return item.field_at(point) if item else ""

    def folded_at(self, point: QPointF) -> str:
        """Id of the piece of which it is written at a point, with a plus, that more hangs below."""
        items = ((key, self._items[key]) for key in self.folded if key in self._items)
        return next((key for key, item in items if item.tells_folded_at(point)), "")

    def offer_handle(self, key: str) -> None:
        """Show the feed handle below a piece; "" hides it."""
        self.handle.show_at(key, self.port_of(key))

    def offer_supply_end(self, key: str) -> None:
        """Show the grip at the supply end of a run; "" hides it."""
        ends = self.ends_of(key)
        self.supply_end.show_at(key, ends[0] if ends else None)

    def ends_of(self, key: str) -> tuple[QPointF, QPointF] | None:
        """Where the line of a run starts and ends, None where it is not drawn."""
        run = self._known.project.runs.get(key) if self._known else None
        strokes = self._one_line.paths.get(key, ()) if self._one_line else ()
        if run is None or not strokes:
            return None
        ends = [stroke[end] for stroke in strokes for end in (0, -1)]
        start = min(ends, key=lambda point: self._off_bus(run.source, point))
        end = min(ends, key=lambda point: self._off_bus(run.target, point))
        return QPointF(*start) * SCALE, QPointF(*end) * SCALE

    def _off_bus(self, key: str, point: tuple[float, float]) -> float:
        """How far a point is from where runs leave a piece or enter it, squared."""
        assert self._one_line is not None
        x, y = point
        box = self._one_line.places.get(key)
        left, right, bus_y = self._one_line.buses.get(key, (0.0, 0.0, None))
        off = []
        if bus_y is not None:
            off.append((x - min(max(x, left), right), y - bus_y))
        if key in self._one_line.ports:
            port_x, port_y = self._one_line.ports[key]
            off += [(x - port_x, y - port_y), (x - port_x, y - box.y if box else 0.0)]
        elif box:
            off.append((x - min(max(x, box.x), box.x + box.w), y - box.y - box.h / 2))
        return min((dx * dx + dy * dy for dx, dy in off), default=math.inf)

    def place_of(self, key: str) -> QPointF | None:
        """Where an element stands, None where it is not drawn."""
        item = self._items.get(key)
        return item.place if item else None

    def places_in(self, area: QRectF) -> dict[str, QPointF]:
        """Where the elements stand of which something is in an area."""
        return {item.key: item.place for item in self._cells.within(area)}

    def move_off(self, key: str, off: QPointF) -> None:
        """Hold an element away from its place, or (0, 0) put it back."""
        item = self._items.get(key)
        if item:
            item.move_off(off)

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
        chosen = frozenset(ids)
        for key in self._selected ^ chosen:
            self._state(key, selected=key in chosen)
        self._selected = chosen


def _rect(box: Box) -> QRectF:
    return QRectF(box.x * SCALE, box.y * SCALE, box.w * SCALE, box.h * SCALE)


def _note(book: dict[str, ElementItem], item: ElementItem, belongs: bool) -> None:
    if belongs:
        book[item.key] = item
    else:
        book.pop(item.key, None)
