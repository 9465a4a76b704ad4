"""A piece made into one of another kind where it stands: its runs, its place and its times stay."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import msgspec

from ampacre.model import records as r
from ampacre.model.edits import new_run, next_name
from ampacre.model.feeding import can_be_fed, can_feed
from ampacre.model.naming import is_tag
from ampacre.model.project import Change, Edit, Project, Refused
from ampacre.model.system import SYSTEMS, System, legs_of_spaces
from ampacre.model.words import KINDS, kind_of

__all__ = ["replace_kind", "why_not"]

_SETTLED = ("id", "name", "was")
_FROM_ENDS = ("role", "owner", "protected_at")
"""What a run says because of the kinds at its ends, unless somebody said otherwise."""


def why_not(project: Project, key: str, kind: str) -> str:
    """Say why a piece cannot become one of another kind, "" where it can."""
    piece, other = project.equipment[key], KINDS[kind](id=key, name="")
    fed = [run for run in _all_runs(project) if run.source == key]
    feeds = [run for run in _all_runs(project) if run.target == key]
    if type(piece) is type(other):
        return f"{piece.name} is a {kind} already"
    if piece.was is not None:
        return f"{piece.name} says what it was before the work, as a {kind_of(piece)}"
    if fed and not can_feed(other):
        names = sorted({project.equipment[run.target].name for run in fed})
        return f"A {kind} feeds nothing, and {piece.name} feeds {', '.join(names[:3])}"
    if feeds and not can_be_fed(other):
        name = project.equipment[feeds[0].source].name
        return f"A {kind} is a source, and {piece.name} is fed from {name}"
    if isinstance(piece, r.TransferSwitch) and len({run.lands_on for run in feeds}) > 1:
        return f"{piece.name} keeps two supplies apart, which a {kind} does not"
    return ""


def _all_runs(project: Project) -> Iterator[r.Run]:
    """Runs as they will be and as they were before the work."""
    for run in project.runs.values():
        yield run
        if run.was is not None:
            yield run.was


def replace_kind(project: Project, key: str, kind: str, system: System | None = None) -> Edit:
    """Make a piece one of another kind, with every field that both kinds have.

    A tag of the old kind gives way to one of the new; a name of its own stays. What was answered or
    accepted of the old piece is forgotten, and it leaves groups that do not take the new kind.
    `system` is the piece's voltage system, where known. Raises Refused with the reason of `why_not`.
    """
    reason = why_not(project, key, kind)
    if reason:
        raise Refused([reason])
    before = project.equipment[key]
    after = _become(project, before, kind)
    changes = [Change("equipment", key, before, after)]
    changes += _fitted_runs(project, before, after, system or SYSTEMS["120/240"])
    changes += _loosened(project, after)
    words = f"Replace {kind_of(before)} {before.name} with {kind}"
    return Edit(words + (f" {after.name}" if after.name != before.name else ""), tuple(changes))


def _become(project: Project, piece: r.AnyEquipment, kind: str) -> Any:
    known = {field.name: field for field in msgspec.structs.fields(type(piece))}
    name = next_name(project, kind) if is_tag(piece.name, kind_of(piece)) else piece.name
    carried: dict[str, Any] = {}
    for field in msgspec.structs.fields(KINDS[kind]):
        own = known.get(field.name)
        if own is None or own.type != field.type or field.name in _SETTLED:
            continue
        value = getattr(piece, field.name)
        usual = value == own.default and own.default != field.default
        if not usual or (field.name == "system" and value != "primary"):
            carried[field.name] = value
    return KINDS[kind](id=piece.id, name=name, **carried)


def _fitted_runs(
    project: Project, before: r.AnyEquipment, after: r.AnyEquipment, system: System
) -> Iterator[Change]:
    so_far = replace(project, equipment={**project.equipment, before.id: after})
    for run in project.runs.values():
        fitted = _fitted(project, so_far, run, before.id, system)
        if run.was is not None:
            was = _fitted(project, so_far, run.was, before.id, system)
            fitted = msgspec.structs.replace(fitted, was=was)
        if fitted != run:
            so_far = replace(so_far, runs={**so_far.runs, run.id: fitted})
            yield Change("runs", run.id, run, fitted)


def _fitted(project: Project, so_far: Project, run: r.Run, key: str, system: System) -> r.Run:
    """Give a run what the new kind at its end asks for, where it says what the old one did."""
    if key not in (run.source, run.target):
        return run
    usual, fresh = (
        new_run(each, each.equipment[run.source], each.equipment[run.target], system)
        for each in (project, so_far)
    )
    fits: dict[str, Any] = {
        name: getattr(fresh, name)
        for name in _FROM_ENDS
        if getattr(run, name) == getattr(usual, name)
    }
    is_panel = isinstance(so_far.equipment[key], r.Panel)
    if run.source == key and run.spaces and not is_panel:
        fits |= {"spaces": (), "legs": legs_of_spaces(run.spaces, system)}
    elif run.source == key and is_panel and not run.legs:
        fits["spaces"] = fresh.spaces
    if run.target == key and not isinstance(so_far.equipment[key], r.TransferSwitch):
        fits["lands_on"] = "normal"
    return msgspec.structs.replace(run, **fits)


def _loosened(project: Project, after: r.AnyEquipment) -> Iterator[Change]:
    """Take back what was said of the piece as what it was."""
    key = after.id
    for table in ("answers", "accepted"):
        records: Any = project.table(table)
        for record in records.values():
            if record.where == key:
                yield Change(table, record.id, record, None)
    for group in project.groups.values():
        takes = r.Charger if isinstance(group, r.ManagedGroup) else (r.Load, r.Motor)
        if key in group.members and not isinstance(after, takes):
            left = tuple(member for member in group.members if member != key)
            yield Change("groups", group.id, group, msgspec.structs.replace(group, members=left))
        elif _measures_at(group, key) and not isinstance(after, r.Point):
            yield Change(
                "groups", group.id, group, msgspec.structs.replace(group, measured_at=None)
            )
    if isinstance(after, r.DwellingLoad):
        return
    for piece in project.equipment.values():
        freed = _serving_no_more(piece, key)
        if freed != piece and piece.id != key:
            yield Change("equipment", piece.id, piece, freed)


def _measures_at(group: r.AnyGroup, key: str) -> bool:
    return isinstance(group, r.ManagedGroup) and group.measured_at == key


def _serving_no_more(piece: Any, key: str) -> Any:
    if piece.was is not None:
        piece = msgspec.structs.replace(piece, was=_serving_no_more(piece.was, key))
    if isinstance(piece, r.Use) and piece.serves == key:
        piece = msgspec.structs.replace(piece, serves=None)
    return piece
