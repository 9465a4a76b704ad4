"""Quantities as people type and read them: 310 ft, 12 feet 6 inches, 2-1/2 in, 75 kVA.

Inside, every number is a plain float in the unit that its name ends in (`length_m`, `fault_ka`).
Numbers and unit words are parsed here; pint is asked only for the factor of a unit that the table
below does not have, and is not loaded before that.
"""

import math
import re
from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    import pint

__all__ = [
    "NotUnderstood",
    "UnitSystem",
    "exact",
    "fill",
    "read",
    "show",
    "trade_size",
    "unit_word",
]

UnitSystem = Literal["us", "metric"]


class NotUnderstood(ValueError):
    """What was typed is not a quantity of the kind wanted. The message says what would be."""


class _Shown(NamedTuple):
    """How a quantity is shown: the unit's word, its size in the field's own unit, decimals kept."""

    word: str
    size: float
    decimals: int


class _Unit(NamedTuple):
    """What a unit suffix stands for: the sorts of quantity it takes, examples, display units."""

    sorts: tuple[str, ...]
    such_as: str
    us: _Shown
    metric: _Shown

    def shown(self, units: UnitSystem) -> _Shown:
        return self.us if units == "us" else self.metric


def _same(word: str, decimals: int) -> tuple[_Shown, _Shown]:
    shown = _Shown(word, 1.0, decimals)
    return shown, shown


_UNITS: dict[str, _Unit] = {
    "m": _Unit(
        ("a length",), "310 ft, 12' 6\" or 85 m", _Shown("ft", 0.3048, 1), _Shown("m", 1.0, 1)
    ),
    "mm": _Unit(("a length",), "2-1/2 in or 64 mm", _Shown("in", 25.4, 2), _Shown("mm", 1.0, 1)),
    "m2": _Unit(
        ("an area",), "2,000 sq ft or 186 m2", _Shown("ft²", 0.09290304, 0), _Shown("m²", 1.0, 1)
    ),
    "a": _Unit(("a current",), "200 A", *_same("A", 1)),
    "ka": _Unit(("a current",), "10 kA", *_same("kA", 2)),
    "v": _Unit(("a voltage",), "240 V or 7.2 kV", *_same("V", 1)),
    # The code counts the kW of heating and cooking appliances as kVA (NEC 220.55), so watts will do.
    "va": _Unit(("an apparent power", "a power"), "1,200 VA or 4.5 kW", *_same("VA", 0)),
    "kva": _Unit(("an apparent power",), "75 kVA", *_same("kVA", 1)),
    "kw": _Unit(("a power",), "22 kW", *_same("kW", 1)),
    "hp": _Unit(("a motor's power", "a power"), "3/4 hp or 0.55 kW", *_same("hp", 2)),
    "kwh": _Unit(("an energy",), "13.5 kWh", *_same("kWh", 1)),
    "c": _Unit(("a temperature",), "30 °C or 86 °F", *_same("°C", 1)),
    "pct": _Unit(("a percentage",), "3 %", *_same("%", 1)),
    "": _Unit(("a plain number",), "1.6", *_same("", 2)),
}

_SPELLED: dict[str, tuple[str, ...]] = {
    "ft": ("'", "foot", "feet"),
    "in": ('"', "inch", "inches", "''"),
    "m": ("meter", "meters", "metre", "metres"),
    "ft²": ("ft2", "sqft", "sf", "squarefoot", "squarefeet"),
    "m²": ("m2", "sqm", "squaremeter", "squaremeters", "squaremetre", "squaremetres"),
    "A": ("amp", "amps", "ampere", "amperes"),
    "V": ("volt", "volts"),
    "%": ("percent", "pct"),
    "°C": ("c", "degc", "degreesc", "celsius"),
    "°F": ("f", "degf", "degreesf", "fahrenheit"),
    "hp": ("horsepower",),
    "kV": (),
}
_PINT_NAMES = {
    "in": "inch", "ft²": "foot**2", "m²": "meter**2", "%": "percent", "°C": "degC", "°F": "degF",
}  # fmt: skip
_TRADE_SIZES = (
    "1/2", "3/4", "1", "1-1/4", "1-1/2", "2", "2-1/2", "3", "3-1/2", "4", "5", "6",
)  # fmt: skip

