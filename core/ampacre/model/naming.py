"""Tags of equipment, what a copy of something named is called, and names in a row."""

import re
from collections.abc import Collection, Iterable

__all__ = ["another_name", "first_names", "is_tag", "listed", "listed_first", "next_tag"]

_PREFIX = {
    "utility source": "Utility",
    "transformer": "T",
    "meter": "M",
    "disconnect": "DS",
    "panel": "P",
    "transfer switch": "TS",
    "generator": "G",
    "inverter": "INV",
    "battery": "BAT",
    "charger": "C",
    "motor": "MOT",
    "load": "L",
    "dwelling load": "House",
    "pedestal": "PED",
    "junction": "J",
}
_ALONE = ("Utility", "House")
"""Prefixes that the first of their kind bears without a number."""
_LONGEST = 120


def next_tag(used: Collection[str], kind: str) -> str:
    """Give the first tag of a kind that is not used: C-1, C-2 ..."""
    prefix = _PREFIX[kind]
    if prefix in _ALONE and prefix not in used:
        return prefix
    number = 1
    while f"{prefix}-{number}" in used:
        number += 1
    return f"{prefix}-{number}"


def is_tag(name: str, kind: str) -> bool:
    """Tell whether a name is one that `next_tag` gives to a kind, not one of somebody's own."""
    prefix = _PREFIX[kind]
    return bool(re.fullmatch(rf"{prefix}-[1-9][0-9]*", name)) or (name == prefix in _ALONE)


def another_name(used: Collection[str], name: str) -> str:
    """Give the name of one more of what is called `name`: "Barn 2" after "Barn", "EV4" after "EV3".

    What is not used stays as it is.
    """
    if name not in used:
        return name
    numbered = re.fullmatch(r"(.*?)([0-9]{1,9})", name, re.DOTALL)
    stem, number = (numbered[1], int(numbered[2])) if numbered else (f"{name} ", 1)
    while True:
        number += 1
        other = f"{stem[: _LONGEST - len(str(number))]}{number}"
        if other not in used:
            return other


def first_names(names: list[str]) -> str:
    """Give the first few names, and a word for the rest."""
    return ", ".join(names[:3]) + (" and more" if len(names) > 3 else "")


def listed(names: Iterable[str]) -> str:
    """Join names as a sentence does: "A, B and C"; "" where there are none."""
    *first, last = list(names) or [""]
    return f"{', '.join(first)} and {last}" if first else last


def listed_first(names: list[str]) -> str:
    """Join up to three names as a sentence does; of more give the first few."""
    return listed(names) if len(names) <= 3 else first_names(names)
