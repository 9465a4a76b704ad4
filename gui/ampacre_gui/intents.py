"""What a gesture on the drawing means: the edit it would make, in words, or why it can't be.

Canvas, outline and drawer ask here, so that dropping on a symbol, on a line of the outline or
pressing Enter in the drawer all do the same.
"""

from typing import Any, NamedTuple

import msgspec

from ampacre.model import records as r
from ampacre.model.edits import connect, insert_on, new_id, next_name, put, refeed
from ampacre.model.feeding import can_feed
from ampacre.model.project import Change, Edit, Project
from ampacre.model.system import System
from ampacre.model.words import KINDS
from ampacre.study.study import Study
from ampacre_gui.names import element_name

__all__ = ["SOURCES", "Intent", "can_feed", "system_of", "to_add", "to_feed", "to_refeed"]

SOURCES = ("utility source", "generator")
"""Kinds that feed what they are dropped on, and are never fed."""


class Intent(NamedTuple):
    """`words` say what would happen, or, where `edit` is None, why nothing can.

    `selects` is the element to select when it is done.
    """

    words: str
    edit: Edit | None = None
    selects: str = ""


def to_add(study: Study, kind: str, target: str | None, *, existing: bool = False) -> Intent:
    """Say what dropping a new piece of a kind does: onto a piece, a run, or (None) empty ground."""
    project = study.project
    piece = _new_piece(project, kind, target, existing=existing)
    if target is None:
        words = f"Add {kind} {piece.name}"
        where = " beside the rest" if project.equipment else ""
        edit = put(words, "equipment", piece)
        return Intent(f"{words}{where}, fed from nothing yet", edit, piece.id)
    run = project.runs.get(target)
    if run:
        return _to_insert(project, kind, piece, run, existing=existing)
    other = project.equipment[target]
    if isinstance(piece, (r.UtilitySource, r.Generator)):
        return _to_supply(project, kind, piece, other, existing=existing)
    if not can_feed(other):
        return Intent(f"{other.name} is where power is used: nothing can be fed from it")
    feed = _standing_as(connect(project, other, piece, system_of(study, target)), existing=existing)
    edit = put("", "equipment", piece).then(feed)
    words = f"Add {kind} {piece.name} below {other.name}"
    return Intent(words, _labelled(edit, words), piece.id)


def to_feed(study: Study, source: str, target: str) -> Intent:
    """Say what drawing a run from one piece to another does."""
    project = study.project
    giver, taker = project.equipment[source], project.equipment[target]
    if source == target:
        return Intent("A run has to lead to another piece")
    if not can_feed(giver):
        return Intent(f"{giver.name} is where power is used: nothing can be fed from it")
    if isinstance(taker, r.UtilitySource):
        return Intent(f"{taker.name} is a source: it cannot be fed")
    if source in study.network.below(target):
        return Intent(f"{giver.name} is itself fed from {taker.name}")
    feeds = [run for run in project.runs.values() if run.target == target and run.until is None]
    if any(run.source == source for run in feeds):
        return Intent(f"{taker.name} is already fed from {giver.name}")
    free_side = isinstance(taker, r.TransferSwitch) and len(feeds) < 2
    if feeds and not free_side and not isinstance(giver, r.Generator):
        edit = refeed(project, feeds[0], giver, system_of(study, source))
        now = element_name(project, feeds[0].source)
        return Intent(f"Feed {taker.name} from {giver.name} instead of {now}", edit, feeds[0].id)
    edit = connect(project, giver, taker, system_of(study, source))
    run = edit.changes[0].after
    assert isinstance(run, r.Run)
    if free_side and feeds:
        side = "standby" if feeds[0].lands_on == "normal" else "normal"
        edit = _with_after(edit, msgspec.structs.replace(run, lands_on=side))
    return Intent(f"Feed {taker.name} from {giver.name}", edit, run.id)


