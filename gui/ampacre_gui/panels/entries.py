"""What is typed into a field and what stands in it: text to values and values to text, without Qt."""

from typing import Any

from ampacre.model import records as r
from ampacre.model.words import value_word
from ampacre.quantity import NotUnderstood, UnitSystem, exact, read, show, trade_size
from ampacre_gui.panels.form import FieldSpec, form_of
from ampacre_gui.phrases import said

__all__ = ["bounds_words", "choice_word", "read_entry", "read_name", "sentence", "shown"]

_CHOICE_WORDS: dict[tuple[str, Any], str] = {
    ("legs", ""): "all of them",
    ("protected_at", "supply"): "supply end",
    ("protected_at", "load"): "load end",
    ("protected_at", "none"): "nowhere",
    ("neutral", "none"): "no neutral",
    ("grounding", "none"): "no grounding conductor",
    ("grounding", "raceway"): "the metal raceway",
    ("units", "us"): "US customary",
    ("connection", "receptacle"): "cord and plug",
    ("basis", "general"): "general (220 III)",
    ("basis", "optional dwelling"): "optional (220.82)",
    ("basis", "existing dwelling"): "existing (220.83)",
    ("basis", "measured"): "measured (220.87)",
    ("basis", "multifamily optional"): "multifamily (220.84)",
    ("basis", "two dwellings"): "two units (220.85)",
    ("mixed_optional", "tally"): "counts by the standard method above",
    ("mixed_optional", "block"): "counts as one load by its own method",
    ("optional_chargers", "outside"): "chargers counted apart",
    ("optional_chargers", "inside"): "chargers counted with the other loads",
    ("edition", "2017"): "NEC 2017",
    ("edition", "2020"): "NEC 2020",
    ("edition", "2023"): "NEC 2023",
}


def choice_word(spec: FieldSpec, value: Any) -> str:
    """Give the words of one choice of a field."""
    name = spec.path[-1]
    special = _CHOICE_WORDS.get((name, value))
    if special:
        return said(special)
    if name == "trade_size":
        return f"{value} in"
    if name in ("size", "neutral", "grounding"):
        return f"{value} {'AWG' if '/' in value or int(value) < 250 else 'kcmil'}"
    if spec.unit and type(value) in (int, float):
        return show(value, spec.unit)
    return said(value_word(value))


def shown(spec: FieldSpec, value: Any, units: UnitSystem) -> str:
    """Give a value as its line editor shows it, so that reading it back gives the same value."""
    if value is None:
        return ""
    if spec.editor == "several":
        return ", ".join(str(item) for item in value)
    if spec.editor == "number":
        return str(value) if spec.whole else exact(value, spec.unit, units)
    return str(value)


def read_entry(spec: FieldSpec, text: str, units: UnitSystem) -> Any:
    """Read what was typed into a line or a cell. Raises NotUnderstood with the reason in words."""
    text = text.strip()
    if spec.editor == "choice" and (text or not spec.optional):
        return _read_choice(spec, text)
    if spec.editor == "text":
        if spec.needed and not text:
            raise NotUnderstood("enter a name: findings and sheets call the piece by it")
        if len(text) > spec.longest:
            raise NotUnderstood(f"this takes at most {spec.longest} characters")
        return text
    if spec.editor == "several":
        return tuple(
            _read_item(spec, item) for item in text.replace(";", ",").split(",") if item.strip()
        )
    if not text and spec.optional:
        return None
    value = _read_whole(spec, text) if spec.whole else read(text, spec.unit, units)
    _hold_to_bounds(spec, value, units)
    return value


def read_name(text: str) -> str:
    """Read the name of a piece. Raises NotUnderstood with the reason in words."""
    own, *_ = form_of(r.Junction)
    return str(read_entry(next(spec for spec in own.fields if spec.needed), text, "us"))


def _read_whole(spec: FieldSpec, text: str) -> int:
    try:
        value = read(text, spec.unit)
    except NotUnderstood as error:
        said = f'"{text[:60]}" is not understood' if text else "nothing was typed"
        raise NotUnderstood(f"{said}; this wants a whole number") from error
    if value != int(value):
        raise NotUnderstood("this wants a whole number")
    return int(value)


def _read_choice(spec: FieldSpec, text: str) -> Any:
    """Read one of the choices by its value or its words, or a trade size such as 2-1/2 in."""
    if spec.path[-1] == "trade_size":
        return trade_size(text)
    typed = " ".join(text.casefold().split())
    for choice in spec.choices:
        if typed in (str(choice).casefold(), choice_word(spec, choice).casefold()):
            return choice
    allowed = ", ".join(choice_word(spec, choice) for choice in spec.choices)
    raise NotUnderstood(f'"{text[:60]}" is not a choice here; known are {allowed}')


def _read_item(spec: FieldSpec, text: str) -> int:
    value = read(text, spec.unit)
    if value != int(value):
        raise NotUnderstood("this wants whole numbers with commas between them")
    if spec.choices and value not in spec.choices:
        allowed = ", ".join(str(choice) for choice in spec.choices)
        raise NotUnderstood(f"{text.strip()} is not one of {allowed}")
    _hold_to_bounds(spec, value, "us")
    return int(value)


def _bound(spec: FieldSpec, value: float, units: UnitSystem) -> str:
    """Show a bound; a small one is not rounded to nothing."""
    words = show(value, spec.unit, units)
    return (
        exact(value, spec.unit, units) if value and words == show(0.0, spec.unit, units) else words
    )


def bounds_words(spec: FieldSpec, units: UnitSystem) -> str:
    """Say between which values a number may lie; "" for anything else."""
    if spec.editor != "number" or spec.low is None or spec.high is None:
        return ""
    low, high = _bound(spec, spec.low, units), _bound(spec, spec.high, units)
    return f"{'More than' if spec.open_low else 'From'} {low} to {high}"


def _hold_to_bounds(spec: FieldSpec, value: float, units: UnitSystem) -> None:
    if spec.low is not None and (value < spec.low or (spec.open_low and value == spec.low)):
        least = _bound(spec, spec.low, units)
        raise NotUnderstood(f"this must be {'more than' if spec.open_low else 'at least'} {least}")
    if spec.high is not None and value > spec.high:
        raise NotUnderstood(f"this must be at most {_bound(spec, spec.high, units)}")


def sentence(text: str) -> str:
    """Give a reason with a capital letter at its start and a full stop at its end."""
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith('.') else '.'}"
