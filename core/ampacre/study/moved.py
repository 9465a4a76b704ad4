"""Existing load that the work moves below another meter, where no record has seen it."""

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.model.standing import standing

__all__ = ["moved_load"]


def moved_load(project: Project, now: Project, measured: frozenset[str]) -> frozenset[str]:
    """Pieces with load that hang below a `measured` point `now` and didn't hang below it before.

    A measured record stands for the load that was there when it was taken; for load that comes to
    hang below it later it can't, even where the piece itself is old.
    """
    if not measured:
        return frozenset()
    before = standing(project, None)
    if before is now:
        return frozenset()
    seen = {key: _below(before, key) for key in measured}
    return frozenset(
        piece
        for key in measured
        for piece in _below(now, key) - seen[key]
        if isinstance(now.equipment[piece], (r.Use, r.DwellingLoad))
        and now.equipment[piece].since is None
    )


def _below(project: Project, key: str) -> set[str]:
    fed: dict[str, list[str]] = {}
    for run in project.runs.values():
        fed.setdefault(run.source, []).append(run.target)
    found: set[str] = set()
    waiting = [key]
    while waiting:
        for target in fed.get(waiting.pop(), ()):
            if target not in found:
                found.add(target)
                waiting.append(target)
    return found
