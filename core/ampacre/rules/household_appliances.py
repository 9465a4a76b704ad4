"""Appliances that by their names are a household's ranges, ovens or dryers, and not entered as such."""

import re
from collections.abc import Iterator
from typing import Final

from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.model.project import Edit
from ampacre.rules.paths import homes_fed, labelled
from ampacre.rules.rule import Finding, found, on_piece
from ampacre.study.facts import EquipmentFacts
from ampacre.study.outlets import taken_continuous
from ampacre.study.study import Study

TOPIC = "load"

_NAMED: Final[tuple[tuple[r.LoadCategory, re.Pattern[str]], ...]] = (
    ("range", re.compile(r"\b(range(?!\s*hood)|stove|cooker)s?\b", re.IGNORECASE)),
    ("oven or cooktop", re.compile(r"\b(oven|cook[\s-]?top|hob)s?\b", re.IGNORECASE)),
    ("clothes dryer", re.compile(r"\b(dryer|drier)s?\b", re.IGNORECASE)),
)


def _by_name(load: r.Load) -> r.LoadCategory | None:
    """Guess by its name what household appliance a load may be."""
    return next((kind for kind, words in _NAMED if words.search(load.name)), None)


def _homes_beside(study: Study, facts: EquipmentFacts) -> list[str]:
    """Give the dwelling that a load serves, or those whose loads hang from the same piece."""
    if isinstance(facts.piece, r.Use) and facts.piece.serves is not None:
        return [facts.piece.serves]
    if facts.parent is None:
        return []
    return [home.id for home in homes_fed(study, study.equipment(facts.parent))]


def as_it_is_named(study: Study, key: str) -> Iterator[Edit]:
    """Enter a load as the household appliance that its name hints at, where one dwelling has it."""
    load = study.project.equipment[key]
    if not isinstance(load, r.Load) or load.category != "appliance":
        return
    kind, homes = _by_name(load), _homes_beside(study, study.equipment(key))
    if kind is not None and len(homes) == 1:
        home = study.project.equipment[homes[0]]
        edit = alter(study.project, "equipment", load.id, category=kind, serves=home.id)
        yield labelled(edit, f"enter {load.name} as the {kind} of {home.name}")


def _as_one(study: Study, finding: Finding) -> Iterator[Edit]:
    return as_it_is_named(study, finding.where)


@on_piece(
    "household-appliance", r.Load,
    topic=TOPIC, severity="advice", cite="cooking", remedies=_as_one,
)  # fmt: skip
def household_appliance(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A household's range, oven or dryer is entered as one.

    It then counts by NEC 220.54 or Table 220.55 and its circuit by note 4 of that table, and it is
    at full load for less than the three hours of continuous load (Article 100). As an appliance like
    others it counts at its nameplate. Its name alone changes no number (common practice).
    """
    load = facts.piece
    assert isinstance(load, r.Load)
    kind = _by_name(load) if load.category == "appliance" else None
    if kind is not None and _homes_beside(study, facts):
        yield found(
            "household-appliance", load.id,
            "{piece} counts as an appliance like others{steady}. If it is a household's {kind}, "
            "enter it as one: its own table is for it.",
            piece=load.name, kind=kind,
            steady=", and as continuous" if taken_continuous(load) else "",
        )  # fmt: skip
