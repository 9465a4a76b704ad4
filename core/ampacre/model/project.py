"""A project: named tables of frozen records, and the one way to change them.

A project never changes. `apply` gives a new one that shares every table and record the edit
left alone, so that what is the same object is known to be the same.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Literal, NamedTuple, Self, get_args

import msgspec
from msgspec import Struct

from ampacre.model import records as r

__all__ = [
    "TABLES",
    "Change",
    "Edit",
    "Project",
    "Refused",
    "StaleEdit",
    "TableName",
    "difference",
]

TableName = Literal[
    "equipment",
    "runs",
    "structures",
    "groups",
    "raceways",
    "grounding",
    "placement",
    "accepted",
    "answers",
    "stages",
    "states",
    "issues",
    "project",
]

TABLES: dict[TableName, Any] = {
    "equipment": r.AnyEquipment,
    "runs": r.Run,
    "structures": r.Structure,
    "groups": r.AnyGroup,
    "raceways": r.Raceway,
    "grounding": r.Grounding,
    "placement": r.Placement,
    "accepted": r.Accepted,
    "answers": r.Answer,
    "stages": r.Stage,
    "states": r.State,
    "issues": r.Issue,
    "project": r.Settings,
}


class Change(NamedTuple):
    """One record before and after; absent on one side when it is added or removed."""

    table: TableName
    key: str
    before: r.Record | None
    after: r.Record | None


class Edit(Struct, frozen=True):
    """A reversible change of a project, with a label in words.

    Changes have distinct addresses (table, key). Edits of the same `gesture` make one undo step.
    """

    label: str
    changes: tuple[Change, ...]
    gesture: str = ""

    def inverse(self) -> "Edit":
        """Give the edit that takes this one back."""
        turned = tuple(Change(c.table, c.key, c.after, c.before) for c in reversed(self.changes))
        return Edit(self.label, turned, self.gesture)

    def then(self, later: "Edit") -> "Edit":
        """Give one edit that does this and then `later`; what cancels out is left out."""
        merged = {(c.table, c.key): c for c in self.changes}
        for change in later.changes:
            first = merged.get((change.table, change.key))
            before = change.before if first is None else first.before
            merged[change.table, change.key] = change._replace(before=before)
        kept = tuple(c for c in merged.values() if c.before != c.after)
        return Edit(later.label or self.label, kept, later.gesture)


class StaleEdit(Exception):
    """The edit was made against another version of a record than the project now has."""


class Refused(Exception):
    """The edit would leave an unsound project. `problems` says what, in words."""

    def __init__(self, problems: list[str]) -> None:
        self.problems = problems
        super().__init__("; ".join(problems))


def _empty() -> Mapping[str, Any]:
    return {}


def _one_project() -> Mapping[str, r.Settings]:
    return {"project": r.Settings(id="project")}


def _one_stage() -> Mapping[str, r.Stage]:
    return {r.WORK: r.Stage(id=r.WORK, name="The work")}


@dataclass(frozen=True, slots=True)
class Project:
    """All tables of a project. Treat the mappings as read-only."""

    equipment: Mapping[str, r.AnyEquipment] = field(default_factory=_empty)
    runs: Mapping[str, r.Run] = field(default_factory=_empty)
    structures: Mapping[str, r.Structure] = field(default_factory=_empty)
    groups: Mapping[str, r.AnyGroup] = field(default_factory=_empty)
    raceways: Mapping[str, r.Raceway] = field(default_factory=_empty)
    grounding: Mapping[str, r.Grounding] = field(default_factory=_empty)
    placement: Mapping[str, r.Placement] = field(default_factory=_empty)
    accepted: Mapping[str, r.Accepted] = field(default_factory=_empty)
    answers: Mapping[str, r.Answer] = field(default_factory=_empty)
    stages: Mapping[str, r.Stage] = field(default_factory=_one_stage)
    states: Mapping[str, r.State] = field(default_factory=_empty)
    issues: Mapping[str, r.Issue] = field(default_factory=_empty)
    project: Mapping[str, r.Settings] = field(default_factory=_one_project)

    @property
    def settings(self) -> r.Settings:
        """The one record of the project table."""
        return self.project["project"]

    def table(self, name: TableName) -> Mapping[str, Any]:
        """Give a table by its name."""
        table: Mapping[str, Any] = getattr(self, name)
        return table

    def tables(self) -> Iterator[tuple[TableName, Mapping[str, Any]]]:
        """All tables with their names, in the order of the file."""
        for name in TABLES:
            yield name, self.table(name)

    def apply(self, edit: Edit) -> Self:
        """Give the project after the edit.

        Raises StaleEdit if a `before` is not what stands here, Refused if a record is out of
        bounds or the result would be unsound (see `soundness.problems`).
        """
        # imported here because soundness needs Project for its own signature
        from ampacre.model.soundness import problems_after  # noqa: PLC0415

        altered: dict[TableName, dict[str, Any]] = {}
        seen: set[tuple[str, str]] = set()
        for change in edit.changes:
            if (change.table, change.key) in seen:
                raise Refused([f"the edit changes {change.table} {change.key} twice"])
            seen.add((change.table, change.key))
            table = altered.setdefault(change.table, dict(self.table(change.table)))
            if table.get(change.key) != change.before:
                raise StaleEdit(f"{change.table} {change.key} is not what the edit was made for")
            if change.after is None:
                del table[change.key]
            else:
                _validate(change)
                table[change.key] = change.after
        result = replace(self, **altered)
        problems = problems_after(result, edit.changes)
        if problems:
            raise Refused(problems)
        return result


def _validate(change: Change) -> None:
    """Hold a record to the bounds of its type; msgspec checks them only when it converts."""
    record = change.after
    assert record is not None
    if record.id != change.key:
        raise Refused([f"record {record.id} is filed under {change.key}"])
    kind = TABLES[change.table]
    if not isinstance(record, get_args(kind) or kind):
        raise Refused([f"a {type(record).__name__} does not belong in table {change.table}"])
    try:
        msgspec.convert(msgspec.to_builtins(record), type=kind)
        msgspec.json.encode(record)
    except msgspec.ValidationError as error:
        raise Refused([f"{getattr(record, 'name', '') or record.id}: {error}"]) from None
    except UnicodeEncodeError:
        raise Refused([f"{record.id}: its text holds half of a character"]) from None


def difference(old: Project, new: Project, label: str = "Changes") -> Edit:
    """Give the edit that turns `old` into `new`."""
    changes = []
    for name, before in old.tables():
        after = new.table(name)
        if before is after:
            continue
        changes += [
            Change(name, key, before.get(key), after.get(key))
            for key in sorted(before.keys() | after.keys())
            if before.get(key) != after.get(key)
        ]
    return Edit(label, tuple(changes))
