"""Builders of edits. Each looks at a project and gives an Edit; none changes anything."""

import secrets
from collections.abc import Iterable, Mapping
from typing import Any

import msgspec

from ampacre.model import records as r
from ampacre.model.naming import first_names, next_tag
from ampacre.model.project import Change, Edit, Project, TableName
from ampacre.model.system import System
from ampacre.model.words import field_word, kind_of, run_word

__all__ = [
    "alter",
    "changed",
    "connect",
    "free_spaces",
    "insert_on",
    "new_id",
    "new_run",
    "next_name",
    "place",
    "put",
    "refeed",
    "remove",
]

_TWO_LEGS = (r.Charger, r.Inverter, r.Battery, r.Motor, r.Panel, r.Disconnect, r.Meter)


def new_id() -> str:
    """Make a short random id; ids are never shown and never reused."""
    return secrets.token_hex(5)


def next_name(project: Project, kind: str) -> str:
    """Give the next free tag for a kind of equipment: C-1, C-2 ..."""
    return next_tag({piece.name for piece in project.equipment.values()}, kind)


def put(label: str, table: TableName, *records: r.Record, gesture: str = "") -> Edit:
    """Add records to a table that does not have them yet."""
    return Edit(label, tuple(Change(table, record.id, None, record) for record in records), gesture)


def alter(project: Project, table: TableName, key: str, gesture: str = "", **values: Any) -> Edit:
    """Change fields of one record."""
    before = project.table(table)[key]
    after = msgspec.structs.replace(before, **values)
    words = ", ".join(field_word(name) for name in values)
    return Edit(
        f"Change {words} of {_called(project, before)}", changed(table, before, after), gesture
    )


def changed(table: TableName, before: r.Record, after: r.Record) -> tuple[Change, ...]:
    """Give the change of a record, none where it stays as it is."""
    return (Change(table, before.id, before, after),) if before != after else ()


def _called(project: Project, record: Any) -> str:
    if isinstance(record, r.Run):
        return run_word(project, record)
    return getattr(record, "name", "") or "the project"


def place(project: Project, key: str, dx_mm: float, dy_mm: float, gesture: str = "") -> Edit:
    """Move a piece by hand; (0, 0) puts it back to its tidy place."""
    before = project.placement.get(key)
    after = r.Placement(id=key, dx_mm=dx_mm, dy_mm=dy_mm) if dx_mm or dy_mm else None
    changes = () if before == after else (Change("placement", key, before, after),)
    return Edit(f"Move {project.equipment[key].name}", changes, gesture)


def free_spaces(
    project: Project, panel: r.Panel, poles: int, moving: r.Run | None = None
) -> tuple[int, ...]:
    """Find the next free spaces for a circuit: adjacent ones of one column, left column first.

    For a circuit that stands in the panel already, the one `moving`, those that keep most of its
    own spaces come before others. Gives () where the panel is full.
    """
    own = set(moving.spaces) if moving is not None else set()
    taken = {
        space
        for run in project.runs.values()
        if run.source == panel.id and run.until is None and run is not moving
        for space in run.spaces
    }
    wanted = (tuple(range(start, start + 2 * poles, 2)) for start in range(1, panel.spaces + 1))
    free = (each for each in wanted if each[-1] <= panel.spaces and not taken.intersection(each))
    return max(free, key=lambda each: len(own.intersection(each)), default=())


def _poles(piece: r.Equipment, system: System | None) -> int:
    if isinstance(piece, r.DwellingLoad):
        return 0
    if isinstance(piece, r.Load):
        return 2 if piece.category in (*r.HEATERS, *r.HOUSEHOLD) or (piece.volts or 0) > 150 else 1
    if isinstance(piece, r.Pedestal):
        return 2 if 50 in piece.receptacles_a else 1
    if isinstance(piece, _TWO_LEGS):
        three = system is not None and system.phases == 3
        return 3 if three and isinstance(piece, (r.Panel, r.Disconnect, r.Meter)) else 2
    return len(system.legs) if system else 2


def _role(source: r.Equipment, target: r.Equipment) -> r.Role:
    if isinstance(source, r.UtilitySource):
        return "utility" if isinstance(target, r.Transformer) else "service"
    if isinstance(source, r.Transformer):
        return "utility" if source.owner == "utility" else "transformer secondary"
    if isinstance(source, r.Generator):
        return "generator output"
    if isinstance(source, r.Meter) and source.role != "private":
        return "service"
    leaves = (r.Use, r.DwellingLoad, r.Inverter, r.Battery)
    return "branch" if isinstance(target, leaves) else "feeder"


def connect(
    project: Project,
    source: r.Equipment,
    target: r.Equipment,
    system: System | None = None,
    gesture: str = "",
) -> Edit:
    """Draw a run from one piece to another: that of `new_run`."""
    run = new_run(project, source, target, system)
    return put(f"Feed {target.name} from {source.name}", "runs", run, gesture=gesture)


