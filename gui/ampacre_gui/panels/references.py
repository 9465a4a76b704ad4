"""What a field that points to another record may point to, with the words for each."""

from collections.abc import Callable, Iterator
from typing import Any

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre_gui.names import element_name
from ampacre_gui.panels.form import FieldSpec

__all__ = ["Choices", "choices_for"]

Choices = list[tuple[str, Any]]
"""Words and ids, in the order in which they are listed."""


def choices_for(project: Project, key: str, spec: FieldSpec) -> Choices:
    """Give what a field of the record `key` may point to."""
    if spec.table == "stages":
        stages = sorted(project.stages.values(), key=lambda stage: stage.order)
        return [(stage.name, stage.id) for stage in stages]
    return sorted(_pool(project, key, spec))


def _pool(project: Project, key: str, spec: FieldSpec) -> Iterator[tuple[str, str]]:
    name = spec.path[-1]
    if spec.table in ("structures", "raceways"):
        yield from ((record.name, record.id) for record in project.table(spec.table).values())  # type: ignore[arg-type]
    elif name == "neutral_with":
        source = project.runs[key].source
        beside = (run for run in project.runs.values() if run.source == source and run.id != key)
        yield from ((element_name(project, run.id), run.id) for run in beside)
    elif name == "reuses":
        table: Any = project.runs if key in project.runs else project.equipment
        gone = (record for record in table.values() if record.until is not None)
        yield from ((element_name(project, record.id), record.id) for record in gone)
    elif name == "at":
        yield from ((piece.name, piece.id) for piece in project.equipment.values() if _bonds(piece))
        yield from ((place.name, place.id) for place in project.structures.values())
    elif name == "members":
        managed = isinstance(project.groups.get(key), r.ManagedGroup)
        kinds = (r.Charger,) if managed else (r.Load, r.Motor)
        pieces = (piece for piece in project.equipment.values() if isinstance(piece, kinds))
        yield from ((piece.name, piece.id) for piece in pieces)
        others = (group for group in project.groups.values() if isinstance(group, r.ManagedGroup))
        yield from ((group.name, group.id) for group in others if managed and group.id != key)
    else:
        wanted = _WANTED.get(name, lambda _: True)
        yield from ((piece.name, piece.id) for piece in project.equipment.values() if wanted(piece))


def _bonds(piece: r.Equipment) -> bool:
    kinds = (r.Transformer, r.Meter, r.Disconnect, r.Panel, r.Generator, r.TransferSwitch)
    return isinstance(piece, kinds)


_WANTED: dict[str, Callable[[Any], bool]] = {
    "serves": lambda piece: isinstance(piece, r.DwellingLoad),
    "measured_at": lambda piece: isinstance(piece, r.Point),
}
