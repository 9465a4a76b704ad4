"""Draws single pieces and runs in their places: symbols, lines, words and finding marks.

Each call draws one thing from where it stands and what is known of it, so that a changed number is
drawn again without laying anything out.
"""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.model.standing import work_of
from ampacre.picture.lettering import shorten, text_width_mm
from ampacre.picture.primitives import Element, Layer
from ampacre.rules.review import SEVERITIES
from ampacre.rules.rule import Severity
from ampacre.sheets import spots as s
from ampacre.sheets.badges import Badge, lettered, piece_badge, row_badge, row_words, run_badge
from ampacre.sheets.labelling import Words
from ampacre.sheets.marks import cross_out, draw_delta, draw_flag, strike
from ampacre.sheets.outlines import Point
from ampacre.sheets.pen import CAPITALS_MM, LINE_MM, THICK_MM, THIN_MM, Pen
from ampacre.sheets.piece_labels import PIECE_LINES, electrode_line, piece_words, row_name
from ampacre.sheets.rooms import SERVICE_POINT, Label
from ampacre.sheets.run_labels import (
    device_words,
    named_device,
    numbered_device,
    rating_words,
    run_words,
    spaces_words,
)
from ampacre.sheets.symbols import DEVICE_MM, draw_device, draw_ground, symbol_of
from ampacre.study.facts import RunFacts
from ampacre.study.study import Study

__all__ = ["NO_DELTAS", "Deltas", "Drafter"]

_BUS_MM, _ROW_GAP = 1.2, 1.5


class Deltas(NamedTuple):
    """What changed since a set was handed in: the number of the set it is in, and the ids."""

    number: str = ""
    keys: frozenset[str] = frozenset()


NO_DELTAS = Deltas()


