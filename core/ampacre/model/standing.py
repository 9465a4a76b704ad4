"""Which pieces and runs stand at a stage, and the words for them."""

from dataclasses import replace
from typing import Literal

from ampacre.model import records as r
from ampacre.model.project import Project

__all__ = ["Work", "standing", "work_of"]

Work = Literal["existing", "new", "reused", "removed"]


def work_of(record: r.Standing) -> Work:
    """Give the word that the drawing uses for a piece or run."""
    if record.until is not None:
        return "removed"
    if record.since is None:
        return "existing"
    return "reused" if record.reuses is not None else "new"


def standing(project: Project, stage: str | None = r.WORK) -> Project:
    """Give the project as it stands when a stage is done (None: before any work).

    Runs of which an end is gone are gone too.
    """
    order = -1 if stage is None else project.stages[stage].order
    rank = {key: record.order for key, record in project.stages.items()}

    def stands(record: r.Standing) -> bool:
        since = -1 if record.since is None else rank[record.since]
        until = None if record.until is None else rank[record.until]
        return since <= order and (until is None or until > order)

    if all(map(stands, project.equipment.values())) and all(map(stands, project.runs.values())):
        return project
    equipment = {key: piece for key, piece in project.equipment.items() if stands(piece)}
    runs = {
        key: run
        for key, run in project.runs.items()
        if stands(run) and run.source in equipment and run.target in equipment
    }
    return replace(project, equipment=equipment, runs=runs)
