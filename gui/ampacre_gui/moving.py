"""Moving pieces by hand from their tidy places, with what hangs from them."""

from collections.abc import Iterable

from ampacre.model.edits import place
from ampacre.model.project import Edit, Project
from ampacre.model.records import Placement
from ampacre.study.study import Study

__all__ = ["STEP_MM", "carried_by", "move", "topmost"]

STEP_MM = 2.5
"""The drawing's module: pieces are moved by whole steps of it."""


def topmost(study: Study, keys: Iterable[str]) -> list[str]:
    """Give the pieces among `keys` that hang from no other one of them: those that take the rest."""
    chosen = [key for key in keys if key in study.project.equipment]
    below = {key: carried_by(study, key) for key in chosen}
    return [key for key in chosen if not any(key in below[other] for other in chosen)]


def carried_by(study: Study, key: str) -> set[str]:
    """Give ids of the pieces that come along with a piece."""
    network = study.network
    return set(network.below(key)) if key in network.graph else set()


def move(
    project: Project, keys: Iterable[str], dx_mm: float, dy_mm: float, gesture: str = ""
) -> Edit:
    """Move pieces from where they are. Edits of one `gesture` make one step."""
    edit = Edit("", (), gesture)
    for key in keys:
        present = project.placement.get(key) or Placement(id=key)
        moved = place(project, key, present.dx_mm + dx_mm, present.dy_mm + dy_mm, gesture)
        edit = edit.then(moved)
    return edit
