"""What changed between two versions of a project, in words: the change list of a set handed in."""

from collections.abc import Iterator
from typing import Any

from msgspec import Struct

from ampacre.model import records as r
from ampacre.model.project import Change, Project, difference
from ampacre.model.words import field_word, kind_of, unit_of, value_word
from ampacre.quantity import UnitSystem, show

__all__ = ["changed_elements", "changes_in_words", "set_number"]

_SILENT = ("placement", "accepted", "issues")
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
    """Give the ids of pieces and runs that were added or changed: they get a delta."""
    return frozenset(
        change.key
        for change in difference(old, new).changes
        if change.table in ("equipment", "runs") and change.after is not None
    )


def set_number(old: Project, new: Project) -> int:
    """Give the number of the set in which `new` is handed in after `old`.

    It is recorded in a set on its way out, else it is the next one.
    """
    known, latest = (
        max((issue.number for issue in project.issues.values()), default=0)
        for project in (old, new)
    )
    return latest if latest > known else latest + 1


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
                return f"What was seen at {self._piece(record.where)}"
            case r.ManagedGroup():
                return f"Load management {record.name}"
            case r.NoncoincidentGroup():
                return f"Loads that do not run together {record.name}"
        name = getattr(record, "name", "")
        return f"{type(record).__name__} {name}".strip()

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
