"""Puts values into the places of a translated phrase."""

import re

__all__ = ["filled"]


def filled(phrase: str, *values: object) -> str:
    """Give a phrase with values in place of %1, %2 and so on, whatever the values hold themselves."""
    return re.sub("%([1-9])", lambda place: str(values[int(place[1]) - 1]), phrase)