_LONGEST = 60
_PLAIN = (
    r"(?:(?:[0-9]+[ -])?[0-9]+/[0-9]+"
    r"|[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]*)?"
    r"|(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?)"
)
_QUANTITY = re.compile(rf"([-+]?{_PLAIN}) ?([^\W\d_]*|[A-Za-z .°%'\"]+[2²]?)")
_FEET_INCHES = re.compile(
    rf"([-+]?)({_PLAIN}) ?(?:'|ft\.?|feet|foot)[ -]*({_PLAIN}) ?(?:\"|''|in\.?|inch|inches)?",
    re.IGNORECASE,
)
_TYPED_SIGNS = str.maketrans(
    {"′": "'", "’": "'", "″": '"', "”": '"', "−": "-", "½": " 1/2", "¼": " 1/4", "¾": " 3/4"}
)


def read(text: str, unit: str, units: UnitSystem = "us") -> float:
    """Read a typed quantity and give it in the unit of a field.

    `unit` is the field's suffix as `model.words.unit_of` gives it, "" for a plain number. A number
    without a unit is in the unit that the field is shown in. Raises NotUnderstood.
    """
    wanted = _UNITS[unit]
    if len(text) > _LONGEST:
        raise _misread(text, wanted)
    typed = " ".join(text.translate(_TYPED_SIGNS).split())
    if unit in ("m", "mm") and (feet := _FEET_INCHES.fullmatch(typed)):
        length = _number(feet[2], text, wanted) + _number(feet[3], text, wanted) / 12
        value = _converted(-length if feet[1] == "-" else length, "ft", unit, text)
    elif found := _QUANTITY.fullmatch(typed):
        number = _number(found[1], text, wanted)
        word = _unit_word_typed(found[2])
        here = next((s for s in (wanted.us, wanted.metric) if word and s.word == word), None)
        if not word:
            value = number * wanted.shown(units).size
        elif here:
            value = number * here.size
        else:
            value = _converted(number, word, unit, text)
    else:
        raise _misread(text, wanted)
    if not math.isfinite(value):
        raise NotUnderstood(f'"{text}" is too large a number')
    return value


def _misread(text: str, wanted: _Unit) -> NotUnderstood:
    typed = text if len(text) <= _LONGEST else f"{text[:_LONGEST]}..."
    said = f'"{typed}" is not understood' if text.strip() else "nothing was typed"
    return NotUnderstood(f"{said}; this wants {wanted.sorts[0]} such as {wanted.such_as}")


def _number(typed: str, text: str, wanted: _Unit) -> float:
    plain = typed.replace(",", "")
    if "/" not in plain:
        return float(plain)
    sign = -1.0 if plain.startswith("-") else 1.0
    top, _, bottom = plain.lstrip("+-").replace("-", " ").rpartition("/")
    whole, _, top = top.rpartition(" ")
    if not int(bottom):
        raise _misread(text, wanted)
    return sign * (float(whole or 0) + int(top) / int(bottom))


def _unit_word_typed(typed: str) -> str:
    """Give the word that the tables use for a typed unit, or the word itself for pint to judge."""
    word = re.sub(r"[ .]", "", typed)
    return _spellings().get(word.lower(), word)


@cache
def _spellings() -> dict[str, str]:
    words = {shown.word for unit in _UNITS.values() for shown in (unit.us, unit.metric)}
    spelled = {word.lower(): word for word in words | _SPELLED.keys()}
    for word, others in _SPELLED.items():
        spelled |= dict.fromkeys(others, word)
    return spelled


