"""Builders of edits that say what a piece or run is to the work, and what stood in its place.

Each looks at a project and gives an Edit; none changes anything.
"""

from collections.abc import Iterable
from typing import Literal

import msgspec

from ampacre.model import records as r
from ampacre.model.edits import changed
from ampacre.model.project import Change, Edit, Project, TableName
from ampacre.model.words import element_word

__all__ = ["SetWork", "marked", "replaced", "with_former", "without_former"]

SetWork = Literal["existing", "new", "removed"]
"""What can be said in one word; what is reused says of what, or what it was."""

_KEPT = (
    "source", "target", "role", "owner", "protected_at", "spaces", "legs", "lands_on", "place",
    "name", "structure", "location", "system", "primary_v",
)  # fmt: skip
"""What holds of a place however it is built; the rest of what stood there before is not known."""

Element = r.AnyEquipment | r.Run


def marked(project: Project, keys: Iterable[str], work: SetWork) -> Edit:
    """Say of pieces and runs that they are there already, come with the work, or go with it."""
    changes: list[Change] = []
    for key in keys:
        table, before = _element(project, key)
        changes += changed(table, before, _as_work(before, work))
    names = [element_word(project, change.key) for change in changes]
    what = names[0] if len(names) == 1 else f"{len(names)} pieces and runs"
    return Edit(f"Mark {what} as {work}", tuple(changes))


def _as_work(record: Element, work: SetWork) -> Element:
    if work == "removed":
        there = msgspec.structs.replace(record, since=None, reuses=None, was=None)
        return msgspec.structs.replace(there, until=record.until or r.WORK)
    since = None if work == "existing" else record.since or r.WORK
    return msgspec.structs.replace(record, since=since, until=None, reuses=None, was=None)


def replaced(project: Project, key: str) -> Edit:
    """Have another thing of its kind come in place of what is there now.

    What is entered of it becomes what stood here before, and the start of what comes.
    """
    table, before = _element(project, key)
    was = msgspec.structs.replace(before, since=None, until=None, reuses=None, was=None)
    after = msgspec.structs.replace(
        before, since=before.since or r.WORK, until=None, reuses=None, was=was
    )
    return Edit(f"Replace {element_word(project, key)} in the work", changed(table, before, after))


def with_former(project: Project, key: str) -> Edit:
    """Say that something stood here before, of which nothing but its place is known yet."""
    table, before = _element(project, key)
    fields = {name: getattr(before, name) for name in before.__struct_fields__ if name in _KEPT}
    was = type(before)(id=before.id, **fields)
    after = msgspec.structs.replace(before, since=before.since or r.WORK, was=was)
    label = f"Say what stood in place of {element_word(project, key)}"
    return Edit(label, changed(table, before, after))


def without_former(project: Project, key: str) -> Edit:
    """Say that nothing stood here before."""
    table, before = _element(project, key)
    after = msgspec.structs.replace(before, was=None)
    label = f"Forget what stood in place of {element_word(project, key)}"
    return Edit(label, changed(table, before, after))


def _element(project: Project, key: str) -> tuple[TableName, Element]:
    if key in project.runs:
        return "runs", project.runs[key]
    return "equipment", project.equipment[key]
