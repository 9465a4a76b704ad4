"""Finds pieces and runs by what stands beside them on the drawing: name, kind, rating, size."""

import re
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.model.words import kind_of
from ampacre.sheets.piece_labels import piece_words
from ampacre.sheets.run_labels import device_words, run_words
from ampacre.sheets.wording import runs_in_order, tree_order
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.study import Study

__all__ = ["Described", "described", "found"]

_ENTERED = ("", "setting", "load")
"""Lines of a piece's label that say what it is; the others hold computed numbers."""


class Described(NamedTuple):
    """An element's id, its name, and all that is known of it in words, one thing a line."""

    key: str
    name: str
    words: str


def described(study: Study) -> tuple[Described, ...]:
    """Describe every piece and run, each after what supplies it; then what does not stand."""
    return tuple(_in_order(study))


def _in_order(study: Study) -> Iterator[Described]:
    project = study.project
    pieces = {facts.piece.id: facts for facts in tree_order(study)}
    runs = {facts.run.id: facts for facts in runs_in_order(study)}
    fed = set()
    for key in dict.fromkeys((*pieces, *project.equipment)):
        facts = pieces.get(key)
        if facts and facts.feed:
            fed.add(facts.feed)
            yield _run(study, project.runs[facts.feed], runs.get(facts.feed))
        yield _piece(study, project.equipment[key], facts)
    for key in dict.fromkeys((*runs, *project.runs)):
        if key not in fed:
            yield _run(study, project.runs[key], runs.get(key))


def _piece(study: Study, piece: r.AnyEquipment, facts: EquipmentFacts | None) -> Described:
    structure = study.project.structures.get(piece.structure or "")
    lines = piece_words(piece, facts, study.settings.units)
    words = [line.text for line in lines if line.field in _ENTERED]
    place = structure.name if structure else ""
    return _said(piece.id, piece.name, kind_of(piece), place, *words)


def _run(study: Study, run: r.Run, facts: RunFacts | None) -> Described:
    conductors, way, _ = run_words(run, facts, study.settings.units)
    return _said(run.id, run.name, "run", device_words(run, facts).text, conductors.text, way.text)


def _said(key: str, name: str, *words: str) -> Described:
    return Described(key, name.casefold(), "\n".join((name, *words)).casefold())


def found(elements: Iterable[Described], wanted: str) -> tuple[str, ...]:
    """Give the ids of the elements in which every typed word occurs, those so named first.

    Numbers are found from their first digit on, and whole where another word follows: "20 A" does
    not find 200 A. Nothing typed finds nothing.
    """
    typed = wanted.casefold().split()
    if not typed:
        return ()
    last = len(typed) - 1
    patterns = [re.compile(_pattern(word, whole=at < last)) for at, word in enumerate(typed)]
    phrase = " ".join(typed)
    hits = [each for each in elements if all(p.search(each.words) for p in patterns)]
    return tuple(each.key for each in sorted(hits, key=lambda each: _rank(each, phrase)))


def _pattern(word: str, *, whole: bool) -> str:
    before = r"(?<![\d.])" if word[0].isdigit() else ""
    after = r"(?![\d.])" if whole and word[-1].isdigit() else ""
    return f"{before}{re.escape(word)}{after}"


def _rank(element: Described, phrase: str) -> int:
    """Put whole names first, then beginnings and parts of names, then other words."""
    if element.name == phrase:
        return 0
    if element.name.startswith(phrase):
        return 1
    if phrase in element.name:
        return 2
    return 3 if phrase in element.words else 4
