"""The legend of a drawing set: the symbols that are used, the marks, the abbreviations."""

from collections.abc import Callable, Iterator
from typing import NamedTuple

from ampacre.picture.primitives import Element
from ampacre.sheets.changed_rows import DELTA
from ampacre.sheets.marks import DELTA_MM, PLATE_MM, draw_delta, draw_plate, strike
from ampacre.sheets.pen import CAPITALS_MM, THICK_MM, THIN_MM, Pen
from ampacre.sheets.symbols import SYMBOLS, draw_device, draw_ground
from ampacre.sheets.table import CLOSE_GAP, Column, Figure, Part, Table

__all__ = ["ABBREVIATIONS", "legend"]

ABBREVIATIONS = (
    ("AL, CU", "aluminum, copper"),
    ("ckt 1,3", "circuit in these spaces"),
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

_SYMBOL_COLUMN, _SHORT_COLUMN = 18.0, 46.0
_INSTEAD = "\ufffd"
# a figure is not torn, so that a long legend comes in several
_TOGETHER = 6


class _Entry(NamedTuple):
    words: str
    height: float
    draw: Callable[[Pen], None]


def legend(used: frozenset[str], width: float, number: str = "") -> Iterator[Part]:
    """Make the legend of the symbols in use, for a column of this width [mm], and abbreviations.

    `number` is that of the set, as the marks of what changed bear it.
    """
    entries = [*_symbol_entries(used), *_line_entries(used, number)]
    for first in range(0, len(entries), _TOGETHER):
        yield _figure(entries[first : first + _TOGETHER], "" if first else "Legend", width)
    pair = (Column("", _SHORT_COLUMN), Column("", width - _SHORT_COLUMN))
    lost = ((_INSTEAD, "a character that these sheets cannot print"),)
    yield Table("Abbreviations", pair, ABBREVIATIONS + (lost if "lost" in used else ()))


def _figure(entries: list[_Entry], title: str, width: float) -> Figure:
    out: list[Element] = []
    y = 0.0
    for entry in entries:
        entry.draw(Pen(out, _SYMBOL_COLUMN / 2 - 1, y, "symbol", THIN_MM))
        height = max(entry.height, CAPITALS_MM)
        Pen(out).text(_SYMBOL_COLUMN, y + height / 2 + CAPITALS_MM / 2, entry.words)
        y += height + CLOSE_GAP
    return Figure(title, tuple(out), width, y - CLOSE_GAP)


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


def _line_entries(used: frozenset[str], number: str) -> list[_Entry]:
    entries = [
        _Entry("line goes on at the same mark", PLATE_MM, lambda pen: draw_plate(pen, 0, "A"))
    ]
    changed = [
        _Entry(
            f"changed since the last set; {DELTA}{number} in schedules",
            DELTA_MM,
            lambda pen: draw_delta(pen, 0, DELTA_MM / 2, number),
        )
    ]
    service = [_Entry("service point: utility above, customer below", 3.0, _service_point)]
    return [
        *(entries if "plate" in used else ()),
        *(changed if "delta" in used else ()),
        *(service if "service point" in used else ()),
        _Entry("(E) existing, to remain: thin", 2.0, lambda pen: _stroke(pen, THIN_MM)),
        _Entry(
            "(N) new, (replaced) new for old, (reused): thick",
            2.0,
            lambda pen: _stroke(pen, THICK_MM),
        ),
        _Entry("(remove) to be removed: crossed", 3.0, _removed),
        _Entry("structure", 4.0, lambda pen: pen.box(-6, 0, 6, 4, dash=(5.0, 1.5))),
    ]


def _service_point(pen: Pen) -> None:
    pen.line((-6, 1.5), (6, 1.5), dash=(4.0, 1.0, 0.8, 1.0))


def _stroke(pen: Pen, width_mm: float) -> None:
    Pen(pen.out, pen.x, pen.y, "symbol", width_mm).line((-6, 1), (6, 1))


def _removed(pen: Pen) -> None:
    pen.line((-6, 1.5), (6, 1.5))
    strike(pen, 0, 1.5)
