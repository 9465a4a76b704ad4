"""Along the energised tree: what lies above and below a piece in the normal state."""

from collections.abc import Iterator
from typing import Any, Final

import msgspec

from ampacre.codebook.conductors import SIZES, ampacity
from ampacre.codebook.devices import standard_below
from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.model.project import Edit, TableName
from ampacre.rules.reading import main_of, supply_device_a
from ampacre.rules.resizing import with_size
from ampacre.rules.rule import Finding, exceeds
from ampacre.sizing.ampacity import end_column
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.fed import circuits_out
from ampacre.study.study import Study

__all__ = [
    "METRES_PER_FT",
    "as_large_as",
    "circuit_of",
    "dwelling_near",
    "end_device_a",
    "end_main",
    "feed_of",
    "has_main",
    "homes_fed",
    "labelled",
    "next_larger",
    "protected_a",
    "relabelled",
    "upward",
    "with_main",
]

METRES_PER_FT: Final = 0.3048


def feed_of(study: Study, facts: EquipmentFacts) -> RunFacts | None:
    """Give the run that supplies a piece; None where nothing does."""
    return study.run(facts.feed) if facts.feed is not None else None


def upward(study: Study, key: str) -> Iterator[tuple[RunFacts, EquipmentFacts]]:
    """Give each run from a piece up to its source, with the piece that it comes from."""
    facts = study.equipment(key)
    while facts.feed is not None and facts.parent is not None:
        parent = study.equipment(facts.parent)
        yield study.run(facts.feed), parent
        facts = parent


def circuit_of(study: Study, key: str) -> tuple[RunFacts, EquipmentFacts] | None:
    """Give the circuit that a piece is on, through splices: its run, and the piece it leaves."""
    for run, parent in upward(study, key):
        if run.run.protected_at == "supply" or not isinstance(parent.piece, r.Junction):
            return run, parent
    return None


def protected_a(study: Study, facts: RunFacts) -> float | None:
    """Rating of the device that stands ahead of a run's conductors [A].

    The run's own at its supply end, else the nearest one on the supply side.
    """
    if facts.run.protected_at == "supply":
        return supply_device_a(facts)
    return study.equipment(facts.run.source).device_ahead_a


def has_main(piece: r.Equipment) -> bool:
    """Whether a panel or disconnect has a main device, of known rating or not."""
    return isinstance(piece, (r.Panel, r.Disconnect)) and piece.main is not None


def end_device_a(study: Study, facts: RunFacts) -> float | None:
    """Rating of the main device that a run ends in [A]; None without one of known rating."""
    main = main_of(study.standing.equipment[facts.run.target])
    return main.rating_a if main else None


def dwelling_near(study: Study, facts: EquipmentFacts) -> bool:
    """Whether a piece serves a dwelling, or stands at a structure that is one or belongs to one."""
    piece = facts.piece
    if isinstance(piece, r.Use) and piece.serves is not None:
        return True
    structure = study.project.structures.get(piece.structure or "")
    return structure is not None and structure.use in ("dwelling", "accessory")


def homes_fed(study: Study, facts: EquipmentFacts) -> list[r.DwellingLoad]:
    """Give the dwellings' loads that hang from a piece."""
    return [piece for _, piece in circuits_out(study, facts) if isinstance(piece, r.DwellingLoad)]


def labelled(edit: Edit, label: str) -> Edit:
    """Give an edit another label."""
    return msgspec.structs.replace(edit, label=label[:1].upper() + label[1:])


def relabelled(study: Study, table: TableName, key: str, label: str, **values: Any) -> Edit:
    """Give an edit of one record with a label in words."""
    return labelled(alter(study.project, table, key, **values), label)


def with_main(study: Study, key: str, rating_a: float) -> Edit | None:
    """Fit a panel or disconnect with a main device; the runs that end in it are protected there."""
    piece = study.project.equipment[key]
    if not isinstance(piece, (r.Panel, r.Disconnect)):
        return None
    main = msgspec.structs.replace(piece.main or r.Device(), rating_a=rating_a)
    changed: dict[str, Any] = {"main": main}
    if isinstance(piece, r.Panel):
        changed["main_lugs"] = None
    edit = alter(study.project, "equipment", key, "", **changed)
    feed = study.equipment(key).feed
    if feed is not None and study.project.runs[feed].protected_at == "none":
        edit = edit.then(alter(study.project, "runs", feed, protected_at="load"))
    return labelled(edit, f"fit {piece.name} with a main of {rating_a:g} A")


def end_main(study: Study, finding: Finding) -> Iterator[Edit]:
    """Fit the piece at the end of a run with a main within what the conductors carry."""
    facts = study.run(finding.where)
    fitting = standard_below(float(finding.values["carried_a"]), study.settings.edition)
    if fitting and not exceeds(facts.sizing_a, fitting):
        edit = with_main(study, facts.run.target, fitting)
        if edit is not None:
            yield edit


def as_large_as(study: Study, facts: RunFacts, least: str) -> Iterator[Edit]:
    """Give the run conductors of this size, where the trade has it."""
    if least in SIZES:
        yield with_size(study, facts, least)


def next_larger(study: Study, facts: RunFacts, least_a: float) -> Iterator[Edit]:
    """Give the run the smallest larger conductors of its metal that carry so much [A].

    By proportion of what the column of its present conductors gives: the insulation and the
    correction stay the same.
    """
    size, metal = facts.size.value, facts.material.value
    if size is None or metal is None or facts.ampacity is None or not facts.ampacity.allowed_a:
        return
    column = end_column(facts.insulation.value, facts.wet, facts.terminal_c.value)
    present = ampacity(size, metal, column)
    if present is None:
        return
    share = facts.ampacity.allowed_a / present.value
    for larger in SIZES[SIZES.index(size) + 1 :]:
        carried = ampacity(larger, metal, column)
        if carried is not None and carried.value * share >= least_a * (1 - 1e-9):
            yield with_size(study, facts, larger)
            return
