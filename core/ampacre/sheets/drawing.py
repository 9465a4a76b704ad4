"""Draws arranged trees: walks down them, draws what stands there, and notes where it stands."""

from collections.abc import Callable, Mapping
from functools import partial
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.picture.lettering import shorten, text_width_mm, wrap
from ampacre.picture.primitives import Element
from ampacre.rules.rule import Severity
from ampacre.sheets import spots as s
from ampacre.sheets.badges import Badge
from ampacre.sheets.drafter import NO_DELTAS, Deltas, Drafter
from ampacre.sheets.labelling import Words
from ampacre.sheets.marks import PLATE_MM, draw_plate, strike
from ampacre.sheets.outlines import Outline, Point
from ampacre.sheets.pen import CAPITALS_MM, LINE_MM, THIN_MM, Pen
from ampacre.sheets.rooms import Label, arriving_words, entry_words, leaving_words
from ampacre.sheets.symbols import STANDBY_MM
from ampacre.sheets.tree import Jump
from ampacre.study.study import Study

__all__ = ["Box", "Drawing", "Part"]


class Box(NamedTuple):
    """A rectangle on the drawing [mm]; (x, y) is its upper left corner."""

    x: float
    y: float
    w: float
    h: float


class Part(NamedTuple):
    """What is drawn again when something becomes known of the pieces and runs it belongs to."""

    keys: tuple[str, ...]
    draw: Callable[[Drafter], None]


class _Hanging(NamedTuple):
    """A spot still to be drawn: where its line starts, the height of its bus, its outline."""

    spot: s.Spot
    start: Point
    bus_y: float
    outline: Outline | None


