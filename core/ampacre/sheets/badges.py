"""Which numbers are written beside pieces and runs, where one kind of number alone is wanted.

A sheet writes all the words that a piece has. On a screen that shows much of a property at once one
kind of number alone, in larger letters, can still be read. It stands in the room that all the words
have, so nothing moves.
"""

from typing import Literal, NamedTuple, get_args

from ampacre.model import records as r
from ampacre.picture.lettering import text_width_mm
from ampacre.quantity import UnitSystem, show
from ampacre.sheets.labels import Words, device_words, load_words, piece_words, run_words
from ampacre.sheets.pen import CAPITALS_MM, LINE_MM
from ampacre.study.capacity import tightest
from ampacre.study.facts import EquipmentFacts, RunFacts, Voltage
from ampacre.study.study import Study

__all__ = [
    "BADGES",
    "Badge",
    "Lettered",
    "lettered",
    "piece_badge",
    "row_badge",
    "run_badge",
]

Badge = Literal["", "load", "spare", "voltage", "fault", "sizes"]
"""The kind of number that is written; "" writes all that a sheet does."""

BADGES: tuple[Badge, ...] = get_args(Badge)

_FIELDS: dict[Badge, frozenset[str]] = {
    "load": frozenset({"calculated", "sizing", "load", "setting"}),
    "fault": frozenset({"fault"}),
    "sizes": frozenset({"", "electrodes", "size", "grounding"}),
    "voltage": frozenset({"drop"}),
}
"""The words of a sheet that a badge keeps."""

_LARGE_MM = 4.8


class Lettered(NamedTuple):
    """A line of words, and the height of its capitals [mm]."""

    words: Words
    height_mm: float = CAPITALS_MM


def piece_badge(badge: Badge, piece: r.Equipment, study: Study) -> list[Words]:
    """Give the lines below a piece's name, the one that matters most first."""
    facts, units = _facts(study, piece.id), study.settings.units
    match badge:
        case "spare":
            return _spare_of_piece(facts)
        case "voltage":
            return _voltage(study.voltage(piece.id))
    return [
        words
        for words in piece_words(piece, facts, units)
        if words.text and words.field in _FIELDS[badge]
    ]


def run_badge(badge: Badge, run: r.Run, facts: RunFacts | None, units: UnitSystem) -> list[Words]:
    """Give the lines beside a run, the one that matters most first."""
    match badge:
        case "load" if facts and facts.demand:
            return [Words(f"load {show(facts.calculated_a, 'a')}", "calculated")]
        case "spare":
            return _spare_of_run(facts)
        case "fault" if facts and facts.ground_a:
            return [Words(f"ground fault {show(facts.ground_a / 1000, 'ka')}", "ground fault")]
        case "sizes" | "voltage":
            found = [
                words for words in run_words(run, facts, units) if words.field in _FIELDS[badge]
            ]
            if badge == "sizes" and run.protected_at != "none":
                found.append(device_words(run, facts))
            return [words for words in found if words.text]
    return []


def row_badge(badge: Badge, piece: r.Equipment, study: Study) -> Words:
    """Give the number at the end of a load's line in a list."""
    if badge in ("", "load"):
        return load_words(piece, _facts(study, piece.id), study.settings.units)
    return next(iter(piece_badge(badge, piece, study)), Words(""))


def _facts(study: Study, key: str) -> EquipmentFacts | None:
    try:
        return study.equipment(key)
    except KeyError:
        return None  # it does not stand in the result


def lettered(words: list[Words], width_mm: float, lines: int) -> list[Lettered]:
    """Write the first line in large letters where there is room in width and height for them."""
    room_mm = lines * LINE_MM
    kept = [Lettered(each) for each in words[:lines]]
    if kept:
        first, grown = kept[0].words, LINE_MM * _LARGE_MM / CAPITALS_MM
        high = grown + (len(kept) - 1) * LINE_MM <= room_mm + 1e-9
        if high and text_width_mm(first.text, _LARGE_MM) <= width_mm:
            kept[0] = Lettered(first, _LARGE_MM)
    return kept


def _spare_of_piece(facts: EquipmentFacts | None) -> list[Words]:
    faced = tightest(facts) if facts else None
    if faced is None:
        return []
    unit = faced.unit.casefold()
    words = f"{_spare(faced.spare, unit)} of {show(faced.rating, unit)}"
    return [Words(words, "spare"), Words(faced.what, "spare")]


def _spare_of_run(facts: RunFacts | None) -> list[Words]:
    rating_a = facts.protecting_a if facts else None
    if facts is None or facts.demand is None or rating_a is None:
        return []
    words = f"{_spare(rating_a - facts.sizing_a, 'a')} of {show(rating_a, 'a')}"
    return [Words(words, "spare")]


def _spare(amount: float, unit: str) -> str:
    return f"spare {show(amount, unit)}" if amount >= 0 else f"over by {show(-amount, unit)}"


def _voltage(voltage: Voltage | None) -> list[Words]:
    if voltage is None:
        return []
    legs = " / ".join(f"{abs(leg_v):.1f}" for leg_v in voltage.leg_v)
    lowest = f"{show(voltage.lowest_pct, 'pct')} of nominal"
    return [Words(lowest, "voltage"), Words(f"{legs} V to neutral", "voltage")]
