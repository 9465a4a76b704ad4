"""Draws arranged branches: symbols, lines, words, lists, marks and the outlines of structures."""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.model.standing import work_of
from ampacre.picture.lettering import shorten
from ampacre.picture.primitives import Element, Layer
from ampacre.sheets import spots as s
from ampacre.sheets.labels import (
    WORK_MARKS,
    Words,
    device_words,
    load_words,
    piece_words,
    rating_words,
    run_words,
    spaces_words,
)
from ampacre.sheets.marks import PLATE_MM, Severity, cross_out, draw_flag, draw_plate, strike
from ampacre.sheets.outlines import Outline, Point
from ampacre.sheets.pen import CAPITALS_MM, LINE_MM, THICK_MM, THIN_MM, Pen
from ampacre.sheets.symbols import DEVICE_MM, STANDBY_MM, draw_device, draw_ground, symbol_of
from ampacre.sheets.tree import Jump
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.study import Study

__all__ = ["Box", "Drawing"]

_BUS_MM = 1.0
_SEVERITIES: tuple[Severity, ...] = ("violation", "warning", "advice")


class Box(NamedTuple):
    """A rectangle on the drawing [mm]; (x, y) is its upper left corner."""

    x: float
    y: float
    w: float
    h: float


class _Hanging(NamedTuple):
    """A spot still to be drawn: where its line starts, the height of its bus, its outline."""

    spot: s.Spot
    start: Point
    bus_y: float
    outline: Outline | None


