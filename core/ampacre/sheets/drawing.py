"""Draws arranged branches: symbols, lines, words, lists, marks and the outlines of structures."""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.model.standing import Work, work_of
from ampacre.picture.lettering import shorten
from ampacre.picture.primitives import Element, Layer, Polyline, Text
from ampacre.sheets import spots as s
from ampacre.sheets.labels import (
    WORK_MARKS,
    Words,
    device_words,
    load_words,
    piece_words,
    run_words,
    spaces_words,
)
from ampacre.sheets.marks import PLATE_MM, Severity, cross_out, draw_flag, draw_plate, strike
from ampacre.sheets.outlines import Outline, Point
from ampacre.sheets.pen import CAPITALS_MM, LINE_MM, THICK_MM, THIN_MM, Pen
from ampacre.sheets.symbols import DEVICE_MM, draw_device, draw_ground, symbol_of
from ampacre.sheets.tree import Jump
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.study import Study

__all__ = ["Box", "Drawing"]


class Box(NamedTuple):
    """A rectangle on the drawing [mm]; (x, y) is its upper left corner."""

    x: float
    y: float
    w: float
    h: float


class _Place(NamedTuple):
    """A spot with where its line leaves the bus above, how far it was moved, and its outline."""

    spot: s.Spot
    x: float
    y: float
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

    # --- what is known -----------------------------------------------------------------------

    def _piece_facts(self, piece: r.Equipment) -> EquipmentFacts | None:
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

    def _words(self, pen: Pen, x: float, top: float, words: Iterable[Words], width: float) -> None:
        y = top + CAPITALS_MM
        for text, field in words:
            pen.text(x, y, shorten(text, width, CAPITALS_MM), field)
            y += LINE_MM

    def _flag(self, key: str, x: float, y: float) -> None:
        severity = self.flags.get(key)
        if severity:
            draw_flag(Pen(self.elements, 0, 0, "flag", THIN_MM, key), severity, x, y)

    # --- trees -------------------------------------------------------------------------------

    def tree(self, root: s.Spot, x: float, y: float) -> None:
        """Draw a tree whose upper end stands at (x, y)."""
        waiting = [_Place(root, x, y, y, None)]
        while waiting:
            waiting.extend(reversed(self._spot(waiting.pop())))
        ...