def new_run(
    project: Project, source: r.Equipment, target: r.Equipment, system: System | None = None
) -> r.Run:
    """Make a run from one piece to another, with spaces assigned where it leaves a panel.

    `system` is the voltage system at the source, where known; it decides how many spaces a feeder
    takes.
    """
    role = _role(source, target)
    spaces: tuple[int, ...] = ()
    if isinstance(source, r.Panel):
        spaces = (
            free_spaces(project, source, _poles(target, system)) if _poles(target, system) else ()
        )
    no_device = (
        role in ("utility", "service", "transformer secondary")
        or isinstance(target, r.DwellingLoad)
        or isinstance(source, (r.Meter, r.Junction, r.TransferSwitch))
    )
    return r.Run(
        id=new_id(),
        source=source.id,
        target=target.id,
        role=role,
        owner="utility" if role == "utility" else "customer",
        protected_at="none" if no_device else "supply",
        spaces=spaces,
        lands_on="standby" if isinstance(source, r.Generator) else "normal",
        since=r.WORK,
    )


def remove(project: Project, keys: Iterable[str], label: str = "") -> Edit:
    """Remove pieces and runs, with everything that speaks of them."""
    gone = set(keys)
    gone |= {run.id for run in project.runs.values() if {run.source, run.target} & gone}
    changes: list[Change] = []
    for table in ("runs", "equipment", "placement"):
        records: Mapping[str, r.Record] = project.table(table)
        changes += [Change(table, key, records[key], None) for key in sorted(gone & records.keys())]
    for piece in project.equipment.values():
        if piece.id not in gone:
            changes += _loosened("equipment", piece, gone)
    for run in project.runs.values():
        if run.id not in gone:
            changes += _loosened("runs", run, gone)
    for group in project.groups.values():
        members = tuple(member for member in group.members if member not in gone)
        after = msgspec.structs.replace(group, members=members)
        if isinstance(after, r.ManagedGroup) and after.measured_at in gone:
            after = msgspec.structs.replace(after, measured_at=None)
        if after != group:
            changes.append(Change("groups", group.id, group, after))
    for state in project.states.values():
        positions = {key: at for key, at in state.positions.items() if key not in gone}
        if positions != state.positions:
            turned = msgspec.structs.replace(state, positions=positions)
            changes.append(Change("states", state.id, state, turned))
    changes += [
        Change("grounding", record.id, record, None)
        for record in project.grounding.values()
        if record.at in gone
    ]
    changes += [
        Change("accepted", record.id, record, None)
        for record in project.accepted.values()
        if record.where in gone
    ]
    changes += [
        Change("answers", answer.id, answer, None)
        for answer in project.answers.values()
        if answer.where in gone
    ]
    names = [project.equipment[key].name for key in sorted(gone & project.equipment.keys())]
    runs = len(gone & project.runs.keys())
    what = first_names(names)
    return Edit(label or f"Remove {what or ('the run' if runs == 1 else 'runs')}", tuple(changes))


def _loosened(table: TableName, record: r.Standing, gone: set[str]) -> list[Change]:
    """Drop references to what is removed, in a record that stays."""
    dropped: dict[str, Any] = {}
    if record.reuses in gone:
        dropped["reuses"] = None
    if isinstance(record, r.Use) and record.serves in gone:
        dropped["serves"] = None
    if isinstance(record, r.Run) and record.neutral_with in gone:
        dropped["neutral_with"] = None
    if isinstance(record, r.Run) and record.was and {record.was.source, record.was.target} & gone:
        dropped["was"] = None
    elif isinstance(record, (r.Equipment, r.Run)) and record.was is not None:
        former = _loosened(table, record.was, gone)
        if former:
            dropped["was"] = former[0].after
    if not dropped:
        return []
    return [Change(table, record.id, record, msgspec.structs.replace(record, **dropped))]


def refeed(project: Project, run: r.Run, source: r.Equipment, system: System | None = None) -> Edit:
    """Feed a piece, with everything below it, from somewhere else over the same run."""
    target = project.equipment[run.target]
    fresh = new_run(project, source, target, system)
    after = msgspec.structs.replace(
        run,
        source=source.id,
        spaces=fresh.spaces,
        legs="",
        role=fresh.role,
        protected_at=fresh.protected_at,
    )
    return Edit(f"Feed {target.name} from {source.name}", changed("runs", run, after))


def insert_on(project: Project, run: r.Run, piece: r.Equipment, gesture: str = "") -> Edit:
    """Put a new piece into a run: the run ends at the piece, and a joint carries on from it."""
    target = project.equipment[run.target]
    carry = new_run(project, piece, target)
    lands_on = run.lands_on if isinstance(target, r.TransferSwitch) else "normal"
    carry = msgspec.structs.replace(carry, lands_on=lands_on, length_m=0.0)
    kept = msgspec.structs.replace(run, target=piece.id, lands_on="normal")
    from_line = isinstance(project.equipment[run.source], r.UtilitySource)
    if from_line and isinstance(piece, r.Transformer):
        # what reaches a transformer from the utility's line is no longer the service
        kept = msgspec.structs.replace(kept, role="utility", owner="utility")
    changes = (
        Change("equipment", piece.id, None, piece),
        Change("runs", run.id, run, kept),
        Change("runs", carry.id, None, carry),
    )
    return Edit(f"Insert {kind_of(piece)} {piece.name} ahead of {target.name}", changes, gesture)