class Drawing:
    """Elements of drawn trees, and where everything stands in them."""

    def __init__(self, study: Study, flags: Mapping[str, Severity]) -> None:
        self.study = study
        self.flags = flags
        self.units = study.settings.units
        self.elements: list[Element] = []
        self.places: dict[str, Box] = {}
        self.paths: dict[str, tuple[tuple[Point, ...], ...]] = {}
        self.ports: dict[str, Point] = {}
        self.buses: dict[str, tuple[float, float, float]] = {}
        self.hidden: dict[str, int] = {}
        self.outlines: list[Outline] = []
        self.symbols: set[str] = set()
        self._ends: dict[str, tuple[Point, ...]] = {}

    def tree(self, root: s.Spot, x: float, y: float) -> None:
        """Draw a tree whose upper end stands at (x, y)."""
        first = len(self.outlines)
        waiting = [_Hanging(root, (x, y), y, None)]
        while waiting:
            waiting.extend(self._spot(waiting.pop()))
        for outline in self.outlines[first:]:
            self._outline(outline)

    def _facts(self, piece: r.Equipment) -> EquipmentFacts | None:
        try:
            return self.study.equipment(piece.id)
        except KeyError:
            return None  # it does not stand in the result

    def _run_facts(self, run: r.Run) -> RunFacts | None:
        try:
            return self.study.run(run.id)
        except KeyError:
            return None

    def _pen(self, record: r.Standing, x: float, y: float, layer: Layer = "symbol") -> Pen:
        fresh = work_of(record) in ("new", "reused")
        return Pen(self.elements, x, y, layer, THICK_MM if fresh else THIN_MM, record.id)

    def _wire(self, record: r.Standing) -> Pen:
        fresh = work_of(record) in ("new", "reused")
        return self._pen(record, 0, 0, "new" if fresh else "existing")

    def _words(self, pen: Pen, x: float, top: float, words: Iterable[Words], width: float) -> None:
        y = top + CAPITALS_MM
        for text, field in words:
            pen.text(x, y, shorten(text, width, CAPITALS_MM), field)
            y += LINE_MM

    def _flag(self, keys: Iterable[str], x: float, y: float) -> None:
        """Draw the mark of the gravest finding of these elements."""
        found = [(_SEVERITIES.index(self.flags[key]), key) for key in keys if key in self.flags]
        if found:
            grade, key = min(found)
            draw_flag(Pen(self.elements, 0, 0, "flag", THIN_MM, key), _SEVERITIES[grade], x, y)

    # --- one branch --------------------------------------------------------------------------

    def _spot(self, at: _Hanging) -> list[_Hanging]:
        """Draw a piece with the run that leads to it; give what hangs from it."""
        spot, (tap_x, _), bus_y, _ = at
        branch, piece = spot.branch, spot.branch.piece
        moved = None if branch.continued else self.study.project.placement.get(piece.id)
        x = tap_x + (moved.dx_mm if moved else 0.0)
        top = bus_y + spot.drop + (moved.dy_mm if moved else 0.0)
        hang_y = top + spot.head
        outline = self._within(at, x, top)
        if branch.entry:
            self._entry(branch.entry, spot, tap_x, bus_y, (x, top))
        if branch.feed:
            start = (tap_x, bus_y + s.MARK_MM - 1.0) if branch.entry else at.start
            end: tuple[Point, ...] = ((x, top),)
            if x != tap_x:
                jog = bus_y + spot.lead.height
                end = ((tap_x, jog), (x, jog), (x, top))
            self._run(branch.feed, spot.lead, start, bus_y, end)
        if spot.is_panel:
            self._panel(spot, x, top)
        else:
            self._symbol(spot, x, top)
        self._flag((piece.id,), x - 4.0, top - 3.2)
        beside = self._beside(spot, x, top)
        return beside + self._hung(spot, x, top, hang_y, outline)

    def _within(self, at: _Hanging, x: float, top: float) -> Outline | None:
        """Add a piece to the outline of its structure, or start one."""
        spot = at.spot
        structure = spot.branch.piece.structure
        if structure is None:
            return None
        outline = at.outline
        upper = top - spot.join - spot.title
        if spot.branch.structure_starts or outline is None:
            outline = Outline(structure, x + 2.0, upper + 1.5)
            self.outlines.append(outline)
        elif x != at.start[0]:
            tap_x = at.start[0]
            outline.columns.append((tap_x - s.LEFT, tap_x + s.RUN_INDENT + s.RUN_WIDTH, top))
        outline.top = min(outline.top, upper + 1.5)
        left, right, bottom = -spot.symbol.left_mm, _words_x(spot) + s.PIECE_WIDTH, spot.foot
        if spot.is_panel:
            left, right, bottom = spot.box
        reach = max(right, s.RUN_INDENT + s.RUN_WIDTH)
        outline.columns.append((x + min(left, -s.LEFT), x + reach, top + bottom))
        return outline

    def _outline(self, outline: Outline) -> None:
        pen = Pen(self.elements, 0, 0, "enclosure", 0.35, outline.structure)
        pen.outline(*outline.points(s.OUTLINE_SIDE, s.OUTLINE_PAD), dash=(5.0, 1.5))
        structure = self.study.project.structures.get(outline.structure)
        name = shorten(structure.name if structure else "", s.PIECE_WIDTH, CAPITALS_MM)
        pen.note(outline.title_x, outline.top + 1.8 + CAPITALS_MM, name)

    def _symbol(self, spot: s.Spot, x: float, top: float) -> None:
        piece, symbol = spot.branch.piece, spot.symbol
        pen = self._pen(piece, x, top)
        words_x = _words_x(spot)
        if not spot.branch.continued:
            symbol.draw(pen)
            self.symbols.add(symbol_of(piece))
            if isinstance(piece, r.Transformer):
                if piece.neutral_bonded is not False:
                    self._ground(pen, 0.0, 11.0)
            elif getattr(piece, "neutral_bonded", None):
                self._ground(pen, -symbol.left_mm, symbol.height_mm / 2)
            if piece.until is not None:
                cross_out(pen, -symbol.left_mm, 0, symbol.right_mm, symbol.height_mm)
            facts = self._facts(piece)
            below = LINE_MM * len(spot.names)
            words = piece_words(piece, facts, self.units)
            self._words(pen, words_x, below, words, s.PIECE_WIDTH)
            left, right = symbol.left_mm, words_x + s.PIECE_WIDTH
            self.places[piece.id] = Box(x - left, top, left + right, spot.head)
            self.ports[piece.id] = (x, top + symbol.height_mm)
        self._names(pen, spot, words_x, 0.0)

    def _names(self, pen: Pen, spot: s.Spot, x: float, top: float) -> None:
        for number, line in enumerate(spot.names):
            pen.text(x, top + CAPITALS_MM + number * LINE_MM, line, "name", bold=True)

    def _ground(self, pen: Pen, x: float, y: float) -> None:
        pen.line((x, y), (-s.GROUND_ROOM, y), (-s.GROUND_ROOM, y + 1.5))
        draw_ground(pen, -s.GROUND_ROOM, y + 1.5)
        self.symbols.add("ground")

    def _panel(self, spot: s.Spot, x: float, top: float) -> None:
        piece, branch = spot.branch.piece, spot.branch
        assert isinstance(piece, r.Panel)
        pen = self._pen(piece, x, top)
        left, right, bottom = spot.box
        pen.box(left, 0, right, bottom, dash=(2.0, 1.0))
        bus_left = left + s.GROUND_ROOM
        taps = [0.0, *(part.x for part in (*spot.hung, *spot.beside))]
        bus_right = max(taps) + s.BUS_OVERHANG
        bus = self._pen(piece, x, top, "bus")
        bus.width_mm = _BUS_MM
        bus.line((bus_left, spot.head), (bus_right, spot.head))
        if piece.main and not branch.continued:
            pen.line((0, 0), (0, s.DEVICE_TOP))
            self._device(pen, piece.main.kind, s.DEVICE_TOP)
            pen.line((0, s.DEVICE_TOP + DEVICE_MM), (0, spot.head))
        else:
            pen.line((0, 0), (0, spot.head))
        self._names(pen, spot, s.RUN_INDENT, 1.5)
        if branch.continued:
            return
        self.symbols.add("panel")
        if piece.neutral_bonded:
            pen.line((bus_left, spot.head), (bus_left - 4, spot.head), (bus_left - 4, spot.head + 3))
            draw_ground(pen, bus_left - 4, spot.head + 3)
            self.symbols.add("ground")
        if piece.until is not None:
            cross_out(pen, left + 1, 1, -1, spot.head - 1)
        words = piece_words(piece, self._facts(piece), self.units)
        self._words(pen, s.RUN_INDENT, 1.5 + LINE_MM * len(spot.names), words, s.PANEL_WIDTH)
        self.places[piece.id] = Box(x + left, top, right - left, bottom)
        self.ports[piece.id] = (x, top + spot.head)
        self.buses[piece.id] = (x + bus_left, x + bus_right, top + spot.head)

    def _device(self, pen: Pen, kind: str, top: float) -> None:
        draw_device(pen, kind, top)
        self.symbols.add(kind)

    # --- runs --------------------------------------------------------------------------------

    def _run(
        self, run: r.Run, lead: s.Lead, start: Point, bus_y: float, end: tuple[Point, ...]
    ) -> None:
        """Draw a run from its start down to the corners of its end, with device and words."""
        x, y = start
        facts = self._run_facts(run)
        pen = self._wire(run)
        if lead.device:
            device_y = bus_y + lead.device_y
            pen.line((x, y), (x, device_y))
            y = device_y + DEVICE_MM
            self._run_device(run, facts, x, device_y)
        pen.line((x, y), *end)
        self._add_path(run.id, (start, *end))
        words_y = bus_y + lead.words_y
        if run.until is not None:
            strike(pen, x, words_y + LINE_MM if lead.lines else (y + end[0][1]) / 2)
        if lead.lines:
            named = [Words(run.name, "name")] if run.name else []
            words = named + run_words(run, facts, self.units)
            self._words(pen, x + s.RUN_INDENT, words_y, words[: lead.lines], s.RUN_WIDTH)
        self._flag((run.id,), x - 4.0, words_y + 2.5)

    def _run_device(self, run: r.Run, facts: RunFacts | None, x: float, top: float) -> None:
        kind = run.device.kind if run.device else "breaker"
        pen = self._pen(run, x, 0)
        self._device(pen, kind, top)
        words = device_words(run, facts)
        text_y = top + (DEVICE_MM - CAPITALS_MM) / 2
        self._words(pen, s.RUN_INDENT, text_y, [words], s.RUN_WIDTH)

    def _add_path(self, key: str, points: tuple[Point, ...]) -> None:
        self.paths[key] = (*self.paths.get(key, ()), points)

    # --- what hangs below --------------------------------------------------------------------

    def _hung(
        self, spot: s.Spot, x: float, top: float, hang_y: float, outline: Outline | None
    ) -> list[_Hanging]:
        line_y = hang_y
        if not spot.is_panel:
            line_y = top + (0.0 if spot.branch.continued else spot.symbol.height_mm)
            if len(spot.hung) > 1:
                self._joint(spot, x, line_y, hang_y)
                line_y = hang_y
        hanging: list[_Hanging] = []
        for part in spot.hung:
            start = (x + part.x, line_y)
            match part:
                case s.Spot():
                    hanging.append(_Hanging(part, start, hang_y, outline))
                case s.Listed():
                    self._list(spot.branch.piece, part, start)
                    if outline:
                        edges = (start[0] - s.LEFT, start[0] + part.right, hang_y + part.height)
                        outline.columns.append(edges)
                case s.Interrupted():
                    self._leaving(part, start, hang_y)
                case s.Outlet():
                    self._outlet(part, start, hang_y)
                case s.Folded():
                    self._folded(spot.branch.piece, part, start, hang_y)
        return hanging

    def _joint(self, spot: s.Spot, x: float, line_y: float, hang_y: float) -> None:
        """Draw the joint from which several lines hang below a piece that has no bus."""
        pen = self._wire(spot.branch.piece)
        taps = [0.0, *(part.x for part in spot.hung)]
        if line_y != hang_y:
            pen.line((x, line_y), (x, hang_y))
        pen.line((x + min(taps), hang_y), (x + max(taps), hang_y))
        self.buses[spot.branch.piece.id] = (x + min(taps), x + max(taps), hang_y)

    def _list(self, panel: r.Equipment, part: s.Listed, start: Point) -> None:
        x, y = start
        spaces, device, name, load = s.LIST_COLUMNS
        last = y + s.LIST_TOP + len(part.rows) * LINE_MM - LINE_MM + CAPITALS_MM / 2
        self._wire(panel).line(start, (x, last))
        for number, row in enumerate(part.rows):
            top = y + s.LIST_TOP + number * LINE_MM
            middle = top + CAPITALS_MM / 2
            wire = self._wire(row.run)
            wire.line((x, middle), (x + 2.5, middle))
            if row.run.until is not None:
                strike(wire, x + 1.25, middle)
            facts = self._run_facts(row.run)
            cells = (
                (row.run.id, spaces, Words(spaces_words(row.run), "spaces"), False),
                (row.run.id, device, rating_words(row.run, facts), False),
                (row.piece.id, name, self._row_name(row.piece), False),
                (row.piece.id, load, load_words(row.piece, self._facts(row.piece), self.units), True),
            )
            left = x + s.RUN_INDENT
            for owner, width, (text, field), _ in cells:
                pen = Pen(self.elements, left, top, "text", THIN_MM, owner)
                pen.text(0, CAPITALS_MM, shorten(text, width - 1.5, CAPITALS_MM), field)
                left += width
            self.places[row.piece.id] = Box(x, top - 1.0, left - x, LINE_MM)
            self._add_path(row.run.id, ((x, middle), (x + 2.5, middle)))
            self._flag((row.piece.id, row.run.id), x - 3.6, middle)

    def _row_name(self, piece: r.Equipment) -> Words:
        work = work_of(piece)
        return Words(piece.name if work == "existing" else f"{WORK_MARKS[work]} {piece.name}", "name")

    def _folded(self, piece: r.Equipment, part: s.Folded, start: Point, bus_y: float) -> None:
        pen = self._wire(piece)
        foot = bus_y + s.LIST_TOP - 1.0
        pen.line(start, (start[0], foot))
        pen.box(start[0] - 2.0, foot, start[0] + 2.0, foot + 4.0)
        pen.line((start[0] - 1.2, foot + 2.0), (start[0] + 1.2, foot + 2.0))
        pen.line((start[0], foot + 0.8), (start[0], foot + 3.2))
        pen.text(start[0] + s.RUN_INDENT, foot + 2.0 + CAPITALS_MM / 2, f"{part.count} not shown")
        self.hidden[piece.id] = part.count

    def _leaving(self, part: s.Interrupted, start: Point, bus_y: float) -> None:
        jump = part.jump
        x, foot = start[0], bus_y + part.top
        goes_to = f"to {jump.target.piece.name}" if jump.run else f"{jump.source.piece.name} goes on"
        if jump.run:
            lead = s.Lead(device=part.device, device_y=s.DEVICE_TOP)
            self._run(jump.run, lead, start, bus_y, ((x, foot),))
        else:
            self._wire(jump.source.piece).line(start, (x, foot))
        self._plate(jump, x, foot, goes_to, jump.target_sheet)

    def _plate(self, jump: Jump, x: float, top: float, words: str, sheet: str) -> None:
        pen = Pen(self.elements, x, top, "symbol", THIN_MM, jump.run.id if jump.run else "")
        draw_plate(pen, 0, jump.mark)
        self.symbols.add("plate")
        where = f"on {sheet}" if sheet else f"at mark {jump.mark}"
        self._words(pen, 6.5, 0, [Words(words), Words(where)], s.RUN_WIDTH - 3.0)

    # --- what arrives from elsewhere ---------------------------------------------------------

    def _entry(self, jump: Jump, spot: s.Spot, x: float, y: float, end: Point) -> None:
        """Draw the mark at the top of a tree whose line comes from elsewhere."""
        self._plate(jump, x, y, f"from {jump.source.piece.name}", jump.source_sheet)
        if jump.run is None:
            self._wire(spot.branch.piece).line((x, y + PLATE_MM), end)

    def _beside(self, spot: s.Spot, x: float, top: float) -> list[_Hanging]:
        """Draw what reaches a piece by a second way; the farthest one joins lowest."""
        hanging: list[_Hanging] = []
        base = top - spot.drop + spot.beside_y
        count = len(spot.beside)
        for number, part in enumerate(spot.beside):
            part_x, join_y = x + part.x, top - s.JOIN_STEP * (count - number)
            run = _second_run(part)
            if spot.is_panel:
                end: tuple[Point, ...] = ((part_x, join_y), (part_x, top + spot.head))
            else:
                standby = isinstance(spot.branch.piece, r.TransferSwitch) and run.lands_on == "standby"
                port = x + STANDBY_MM if standby else x
                end = ((port, join_y), (port, top)) if standby else ((port, join_y),)
            self._ends[run.id] = ((part_x, join_y), *end)
            if isinstance(part, s.Interrupted):
                jump = part.jump
                self._plate(jump, part_x, base, f"from {jump.source.piece.name}", jump.source_sheet)
                self._wire(run).line((part_x, base + PLATE_MM), *self._ends[run.id])
                self._add_path(run.id, ((part_x, base + PLATE_MM), *self._ends[run.id]))
            elif isinstance(part, s.Spot):
                hanging.append(_Hanging(part, (part_x, base), base, None))
        return hanging

    def _outlet(self, part: s.Outlet, start: Point, bus_y: float) -> None:
        (_, join_y), *rest = self._ends[part.run.id]
        self._run(part.run, part.lead, start, bus_y, ((start[0], join_y), *rest))


def _words_x(spot: s.Spot) -> float:
    return max(spot.symbol.right_mm, 6.5) + s.PIECE_GAP


def _second_run(part: s.Hung) -> r.Run:
    """Give the run by which a part beside a piece reaches it."""
    while isinstance(part, s.Spot):
        part = part.hung[-1]
    run = part.run if isinstance(part, s.Outlet) else None
    if isinstance(part, s.Interrupted):
        run = part.jump.run
    assert run is not None
    return run
