"""Which numbers are written beside pieces and runs, where one kind of number alone is wanted.

A sheet writes all the words that a piece has. On a screen that shows much of a property at once one
kind of number alone, in larger letters, can still be read. It stands in the room that all the words
have, so nothing moves.
"""

from typing import Literal, NamedTuple, get_args

from ampacre.model import records as r
from ampacre.picture.lettering import text_width_mm
from ampacre.quantity import UnitSystem, show
from ampacre.sheets.labelling import Words
from ampacre.sheets.pen import CAPITALS_MM, LINE_MM
from ampacre.sheets.piece_labels import load_line, load_words, motor_words, piece_words, sizing_line
from ampacre.sheets.ratings import bound_mark, rated_ka
from ampacre.sheets.run_labels import device_words, run_words
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
    "row_words",
    "run_badge",
]

Badge = Literal["", "load", "spare", "voltage", "fault", "sizes"]
"""The kind of number that is written; "" writes all that a sheet does."""

BADGES: tuple[Badge, ...] = get_args(Badge)

_SIZES = ("", "electrodes")
"""The words of a piece on a sheet that tell its ratings."""

_LARGE_MM = 4.8


class Lettered(NamedTuple):
    """A line of words, and the height of its capitals [mm]."""

    words: Words
    height_mm: float = CAPITALS_MM


def piece_badge(badge: Badge, piece: r.Equipment, study: Study) -> list[Words]:
    """Give the lines below a piece's name, the one that matters most first."""
    facts, units = study.found.equipment.get(piece.id), study.settings.units
    match badge:
        case "load":
            return _load(piece, facts, units)
        case "spare":
            return _spare_of_piece(facts)
        case "voltage":
            return _voltage(study.voltage(piece.id))
        case "fault":
            return _fault(facts)
    words = piece_words(piece, facts, units)
    return [each for each in words if each.text and each.field in _SIZES]


def run_badge(badge: Badge, run: r.Run, facts: RunFacts | None, units: UnitSystem) -> list[Words]:
    """Give the lines beside a run, the one that matters most first."""
    if badge == "sizes":
        size, grounding, _ = run_words(run, facts, units)
        device = device_words(run, facts) if run.protected_at != "none" else Words("")
        return [words for words in (size, grounding, device) if words.text]
    if facts is None:
        return []
    match badge:
        case "load" if facts.demand:
            return [Words(f"load {show(facts.calculated_a, 'a')}", "calculated")]
        case "spare" if facts.demand and facts.protecting_a is not None:
            spare = _spare(facts.protecting_a - facts.sizing_a, "a")
            return [Words(spare, "spare"), Words(f"of {show(facts.protecting_a, 'a')}", "spare")]
        case "voltage" if facts.drop_pct is not None:
            return [Words(f"{facts.drop_pct:.1f} % drop", "drop")]
        case "fault" if facts.ground_a:
            least = show(facts.ground_a / 1000, "ka")
            return [Words(f"least {least}", "ground fault"), Words("to ground", "ground fault")]
    return []


def row_badge(badge: Badge, piece: r.Equipment, study: Study) -> Words:
    """Give the number at the end of a load's line in a list."""
    if badge in ("", "load"):
        return load_words(piece, study.found.equipment.get(piece.id), study.settings.units)
    text, field = next(iter(piece_badge(badge, piece, study)), Words(""))
    return Words(text.removeprefix("fault "), field)


def row_words(piece: r.Equipment, study: Study) -> Words:
    """Give the load at the end of a load's line where there is room: of a motor all its ratings."""
    if not isinstance(piece, r.Motor):
        return row_badge("", piece, study)
    facts = study.found.equipment.get(piece.id)
    feed = study.found.runs.get(facts.feed) if facts and facts.feed else None
    return Words(motor_words(piece, feed.volts if feed else 0.0), "load")


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


def _load(piece: r.Equipment, facts: EquipmentFacts | None, units: UnitSystem) -> list[Words]:
    if isinstance(piece, (r.Motor, r.Load, r.DwellingLoad)):
        return [load_words(piece, facts, units)]
    if isinstance(piece, r.Charger):
        setting = f"set to {show(piece.setting_a, 'a')}" if piece.setting_a else "no setting"
        return [Words(setting, "setting")]
    demand = facts.demand if facts else None
    if facts is None or demand is None:
        return []
    if isinstance(piece, r.Transformer):
        kva = facts.chosen.get("kva", piece.kva)
        share = f"{demand.calculated_va / kva / 10:.0f} % of {show(kva, 'kva')}" if kva else ""
        words = f"load {show(demand.calculated_va / 1000, 'kva')}"
        return [Words(words, "calculated"), Words(share, "calculated")]
    return [load_line(facts), sizing_line(facts)]


def _spare_of_piece(facts: EquipmentFacts | None) -> list[Words]:
    faced = tightest(facts) if facts else None
    if facts is None or faced is None:
        return []
    unit = faced.unit.casefold()
    rated = f"of {show(faced.rating, unit)}"
    if getattr(facts.piece, "main", None):
        # which of its ratings is the tightest; others have one only
        rated += f", {faced.what}"
    return [Words(_spare(faced.spare, unit), "spare"), Words(rated, "spare")]


def _spare(amount: float, unit: str) -> str:
    return f"spare {show(amount, unit)}" if amount >= 0 else f"over by {show(-amount, unit)}"


def _voltage(voltage: Voltage | None) -> list[Words]:
    if voltage is None:
        return []
    legs = " / ".join(f"{abs(leg_v):.1f}" for leg_v in voltage.leg_v)
    return [Words(show(voltage.lowest_pct, "pct"), "voltage"), Words(f"{legs} V", "voltage")]


def _fault(facts: EquipmentFacts | None) -> list[Words]:
    if facts is None or facts.fault is None:
        return []
    rating_ka = rated_ka(facts.piece)
    rated = [Words(f"rated {show(rating_ka, 'ka')}", "fault")] if rating_ka else []
    fault = f"fault {show(facts.fault.greatest.greatest_ka, 'ka')}{bound_mark(facts)}"
    return [Words(fault, "fault"), *rated]