@cache
def _registry() -> "pint.UnitRegistry[float]":
    import pint  # noqa: PLC0415 - takes a third of a second, and most commands never need it

    return pint.UnitRegistry()


def _converted(number: float, word: str, unit: str, text: str) -> float:
    """Convert with pint's factor, after seeing that the word names the sort of thing wanted."""
    import pint  # noqa: PLC0415

    wanted = _UNITS[unit]
    registry = _registry()
    try:
        typed = registry.Unit(_PINT_NAMES.get(word, word))
        sort = _sort_of(typed)
        if sort in wanted.sorts:
            own = registry.Unit(_pint_name(unit))
            return float(registry.Quantity(number, typed).to(own).magnitude)
    except (pint.PintError, AttributeError, TypeError, ValueError, OverflowError):
        raise _misread(text, wanted) from None
    if not sort:
        raise _misread(text, wanted)
    raise NotUnderstood(
        f"{text.strip()} is {sort}; this wants {wanted.sorts[0]} such as {wanted.such_as}"
    )


def _pint_name(unit: str) -> str:
    word = _UNITS[unit].metric.word
    return _PINT_NAMES.get(word, word)


def _sort_of(typed: "pint.Unit") -> str:
    """Say what a unit measures; volt-amperes, watts and a motor's horsepower are told apart."""
    name = str(typed)
    if "volt_ampere" in name:
        return "an apparent power"
    if "horsepower" in name:
        return "a motor's power"
    registry = _registry()
    for unit in ("m", "m2", "a", "v", "kw", "kwh", "c"):
        if registry.Unit(_pint_name(unit)).dimensionality == typed.dimensionality:
            return _UNITS[unit].sorts[0]
    return "a percentage" if name == "percent" else ""


def show(value: float, unit: str, units: UnitSystem = "us") -> str:
    """Show a value of a field with its unit, rounded to what a reader needs: "94,385 VA"."""
    shown = _UNITS[unit].shown(units)
    return _with_word(_trimmed(value / shown.size, shown.decimals), shown.word)


def exact(value: float, unit: str, units: UnitSystem = "us") -> str:
    """Show a value for editing: as `show`, with the digits it takes to read the same value back."""
    shown = _UNITS[unit].shown(units)
    for decimals in range(shown.decimals, 20):
        text = _trimmed(value / shown.size, decimals)
        if math.isclose(float(text.replace(",", "")) * shown.size, value, rel_tol=1e-12):
            break
    return _with_word(text, shown.word)


def _trimmed(value: float, decimals: int) -> str:
    text = f"{value:,.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _with_word(number: str, word: str) -> str:
    return f"{number} {word}" if word else number


def unit_word(unit: str, units: UnitSystem = "us") -> str:
    """Give the unit that a field is shown in: "ft", "A"; "" for a plain number."""
    return _UNITS[unit].shown(units).word


def trade_size(text: str) -> str:
    """Read a raceway's trade size, such as "2-1/2 in", and give it as the trade writes it."""
    try:
        inches = read(text, "mm", "us") / 25.4
    except NotUnderstood:
        inches = math.nan
    for size in _TRADE_SIZES:
        if math.isclose(inches, read(size, ""), rel_tol=1e-9):
            return size
    raise NotUnderstood(
        f'"{text[:_LONGEST]}" is not a trade size; known are {", ".join(_TRADE_SIZES)} in'
    )


def fill(template: str, values: Mapping[str, float | str], units: UnitSystem = "us") -> str:
    """Fill the names in braces: numbers by the unit at the end of the name, text as it is."""

    def filled(name: re.Match[str]) -> str:
        value = values[name[1]]
        if isinstance(value, str):
            return value
        suffix = name[1].rpartition("_")[2]
        return show(value, suffix if suffix in _UNITS else "", units)

    return re.sub(r"\{(\w+)\}", filled, template)
