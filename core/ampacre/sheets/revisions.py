"""What changed between two versions of a project, in words: the change list of a set handed in."""

from collections.abc import Iterator
from typing import Any

from msgspec import Struct

from ampacre.model import records as r
from ampacre.model.project import Change, Project, difference
from ampacre.model.words import field_word, kind_of, unit_of, value_word
from ampacre.quantity import UnitSystem, show
from ampacre.rules.rule import RULES
from ampacre.store.issued import handed_in

__all__ = ["changed_elements", "changes_in_words", "revision_words", "set_number"]

_SILENT = ("placement", "issues")
_LEFT_OUT = ("id", "was")


def changes_in_words(old: Project, new: Project) -> tuple[str, ...]:
    """Say what turned `old` into `new`, one line for each thing that changed."""
    words = _Words(old, new)
    return tuple(
        line
        for change in difference(old, new).changes
        if change.table not in _SILENT
        for line in words.of(change)
    )


def changed_elements(old: Project, new: Project) -> frozenset[str]:
    """Give the ids of pieces and runs that get a delta.

    They were added or changed, or something that was joined to them was, or was taken out.
    """
    keys = (key for change in difference(old, new).changes for key in _marked(change, new))
    return frozenset(key for key in keys if key in new.equipment or key in new.runs)


def _marked(change: Change, new: Project) -> Iterator[str]:
    match change.after or change.before:
        case r.Run() as run if change.after is None:
            yield from (run.source, run.target)
        case r.Grounding() as grounding:
            yield grounding.at
        case r.Raceway() as raceway:
            for run in new.runs.values():
                if any(segment.raceway == raceway.id for segment in run.segments):
                    yield run.id
        case r.Equipment() | r.Run() as record:
            yield record.id


def set_number(project: Project) -> int:
    """Give the number of the set that a project is, or of the next one."""
    if this := handed_in(project):
        return this.number
    return max((issue.number for issue in project.issues.values()), default=0) + 1


def revision_words(project: Project) -> str:
    """Say which set a project is: "2, 2026-04-02"."""
    if this := handed_in(project):
        return f"{this.number}, {this.date}"
    return f"{set_number(project)}, not yet issued" if project.issues else "first set"


class _Words:
    def __init__(self, old: Project, new: Project) -> None:
        self.old, self.new = old, new
        self.units: UnitSystem = new.settings.units

    def of(self, change: Change) -> Iterator[str]:
        record = change.after or change.before
        assert record is not None
        name = self._name(record)
        if change.before is None:
            yield f"{name}: added"
        elif change.after is None:
            yield f"{name}: taken out of the drawings"
        else:
            for field, before, after in _differing(change.before, change.after):
                yield f"{name}: {field_word(field)} {self._value(field, before)}, now {self._value(field, after)}"

    def _name(self, record: r.Record) -> str:
        match record:
            case r.Equipment():
                return f"{record.name} ({kind_of(record)})"
            case r.Run():
                ends = f"run from {self._piece(record.source)} to {self._piece(record.target)}"
                return f"{record.name} ({ends})" if record.name else ends.capitalize()
            case r.Settings():
                return "Project"
            case r.Grounding():
                return f"Grounding at {self._piece(record.at)}"
            case r.Answer():
                return f"What was seen at {self._place(record.where)}"
            case r.Accepted():
                rule = RULES.get(record.rule)
                title = f" ({rule.title[:1].lower()}{rule.title[1:]})" if rule else ""
                return f"Finding accepted at {self._place(record.where)}{title}"
            case r.ManagedGroup():
                return f"Load management {record.name}"
            case r.NoncoincidentGroup():
                return f"Loads that do not run together {record.name}"
        name = getattr(record, "name", "")
        return f"{type(record).__name__} {name}".strip()

    def _place(self, key: str) -> str:
        run = self.new.runs.get(key) or self.old.runs.get(key)
        if key == "project":
            return "the project"
        return (run.name or f"the run to {self._piece(run.target)}") if run else self._piece(key)

    def _piece(self, key: str) -> str:
        for project in (self.new, self.old):
            for table in (project.equipment, project.structures):
                if key in table:
                    return str(table[key].name)
        return key

    def _value(self, field: str, value: Any) -> str:
        unit = unit_of(field)
        if isinstance(value, float) and unit:
            return show(value, unit, self.units)
        if isinstance(value, tuple):
            return ", ".join(self._value(field, each) for each in value) or "none"
        if isinstance(value, str) and (value in self.new.equipment or value in self.old.equipment):
            return self._piece(value)
        if isinstance(value, Struct):
            shown = (
                f"{field_word(name)} {self._value(name, getattr(value, name))}"
                for name in value.__struct_fields__
                if getattr(value, name) not in (None, "", False, ())
            )
            return ", ".join(shown)
        return value_word(value) or "empty"


def _differing(before: Struct, after: Struct) -> Iterator[tuple[str, Any, Any]]:
    """Give fields that differ, those of a part (device, conductors) by themselves."""
    for name in after.__struct_fields__:
        if name in _LEFT_OUT:
            continue
        old, new = getattr(before, name, None), getattr(after, name)
        if old == new:
            continue
        if isinstance(old, Struct) and type(old) is type(new):
            yield from _differing(old, new)
        else:
            yield name, old, new
