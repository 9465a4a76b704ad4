"""Words for people: those that stand as data somewhere, and phrases with places for values."""

import re

from PySide6.QtCore import QCoreApplication

__all__ = ["breakable", "filled", "said"]

_LONG = re.compile(r"(\S{18})(?=\S{6})")


def breakable(text: str) -> str:
    """Let a label break words that would make it wider than its panel."""
    return _LONG.sub("\\1\u200b", text)


def said(words: str) -> str:
    """Give words that stand as data - a kind, a field, a page of help - in the language in use.

    A translation has all of them in the context "words".
    """
    return QCoreApplication.translate("words", words)


def filled(phrase: str, *values: object) -> str:
    """Give a phrase with values in place of %1, %2 and so on, whatever the values hold themselves."""
    return re.sub("%([1-9])", lambda place: str(values[int(place[1]) - 1]), phrase)