class Drafter:
    """Adds to `elements`; `symbols` gathers the names of the symbols that were drawn."""

    def __init__(
        self,
        study: Study,
        flags: Mapping[str, Severity],
        deltas: Deltas = NO_DELTAS,
        badge: Badge = "",
    ) -> None:
        self.study = study
        self.flags = flags
        self.deltas = deltas
        self.badge: Badge = badge
        self.units = study.settings.units
        self.elements: list[Element] = []
        self.symbols: set[str] = set()

    def pen(self, record: r.Standing, x: float, y: float, layer: Layer = "symbol") -> Pen:
        """Give the pen for a piece's symbol: thick for new and reused work."""
        fresh = work_of(record) in ("new", "reused")
        return Pen(self.elements, x, y, layer, THICK_MM if fresh else THIN_MM, record.id)

    def wire(self, record: r.Standing) -> Pen:
        """Give the pen for lines that belong to a piece or a run."""
        fresh = work_of(record) in ("new", "reused")
        return self.pen(record, 0, 0, "new" if fresh else "existing")

    def words(self, pen: Pen, x: float, top: float, words: Iterable[Words], width: float) -> None:
        """Write lines one below the other, each shortened to the width."""
        y = top + CAPITALS_MM
        for text, field in words:
            pen.text(x, y, shorten(text, width, CAPITALS_MM), field)
            y += LINE_MM

    def large_words(
        self, pen: Pen, x: float, top: float, words: list[Words], width: float, lines: int
    ) -> None:
        """Write the lines of a badge in the room of as many lines of a sheet."""
        for (text, field), height_mm in lettered(words, width, lines):
            pen.text(
                x, top + height_mm, shorten(text, width, height_mm), field, height_mm=height_mm
            )
            top += LINE_MM * height_mm / CAPITALS_MM

    def _flag(self, keys: tuple[str, ...], x: float, y: float) -> None:
        """Draw the mark of the gravest finding of these elements, or that of a change."""
        found = [(SEVERITIES.index(self.flags[key]), key) for key in keys if key in self.flags]
        if found:
            grade, key = min(found)
            draw_flag(Pen(self.elements, 0, 0, "flag", THIN_MM, key), SEVERITIES[grade], x, y)
        elif changed := next((key for key in keys if key in self.deltas.keys), None):
            pen = Pen(self.elements, 0, 0, "flag", THIN_MM, changed)
            draw_delta(pen, x - 0.6, y, self.deltas.number)
            self.symbols.add("delta")

    # --- pieces ------------------------------------------------------------------------------

    def symbol(self, spot: s.Spot, x: float, top: float) -> None:
        """Draw a piece that is not a panel, its line entering at (x, top)."""
        piece, symbol = self.study.project.equipment[spot.branch.piece.id], spot.symbol
        pen = self.pen(piece, x, top)
        self._names(pen, spot, spot.words_x, 0.0)
        self._flag((piece.id,), x - 4.0, top - 3.2)
        if spot.branch.continued:
            return
        symbol.draw(pen)
        self.symbols.add(symbol_of(piece))
        if isinstance(piece, r.Transformer):
            if piece.neutral_bonded is not False:
                self._ground(pen, 0.0, 11.0)
        elif getattr(piece, "neutral_bonded", None):
            self._ground(pen, -symbol.left_mm, symbol.height_mm / 2)
        if piece.until is not None:
            cross_out(pen, -symbol.left_mm, 0, symbol.right_mm, symbol.height_mm)
        self._piece_words(pen, piece, spot, LINE_MM * len(spot.names))

    def panel(self, spot: s.Spot, x: float, top: float) -> None:
        """Draw a panel: its box, its main device and its bus as wide as what hangs from it."""
        piece = self.study.project.equipment[spot.branch.piece.id]
        assert isinstance(piece, r.Panel)
        continued = spot.branch.continued
        pen = self.pen(piece, x, top)
        left, right, bottom = spot.box
        pen.box(left, 0, right, bottom, dash=(2.0, 1.0))
        bus = self.pen(piece, x, top, "bus")
        bus.width_mm = _BUS_MM
        bus_left, bus_right = spot.bus
        bus.line((bus_left, spot.head), (bus_right, spot.head))
        if piece.main and not continued:
            pen.line((0, 0), (0, s.DEVICE_TOP))
            self._device(pen, piece.main.kind, s.DEVICE_TOP)
            pen.line((0, s.DEVICE_TOP + DEVICE_MM), (0, spot.head))
        else:
            pen.line((0, 0), (0, spot.head))
        self._names(pen, spot, spot.words_x, s.PANEL_TOP)
        self._flag((piece.id,), x - 4.0, top - 3.2)
        if continued:
            return
        self.symbols.add("panel")
        if piece.neutral_bonded:
            lead = bus_left - s.GROUND_ROOM / 2
            pen.line((bus_left, spot.head), (lead, spot.head), (lead, spot.head + 3))
            draw_ground(pen, lead, spot.head + 3)
            self.symbols.add("ground")
        if piece.until is not None:
            cross_out(pen, left + 1, 1, -1, spot.head - 1)
        below = s.PANEL_TOP + LINE_MM * len(spot.names)
        self._piece_words(pen, piece, spot, below)

    def _piece_words(self, pen: Pen, piece: r.Equipment, spot: s.Spot, top: float) -> None:
        badge, width = self.badge, spot.label.width
        record = self.study.project.grounding.get(spot.branch.grounding)
        electrodes = [electrode_line(record, self.units)] if record else []
        if badge:
            words = piece_badge(badge, piece, self.study)
            words += electrodes if badge == "sizes" else []
            lines = PIECE_LINES[type(piece)] + len(electrodes)
            self.large_words(pen, spot.words_x, top, words, width, lines)
            return
        if record:
            self.symbols.add("electrodes")
        fitted = spot.label.words
        if fitted is None:
            fitted = (
                *piece_words(piece, self.study.found.equipment.get(piece.id), self.units),
                *electrodes,
            )
        self.words(pen, spot.words_x, top, fitted, width)

    def _names(self, pen: Pen, spot: s.Spot, x: float, top: float) -> None:
        for number, line in enumerate(spot.names):
            pen.text(x, top + CAPITALS_MM + number * LINE_MM, line, "name", bold=True)

    def _ground(self, pen: Pen, x: float, y: float) -> None:
        pen.line((x, y), (-s.GROUND_ROOM, y), (-s.GROUND_ROOM, y + 1.5))
        draw_ground(pen, -s.GROUND_ROOM, y + 1.5)
        self.symbols.add("ground")

    def _device(self, pen: Pen, kind: str, top: float) -> None:
        draw_device(pen, kind, top)
        self.symbols.add(kind)

    # --- runs --------------------------------------------------------------------------------

    def run(
        self, key: str, lead: s.Lead, start: Point, bus_y: float, end: tuple[Point, ...]
    ) -> None:
        """Draw a run from its start down and through the corners of its end, device and words."""
        run = self.study.project.runs[key]
        x, y = start
        facts = self.study.found.runs.get(run.id)
        pen = self.wire(run)
        if lead.device:
            device_y = bus_y + lead.device_y
            pen.line((x, y), (x, device_y))
            y = device_y + DEVICE_MM
            self._run_device(run, facts, x, device_y, lead.label.width)
        pen.line((x, y), *end)
        words_y = bus_y + lead.words_y
        if run.until is not None:
            strike(pen, x, words_y + LINE_MM if lead.label.lines else (y + end[0][1]) / 2)
        self._run_words(pen, run, facts, x + s.RUN_INDENT, words_y, lead.label)
        if lead.service_y is not None:
            self._service_point(run, x, bus_y + lead.service_y, lead.label.width)
        if lead.flagged:
            self._flag((run.id,), x - 4.0, words_y + 2.5)

    def _run_words(
        self, pen: Pen, run: r.Run, facts: RunFacts | None, x: float, top: float, label: Label
    ) -> None:
        """Write what a run is: its name where there is room for it alone or above the rest."""
        lines, width = label.lines, label.width
        if label.words is not None:
            self.words(pen, x, top, label.words, width)
            return
        if lines in (1, 4):
            self.words(pen, x, top, [Words(run.name, "name")], width)
            top += LINE_MM
        if lines < 3:
            return
        if self.badge:
            words = run_badge(self.badge, run, facts, self.units)
            self.large_words(pen, x, top, words, width, 3)
        else:
            self.words(pen, x, top, run_words(run, facts, self.units), width)

    def _service_point(self, run: r.Run, x: float, top: float, width: float) -> None:
        """Draw the line between the utility's side, above, and the customer's."""
        pen = Pen(self.elements, x, top, "enclosure", THIN_MM, run.id)
        level = LINE_MM + 0.6
        pen.line((-6.0, level), (s.RUN_INDENT + width, level), dash=(4.0, 1.0, 0.8, 1.0))
        pen.text(s.RUN_INDENT, CAPITALS_MM + 0.6, SERVICE_POINT)
        self.symbols.add("service point")

    def _run_device(
        self, run: r.Run, facts: RunFacts | None, x: float, top: float, width: float
    ) -> None:
        pen = self.pen(run, x, 0)
        self._device(pen, run.device.kind if run.device else "breaker", top)
        if run.until is not None:
            strike(pen, 0, top + DEVICE_MM / 2)
        words = named_device(run, Words("") if self.badge else numbered_device(run, facts))
        if not self.badge and text_width_mm(words.text, CAPITALS_MM) > width:
            words = named_device(run, device_words(run, facts))
        self.words(pen, s.RUN_INDENT, top + (DEVICE_MM - CAPITALS_MM) / 2, [words], width)

    def row(
        self, piece_key: str, run_key: str, x: float, top: float, columns: tuple[float, ...]
    ) -> None:
        """Draw a line of a panel's list: its branch off the line at x, spaces, device, load."""
        piece = self.study.project.equipment[piece_key]
        run = self.study.project.runs[run_key]
        middle = top + CAPITALS_MM / 2
        wire = self.wire(run)
        wire.line((x, middle), (x + s.TICK, middle))
        if run.until is not None:
            strike(wire, x + s.TICK / 2, middle)
        rated = self.badge in ("", "sizes")
        cells = (
            (run_key, Words(spaces_words(run), "spaces")),
            (run_key, rating_words(run, self.study.found.runs.get(run.id)) if rated else Words("")),
            (piece_key, Words(row_name(piece), "name")),
            (piece_key, self._row_load(piece, columns[-1] - _ROW_GAP)),
        )
        left = x + s.RUN_INDENT
        for width, (owner, (text, field)) in zip(columns, cells, strict=True):
            pen = Pen(self.elements, left, top, "text", THIN_MM, owner)
            pen.text(0, CAPITALS_MM, shorten(text, width - _ROW_GAP, CAPITALS_MM), field)
            left += width
        self._flag((piece_key, run_key), x - 4.0, middle)

    def _row_load(self, piece: r.Equipment, width: float) -> Words:
        words = Words("") if self.badge else row_words(piece, self.study)
        fits = words.text and text_width_mm(words.text, CAPITALS_MM) <= width
        return words if fits else row_badge(self.badge, piece, self.study)