class Drawing:
    """Drawn trees, and where everything stands in them.

    `placed` tells whether what was moved by hand stands where it was moved to, or in its tidy
    place. `parts` tells, for each piece and run, how to draw what depends on what is known of it;
    `drawn` are the elements of the parts, `grounds` those of each structure, `loose` all others.
    """

    def __init__(
        self,
        study: Study,
        flags: Mapping[str, Severity],
        deltas: Deltas = NO_DELTAS,
        *,
        badge: Badge = "",
        placed: bool = True,
    ) -> None:
        self.project = study.project
        self.placement = study.project.placement if placed else {}
        self.drafter = Drafter(study, flags, deltas, badge)
        self.places: dict[str, Box] = {}
        self.paths: dict[str, tuple[tuple[Point, ...], ...]] = {}
        self.ports: dict[str, Point] = {}
        self.buses: dict[str, tuple[float, float, float]] = {}
        self.outlines: list[Outline] = []
        self.parts: dict[str, list[Part]] = {}
        self.grounds: dict[str, list[Element]] = {}
        self.loose: list[Element] = []
        self.drawn: list[Element] = []
        self._known = 0
        self._ends: dict[str, tuple[Point, ...]] = {}

    def tree(self, root: s.Spot, x: float, y: float) -> None:
        """Draw a tree whose upper end stands at (x, y)."""
        first = len(self.outlines)
        waiting = [_Hanging(root, (x, y), y, None)]
        while waiting:
            waiting.extend(self._spot(waiting.pop()))
        self.loose += self._fresh()
        for outline in self.outlines[first:]:
            self._outline(outline)
            self.grounds.setdefault(outline.structure, []).extend(self._fresh())

    def _fresh(self) -> list[Element]:
        """Give the elements that were drawn since this was last asked."""
        fresh = self.drafter.elements[self._known :]
        self._known += len(fresh)
        return fresh

    def _draw(self, draw: Callable[[Drafter], None], *keys: str) -> None:
        """Draw a part, and note how."""
        self.loose += self._fresh()
        part = Part(keys, draw)
        for key in keys:
            self.parts.setdefault(key, []).append(part)
        draw(self.drafter)
        self.drawn += self._fresh()

    def _run(
        self, run: r.Run, lead: s.Lead, start: Point, bus_y: float, end: tuple[Point, ...]
    ) -> None:
        draw = partial(Drafter.run, key=run.id, lead=lead, start=start, bus_y=bus_y, end=end)
        self._draw(draw, run.id)
        self._add_path(run.id, (start, *end))

    def _add_path(self, key: str, points: tuple[Point, ...]) -> None:
        self.paths[key] = (*self.paths.get(key, ()), points)

    # --- one branch --------------------------------------------------------------------------

    def _spot(self, at: _Hanging) -> list[_Hanging]:
        """Draw a piece with the run that leads to it; give what hangs from it."""
        spot, (tap_x, _), bus_y, _ = at
        branch, piece = spot.branch, spot.branch.piece
        moved = None if branch.continued else self.placement.get(piece.id)
        x = tap_x + (moved.dx_mm if moved else 0.0)
        top = bus_y + spot.drop + (moved.dy_mm if moved else 0.0)
        outline = self._within(at, x, top)
        if branch.entry:
            self._entry(branch.entry, spot, tap_x, bus_y, (x, top))
        if branch.feed:
            start = (tap_x, bus_y + PLATE_MM) if branch.entry else at.start
            end: tuple[Point, ...] = ((x, top),)
            if x != tap_x:
                jog = bus_y + spot.lead.height
                end = ((tap_x, jog), (x, jog), (x, top))
            self._run(branch.feed, spot.lead, start, bus_y, end)
        draw = Drafter.panel if spot.is_panel else Drafter.symbol
        self._draw(partial(draw, spot=spot, x=x, top=top), piece.id)
        if not branch.continued:
            self._note_place(spot, x, top)
        return self._beside(spot, x, top) + self._hung(spot, x, top, outline)

    def _note_place(self, spot: s.Spot, x: float, top: float) -> None:
        key = spot.branch.piece.id
        if spot.is_panel:
            left, right, bottom = spot.box
            self.places[key] = Box(x + left, top, right - left, bottom)
            self.ports[key] = (x, top + spot.head)
            self.buses[key] = (x + spot.bus[0], x + spot.bus[1], top + spot.head)
        else:
            left, right = spot.symbol.left_mm, spot.words_x + spot.label.width
            self.places[key] = Box(x - left, top, left + right, spot.foot)
            self.ports[key] = (x, top + spot.symbol.height_mm)

    def _within(self, at: _Hanging, x: float, top: float) -> Outline | None:
        """Add a piece to the outline of its structure, or start one."""
        spot = at.spot
        structure = spot.branch.piece.structure
        if structure is None:
            return None
        outline = at.outline
        upper = top - spot.join - spot.title + 1.5
        if spot.branch.structure_starts or outline is None:
            outline = Outline(structure, x + 2.0, upper, spot.title_width)
            self.outlines.append(outline)
        elif x != at.start[0]:
            tap_x = at.start[0]
            reach = s.RUN_INDENT + spot.lead.label.width
            outline.columns.append((tap_x - s.LEFT, tap_x + reach, top))
        outline.top = min(outline.top, upper)
        left, right = spot.own
        bottom = spot.box[2] if spot.is_panel else spot.foot
        outline.columns.append((x - left, x + right, top + bottom))
        return outline

    def _outline(self, outline: Outline) -> None:
        pen = Pen(self.drafter.elements, 0, 0, "enclosure", 0.35, outline.structure)
        pen.outline(*outline.points(s.OUTLINE_SIDE, s.OUTLINE_PAD), dash=(5.0, 1.5))
        structure = self.project.structures.get(outline.structure)
        name = shorten(structure.name if structure else "", outline.title_width, CAPITALS_MM)
        pen.note(outline.title_x, outline.top + 1.4 + CAPITALS_MM, name)

    # --- what hangs below --------------------------------------------------------------------

    def _hung(self, spot: s.Spot, x: float, top: float, outline: Outline | None) -> list[_Hanging]:
        line_y = hang_y = top + spot.head
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
        pen = self.drafter.wire(spot.branch.piece)
        left = min(0.0, *(part.x for part in spot.hung))
        right = max(0.0, *(part.x for part in spot.hung))
        pen.line((x, line_y), (x, hang_y))
        pen.line((x + left, hang_y), (x + right, hang_y))
        self.buses[spot.branch.piece.id] = (x + left, x + right, hang_y)

    def _list(self, panel: r.Equipment, part: s.Listed, start: Point) -> None:
        x, y = start
        width = s.RUN_INDENT + sum(part.columns)
        for number, row in enumerate(part.rows):
            top = y + s.LIST_TOP + number * LINE_MM
            draw = partial(
                Drafter.row,
                piece_key=row.piece.id,
                run_key=row.run.id,
                x=x,
                top=top,
                columns=part.columns,
            )
            self._draw(draw, row.piece.id, row.run.id)
            middle = top + CAPITALS_MM / 2
            self.places[row.piece.id] = Box(x, top - 1.0, width, LINE_MM)
            self._add_path(row.run.id, ((x, middle), (x + s.TICK, middle)))
        foot = y + s.LIST_TOP + (len(part.rows) - 1) * LINE_MM + CAPITALS_MM / 2
        self.drafter.wire(panel).line(start, (x, foot))

    def _folded(self, piece: r.Equipment, part: s.Folded, start: Point, bus_y: float) -> None:
        """Draw a small box with a plus, and how much it stands for."""
        pen = self.drafter.wire(piece)
        x, foot = start[0], bus_y + s.LIST_TOP + 1.0
        pen.line(start, (x, foot))
        pen.box(x - 2.0, foot, x + 2.0, foot + 4.0)
        pen.line((x - 1.2, foot + 2.0), (x + 1.2, foot + 2.0))
        pen.line((x, foot + 0.8), (x, foot + 3.2))
        words = f"{part.count} not shown"
        pen.text(x + s.RUN_INDENT, foot + 2.0 + CAPITALS_MM / 2, words, "folded")

    # --- lines that go on elsewhere ----------------------------------------------------------

    def _leaving(self, part: s.Interrupted, start: Point, bus_y: float) -> None:
        jump = part.jump
        x, foot = start[0], bus_y + part.top
        if jump.run:
            label = Label(0, part.device_width)
            lead = s.Lead(
                device=part.device,
                device_y=s.DEVICE_TOP,
                label=label,
                flagged=jump.target.entry is not jump,
            )
            self._run(jump.run, lead, start, bus_y, ((x, foot),))
        else:
            self.drafter.wire(jump.source.piece).line(start, (x, foot))
        self._plate(jump, x, foot, leaving_words(jump), jump.target_sheet, part.width)

    def _entry(self, jump: Jump, spot: s.Spot, x: float, y: float, end: Point) -> None:
        """Draw the mark at the top of a tree whose line comes from elsewhere."""
        width = spot.lead.entry
        if jump.run:
            self._plate(jump, x, y, entry_words(jump), jump.source_sheet, width, one_line=True)
        else:
            self._plate(jump, x, y, arriving_words(jump), jump.source_sheet, width)
            self.drafter.wire(spot.branch.piece).line((x, y + PLATE_MM), end)

    def _plate(
        self,
        jump: Jump,
        x: float,
        top: float,
        words: str,
        sheet: str,
        width: float,
        *,
        one_line: bool = False,
    ) -> None:
        owner = jump.run.id if jump.run else jump.source.piece.id
        pen = Pen(self.drafter.elements, x, top, "symbol", THIN_MM, owner)
        draw_plate(pen, 0, jump.mark)
        self.drafter.symbols.add("plate")
        where = sheet or f"mark {jump.mark}"
        if one_line:
            room = width - text_width_mm(f", {where}", CAPITALS_MM)
            pen.text(s.MARK_INDENT, CAPITALS_MM, f"{shorten(words, room, CAPITALS_MM)}, {where}")
            return
        lines = wrap(words, width, CAPITALS_MM)
        name = lines if len(lines) < 3 else (lines[0], " ".join(lines[1:]))
        place = f"on {sheet}" if sheet else f"at {where}"
        self.drafter.words(pen, s.MARK_INDENT, 0, map(Words, (*name, place)), width)

    # --- second ways -------------------------------------------------------------------------

    def _beside(self, spot: s.Spot, x: float, top: float) -> list[_Hanging]:
        """Draw what reaches a piece by a second way; the farthest one joins lowest."""
        hanging: list[_Hanging] = []
        base = top - spot.drop + spot.beside_y
        count = len(spot.beside)
        for number, part in enumerate(spot.beside):
            part_x, join_y = x + part.x, top - s.JOIN_STEP * (count - number)
            run = _second_run(part)
            end = _join(spot, run, x, top, part_x, join_y)
            if isinstance(part, s.Spot):
                self._ends[run.id] = end
                hanging.append(_Hanging(part, (part_x, base), base, None))
            elif isinstance(part, s.Interrupted):
                jump, start = part.jump, (part_x, base + PLATE_MM)
                words = arriving_words(jump)
                self._plate(jump, part_x, base, words, jump.source_sheet, part.width)
                wire = self.drafter.wire(run)
                wire.line(start, (part_x, join_y), *end)
                if run.until is not None:
                    strike(wire, part_x, (start[1] + join_y) / 2)
                self._add_path(run.id, (start, (part_x, join_y), *end))
        return hanging

    def _outlet(self, part: s.Outlet, start: Point, bus_y: float) -> None:
        end = self._ends[part.run.id]
        self._run(part.run, part.lead, start, bus_y, ((start[0], end[0][1]), *end))


def _join(
    spot: s.Spot, run: r.Run, x: float, top: float, part_x: float, join_y: float
) -> tuple[Point, ...]:
    """Give the corners from a second way at `part_x` to where it joins the piece at (x, top)."""
    if spot.is_panel:
        return (part_x, join_y), (part_x, top + spot.head)
    if isinstance(spot.branch.piece, r.TransferSwitch) and run.lands_on == "standby":
        return (x + STANDBY_MM, join_y), (x + STANDBY_MM, top)
    return ((x, join_y),)


def _second_run(part: s.Hung) -> r.Run:
    """Give the run by which a part beside a piece reaches it."""
    while isinstance(part, s.Spot):
        part = part.hung[-1]
    run = part.run if isinstance(part, s.Outlet) else None
    if isinstance(part, s.Interrupted):
        run = part.jump.run
    assert run is not None
    return run
