"""The scope of work, in words made from the project: what is new, reused, changed and removed."""

from collections import Counter
from collections.abc import Iterator

from ampacre.model import records as r
from ampacre.model.naming import listed
from ampacre.model.words import kind_of
from ampacre.sheets.labelling import ShownWork, shown_work
from ampacre.sheets.wording import (
    amperes,
    few,
    length_words,
    nameplate,
    rating_of,
    run_title,
    wire_words,
)
from ampacre.study.study import Study

__all__ = ["scope_of_work"]

_PLURALS = {
    "junction": "junctions",
    "transfer switch": "transfer switches",
    "battery": "batteries",
    "utility source": "utility sources",
}


_MOST = 6
"""Of more services, runs, or pieces of a kind, only the first are named; schedules have them all."""

_PIECES: dict[ShownWork, str] = {
    "new": "New",
    "replaced": "Replaced",
    "reused": "Reused",
    "removed": "To be removed",
}
_RUNS: dict[ShownWork, str] = {
    "new": "New runs",
    "replaced": "Runs replaced",
    "reused": "Runs of reused material",
    "removed": "Runs removed",
}


def scope_of_work(study: Study) -> Iterator[str]:
    """Give the paragraphs of the scope; the user's own words come first."""
    settings = study.settings
    if settings.scope:
        yield settings.scope
    services = list(_services(study))
    yield from few(services, _MOST)
    pieces = list(study.project.equipment.values())
    runs = [run for run in study.project.runs.values() if run.length_m != 0]
    for work, verb in _PIECES.items():
        said = _counted(study, [piece for piece in pieces if shown_work(piece) == work])
        if said:
            yield f"{verb}: {said}."
    for work, verb in _RUNS.items():
        names = [
            _run(study, run) for run in runs if shown_work(run) == work and run.role != "branch"
        ]
        if names:
            yield f"{verb}: {'; '.join(few(names, _MOST))}."
    branches = Counter(shown_work(run) for run in runs if run.role == "branch")
    if branches["new"]:
        yield f"{branches['new']} new branch circuits, in the panel schedules."
    changed = [piece for piece in pieces if piece.was is not None]
    for piece in changed:
        before, now = (_described(each) for each in (piece.was or piece, piece))
        yield f"{piece.name} is replaced: before, {before}; now, {now}."


def _described(piece: r.Equipment) -> str:
    return f"{kind_of(piece)} {nameplate(piece)}".rstrip()


def _services(study: Study) -> Iterator[str]:
    for facts in study.all_equipment():
        if facts.at_service and facts.system:
            yield (
                f"Service at {facts.piece.name}, {shown_work(facts.piece)}: {facts.system.name} V, "
                f"{amperes(facts.device_ahead_a, 'rating not read')}."
            )


def _counted(study: Study, pieces: list[r.AnyEquipment]) -> str:
    kinds: dict[str, list[str]] = {}
    for piece in pieces:
        kinds.setdefault(kind_of(piece), []).append(_named(study, piece))
    return listed([_kind(kind, names) for kind, names in kinds.items()])


def _kind(kind: str, names: list[str]) -> str:
    word = kind if len(names) == 1 else _PLURALS.get(kind, f"{kind}s")
    if kind == "load" and len(names) > _MOST:
        return f"{len(names)} {word}"
    return f"{len(names)} {word} ({', '.join(few(names, _MOST))})"


def _named(study: Study, piece: r.Equipment) -> str:
    if piece.id not in study.standing.equipment:
        return piece.name
    rating = rating_of(study.equipment(piece.id))
    return f"{piece.name} {rating}" if rating else piece.name


def _run(study: Study, run: r.Run) -> str:
    units = study.settings.units
    name = run_title(study, run)
    if run.id not in study.standing.runs:
        return name
    wires = wire_words(run, study.run(run.id))
    return ", ".join(filter(None, (name, length_words(run, units), wires)))
