"""What an empty field says: what the study chose or assumed in its place, or that nobody knows."""

from typing import Any, NamedTuple

from ampacre.model import records as r
from ampacre.model.standing import work_of
from ampacre.quantity import UnitSystem, show, unit_word
from ampacre.study.facts import Chosen, EquipmentFacts, RunFacts
from ampacre.study.keeping import CHOICES
from ampacre_gui.panels.entries import choice_word
from ampacre_gui.panels.form import FieldSpec

__all__ = ["Hint", "chosen_in_place", "hint"]

_EMPTY_WORDS = {
    "name": "no name",
    "basis": "no method of its own",
    "structure": "none",
    "serves": "no dwelling",
    "neutral_with": "no other circuit",
    "since": "there before the work",
    "until": "stays",
    "reuses": "material of its own",
    "conditioning": "neither",
    "continuous": "taken as yes",
    "ambient_c": "as for the whole project",
    "fault_ka": "infinite source",
    "fault_min_ka": "infinite source",
}


class Hint(NamedTuple):
    """A few words for the empty field, and the reason behind them for the tool tip."""

    text: str
    why: str = ""


def chosen_in_place(spec: FieldSpec, facts: RunFacts) -> Chosen[Any] | None:
    """Give what the study chose or assumed in place of an entry, None where it did not."""
    name = CHOICES.get(spec.name)
    chosen: Chosen[Any] | None = getattr(facts, name) if name else None
    if chosen is None or chosen.how not in ("chosen", "assumed") or chosen.value is None:
        return None
    return chosen


def hint(
    spec: FieldSpec, record: r.Record, facts: EquipmentFacts | RunFacts | None, units: UnitSystem
) -> Hint:
    """Give the words for a field in which nothing is entered."""
    chosen = chosen_in_place(spec, facts) if isinstance(facts, RunFacts) else None
    if chosen is not None:
        return Hint(f"{_value_words(spec, chosen.value, units)} ({chosen.how})", chosen.why)
    if spec.name == "conditioning" and isinstance(record, r.Motor) and record.compressor:
        return Hint("as a heat pump", "A compressor counts as a heat pump until this is said.")
    if spec.name in _EMPTY_WORDS:
        return Hint(_EMPTY_WORDS[spec.name])
    if isinstance(record, r.Standing) and work_of(record) != "new":
        return Hint(f"not known{_unit(spec, units)}")
    if spec.name in CHOICES:
        return Hint("program chooses")
    return Hint(f"not entered{_unit(spec, units)}")


def _unit(spec: FieldSpec, units: UnitSystem) -> str:
    word = unit_word(spec.unit, units) if spec.unit and spec.editor == "number" else ""
    return f" ({word})" if word else ""


def _value_words(spec: FieldSpec, value: object, units: UnitSystem) -> str:
    if isinstance(value, float) and spec.editor == "number":
        return show(value, spec.unit, units)
    return str(value) if spec.whole else choice_word(spec, value)
