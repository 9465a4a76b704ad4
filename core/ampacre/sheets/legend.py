"""The legend of a drawing set: the symbols that are used, the marks, the abbreviations."""

from collections.abc import Callable
from typing import NamedTuple

from ampacre.picture.primitives import Element
from ampacre.sheets.marks import PLATE_MM, draw_delta, draw_plate, strike
from ampacre.sheets.pen import CAPITALS_MM, LINE_MM, THICK_MM, THIN_MM, Pen
from ampacre.sheets.symbols import SYMBOLS, draw_device, draw_ground

__all__ = ["ABBREVIATIONS", "Legend", "legend"]

ABBREVIATIONS = (
    ("AL, CU", "aluminum, copper"),
    ("drop", "voltage drop of the run"),
    ("EGC", "equipment grounding conductor"),
    ("GEC", "grounding electrode conductor"),
    ("EVSE", "vehicle supply equipment"),
    ("fault 9 of 10 kA", "fault current, of rating"),
    ("load", "calculated, heavier leg"),
    ("2-4/0, 2/0 N", "neutral of another size"),
    ("(2) 3-250", "two sets in parallel"),
    ("2P", "two poles"),
    ("sizing", "load + 25 % of continuous"),
    ("WH", "watt-hour meter"),
    ("*", "assumed: verify in field"),
)

_SYMBOL_COLUMN, _WORD_COLUMN = 18.0, 82.0
_GAP = 6.0
_TITLE = 8.0


class Legend(NamedTuple):
    """The legend's elements, from its upper left corner, and its size [mm]."""

    elements: list[Element]
    width: float
    height: float


class _Entry(NamedTuple):
    words: str
    height: float
    draw: Callable[[Pen], None]


def legend(used: frozenset[str], columns: int) -> Legend:
    """Draw a legend of the symbols in use in this many columns, abbreviations included."""
    entries = [*_symbol_entries(used), *_line_entries(used)]
    out: list[Element] = []
    pen = Pen(out)
    pen.text(0, 4.0, "Legend", bold=True, height_mm=4.0)
    heights = [max(entry.height, CAPITALS_MM) + 2.2 for entry in entries]
    heights += [LINE_MM] * (len(ABBREVIATIONS) + 1)
    goal = sum(heights) / columns
    x, y, deepest = 0.0, _TITLE, 0.0
    draw = [*(_symbol_drawer(entry) for entry in entries)]
    draw += [_text_drawer(*pair) for pair in (("Abbreviations", ""), *ABBREVIATIONS)]
    for height, place in zip(heights, draw, strict=True):
        if y > _TITLE and y - _TITLE + height > goal + 8.0 and x < (columns - 1) * _pitch():
            x, y = x + _pitch(), _TITLE
        place(Pen(out, x, y, "symbol", THIN_MM))
        y += height
        deepest = max(deepest, y)
    return Legend(out, columns * _pitch() - _GAP, deepest)


def _pitch() -> float:
    return _SYMBOL_COLUMN + _WORD_COLUMN + _GAP


def _symbol_drawer(entry: _Entry) -> Callable[[Pen], None]:
    def draw(pen: Pen) -> None:
        shifted = Pen(pen.out, pen.x + _SYMBOL_COLUMN / 2 - 1, pen.y, "symbol", THIN_MM)
        entry.draw(shifted)
        pen.text(_SYMBOL_COLUMN, max(entry.height, CAPITALS_MM) / 2 + CAPITALS_MM / 2, entry.words)

    return draw


def _text_drawer(short: str, words: str) -> Callable[[Pen], None]:
    def draw(pen: Pen) -> None:
        pen.text(0, CAPITALS_MM, short, bold=True)
        pen.text(38.0, CAPITALS_MM, words)

    return draw


def _symbol_entries(used: frozenset[str]) -> list[_Entry]:
    entries = [
        _Entry(symbol.words, symbol.height_mm, symbol.draw)
        for name, symbol in SYMBOLS.items()
        if name in used
    ]
    if "breaker" in used:
        entries.append(_Entry("circuit breaker", 7.5, lambda pen: draw_device(pen, "breaker", 0)))
    if "fuse" in used:
        entries.append(_Entry("fuse", 7.5, lambda pen: draw_device(pen, "fuse", 0)))
    if "ground" in used:
        entries.append(_Entry("neutral bonded and grounded here", 4.0, _ground))
    return entries


def _ground(pen: Pen) -> None:
    pen.line((0, 0), (0, 1.5))
    draw_ground(pen, 0, 1.5)


def _line_entries(used: frozenset[str]) -> list[_Entry]:
    entries = [
        _Entry("line goes on at the same mark", PLATE_MM, lambda pen: draw_plate(pen, 0, "A"))
    ]
    changed = [_Entry("changed since the last set", 5.0, lambda pen: draw_delta(pen, 0, 2.7))]
    service = [_Entry("service point: utility above, customer below", 3.0, _service_point)]
    return [
        *(entries if "plate" in used else ()),
        *(changed if "delta" in used else ()),
        *(service if "service point" in used else ()),
        _Entry("(E) existing, to remain: thin", 2.0, lambda pen: _stroke(pen, THIN_MM)),
        _Entry("(N) new, or reused material: thick", 2.0, lambda pen: _stroke(pen, THICK_MM)),
        _Entry("to be removed: crossed", 3.0, _removed),
        _Entry("structure", 4.0, lambda pen: pen.box(-6, 0, 6, 4, dash=(5.0, 1.5))),
    ]


def _service_point(pen: Pen) -> None:
    pen.line((-6, 1.5), (6, 1.5), dash=(4.0, 1.0, 0.8, 1.0))


def _stroke(pen: Pen, width_mm: float) -> None:
    Pen(pen.out, pen.x, pen.y, "symbol", width_mm).line((-6, 1), (6, 1))


def _removed(pen: Pen) -> None:
    pen.line((-6, 1.5), (6, 1.5))
    strike(pen, 0, 1.5)
