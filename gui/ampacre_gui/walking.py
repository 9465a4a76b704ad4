"""Walking over the network with the arrow keys: to what feeds a piece, what it feeds, its siblings."""

from typing import Literal

from ampacre.model.project import Project
from ampacre.study.study import Study

__all__ = ["Way", "above", "children_of", "feeder_of", "step"]

Way = Literal["up", "down", "before", "after"]


def feeder_of(study: Study, key: str) -> str | None:
    """Id of the piece that feeds a piece in the normal state, else by the drawn runs."""
    facts = study.found.equipment.get(key)
    if facts and facts.parent:
        return facts.parent
    runs = study.project.runs.values()
    return next((run.source for run in runs if run.target == key and run.until is None), None)


def above(study: Study, key: str) -> frozenset[str]:
    """Ids of all pieces that a piece or run hangs from, up to the one that nothing feeds."""
    run = study.project.runs.get(key)
    at = run.source if run else feeder_of(study, key)
    seen: set[str] = set()
    while at is not None and at not in seen:
        seen.add(at)
        at = feeder_of(study, at)
    return frozenset(seen)


def children_of(study: Study, key: str) -> list[str]:
    """Ids of the pieces that a piece feeds, in the order of the panel's spaces, then by name."""
    project = study.project
    runs = [run for run in project.runs.values() if run.source == key]
    fed = [run for run in runs if feeder_of(study, run.target) == key]
    fed.sort(key=lambda run: (run.spaces or (999,), project.equipment[run.target].name))
    return list(dict.fromkeys(run.target for run in fed))


def roots_of(project: Project) -> list[str]:
    """Ids of the pieces that nothing feeds, by name."""
    fed = {run.target for run in project.runs.values()}
    loose = [piece for piece in project.equipment.values() if piece.id not in fed]
    return [piece.id for piece in sorted(loose, key=lambda piece: piece.name)]


def step(study: Study, key: str | None, way: Way) -> str | None:
    """Id of the piece one step away, None where there is none. From a run, up and down."""
    project = study.project
    run = project.runs.get(key or "")
    if run:
        return run.source if way in ("up", "before") else run.target
    if key is None or key not in project.equipment:
        return next(iter(roots_of(project)), None)
    if way == "up":
        return feeder_of(study, key)
    if way == "down":
        return next(iter(children_of(study, key)), None)
    parent = feeder_of(study, key)
    beside = children_of(study, parent) if parent else roots_of(project)
    if key not in beside:
        return None
    at = beside.index(key) + (1 if way == "after" else -1)
    return beside[at] if 0 <= at < len(beside) else None
