"""Reads cells of tables as numbers, for files that other programs calculate with."""

import re
from collections.abc import Sequence
from typing import NamedTuple

from ampacre.sheets.table import Column

__all__ = ["Number", "head_of", "number_in", "only_unit"]

_UNITS = "A|kA|V|VA|kVA|kW|kWh|hp|ft|in|m|mm|ft²|in²|m²|mm²|%|°C|cmil|deg"
_NUMBER = re.compile(rf"([+-]?[\d,]+(?:\.(\d+))?)(?: ({_UNITS}))?")


class Number(NamedTuple):
    """A number as a cell shows it: its digits without marks of thousands, its decimals, its unit."""

    digits: str
    decimals: int
    unit: str


def number_in(words: str, column: Column) -> Number | None:
    """Give the number that a cell holds, None where it holds anything besides.

    What has no unit and does not stand in a column of numbers is a name, if one of digits only.
    """
    found = _NUMBER.fullmatch(words)
    if found is None or not (found[3] or column.flush == "right"):
        return None
    return Number(found[1].replace(",", "").lstrip("+"), len(found[2] or ""), found[3] or "")


def only_unit(cells: Sequence[str]) -> str:
    """Give the unit of a column in which every number has the same one, "" where it is not so."""
    others = (words for words in cells if not _NUMBER.fullmatch(words))
    if any(character.isdigit() for words in others for character in words):
        return ""
    units = {found[3] for words in cells if (found := _NUMBER.fullmatch(words))}
    return next(iter(units)) or "" if len(units) == 1 else ""


def head_of(column: Column, unit: str) -> str:
    """Give the head of a column, with the unit that its cells are then written without."""
    return f"{column.head}, {unit}" if unit else column.head
