"""Which fields matter for a record as it stands; the others are not shown."""

from typing import Any

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre_gui.panels.form import FieldSpec

__all__ = ["is_relevant"]


def is_relevant(project: Project, record: r.Record, spec: FieldSpec) -> bool:
    """Tell whether a field can say anything about this record."""
    name = spec.path[0]
    if isinstance(record, r.Run):
        return _in_run(project, record, name)
    if name == "main":
        return _set(record, name)
    if name == "primary_v":
        return isinstance(record, r.UtilitySource) and record.system == "primary"
    if name == "reuses":
        return _something_removed(project.equipment) or _set(record, name)
    if name == "serves":
        dwellings = (isinstance(p, r.DwellingLoad) for p in project.equipment.values())
        return any(dwellings) or _set(record, name)
    return True


def _in_run(project: Project, run: r.Run, name: str) -> bool:
    from_panel = isinstance(project.equipment.get(run.source), r.Panel)
    if name == "spaces":
        return from_panel
    if name == "legs":
        return not run.spaces
    if name == "lands_on":
        return isinstance(project.equipment.get(run.target), r.TransferSwitch)
    if name == "device":
        return run.protected_at != "none"
    if name == "reuses":
        return _something_removed(project.runs) or _set(run, name)
    return True


def _something_removed(table: Any) -> bool:
    return any(record.until is not None for record in table.values())


def _set(record: r.Record, name: str) -> bool:
    return getattr(record, name) is not None