def to_refeed(study: Study, key: str, source: str) -> Intent:
    """Say what hanging the supply end of a run on another piece does."""
    project = study.project
    run = project.runs[key]
    giver, taker = project.equipment[source], project.equipment[run.target]
    if source == run.source:
        return Intent(f"{taker.name} stays fed from {giver.name}")
    if source == run.target:
        return Intent("A run has to lead to another piece")
    if not can_feed(giver):
        return Intent(f"{giver.name} is where power is used: nothing can be fed from it")
    if source in study.network.below(run.target):
        return Intent(f"{giver.name} is itself fed from {taker.name}")
    edit = refeed(project, run, giver, system_of(study, source))
    now = element_name(project, run.source)
    return Intent(f"Feed {taker.name} from {giver.name} instead of {now}", edit, run.id)


def _new_piece(project: Project, kind: str, target: str | None, *, existing: bool) -> Any:
    """Make a piece that stands in the structure of the piece it is dropped on."""
    beside = project.equipment.get(target or "")
    run = project.runs.get(target or "")
    feeder = project.equipment[run.source] if run else beside
    known = _usual(kind, feeder) if feeder else {}
    # the utility's line is there before any work begins
    there = existing or kind == "utility source"
    return KINDS[kind](
        id=new_id(),
        name=next_name(project, kind),
        structure=beside.structure if beside else None,
        since=None if there else r.WORK,
        **known,
    )


def _usual(kind: str, feeder: r.AnyEquipment) -> dict[str, Any]:
    """Say what a new piece usually is at its place: it can be changed like any other entry."""
    if kind == "transformer" and isinstance(feeder, r.UtilitySource):
        return {"owner": "utility"}
    ahead_of_any_device = isinstance(feeder, (r.UtilitySource, r.Transformer)) or (
        isinstance(feeder, r.Meter) and feeder.role != "private"
    )
    if kind in ("panel", "disconnect") and ahead_of_any_device:
        return {"main": r.Device()}
    return {}


def _to_insert(project: Project, kind: str, piece: Any, run: r.Run, *, existing: bool) -> Intent:
    if not isinstance(piece, r.Point):
        return Intent(f"A {kind} cannot stand inside a run; drop it on a panel or another piece")
    edit = _standing_as(insert_on(project, run, piece), existing=existing)
    way = f"{element_name(project, run.source)} and {element_name(project, run.target)}"
    words = f"Insert {kind} {piece.name} between {way}"
    return Intent(words, _labelled(edit, words), piece.id)


def _to_supply(
    project: Project, kind: str, piece: Any, other: r.AnyEquipment, *, existing: bool
) -> Intent:
    """A source dropped onto a piece feeds that piece."""
    if not isinstance(other, r.Point):
        return Intent(f"{other.name} cannot be fed from a {kind}")
    feed = _standing_as(connect(project, piece, other), existing=existing)
    edit = put("", "equipment", piece).then(feed)
    words = f"Add {kind} {piece.name} feeding {other.name}"
    return Intent(words, _labelled(edit, words), piece.id)


def system_of(study: Study, key: str) -> System | None:
    """Give the voltage system of a piece, None where it is not known."""
    facts = study.found.equipment.get(key)
    return facts.system if facts else None


def _standing_as(edit: Edit, *, existing: bool) -> Edit:
    """Have the runs that an edit adds stand already, where the piece does."""
    if not existing:
        return edit
    changes = tuple(
        change._replace(after=msgspec.structs.replace(change.after, since=None))
        if change.before is None and isinstance(change.after, r.Run)
        else change
        for change in edit.changes
    )
    return Edit(edit.label, changes, edit.gesture)


def _with_after(edit: Edit, after: r.Record) -> Edit:
    change = edit.changes[0]
    return Edit(edit.label, (Change(change.table, change.key, change.before, after),), edit.gesture)


def _labelled(edit: Edit, label: str) -> Edit:
    return msgspec.structs.replace(edit, label=label)
