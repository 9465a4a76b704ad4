"""Which pieces and runs stand at a stage, and the words for them."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any, Literal

import msgspec

from ampacre.model import records as r
from ampacre.model.project import Project

__all__ = ["Work", "standing", "work_of"]

Work = Literal["existing", "new", "reused", "removed"]


def work_of(record: r.Standing) -> Work:
    """Give the word that the drawing uses for a piece or run.

    What stood here before in another form is reused: nothing about it is for the study to choose.
    """
    if record.until is not None:
        return "removed"
    if record.since is None:
        return "existing"
    altered = isinstance(record, (r.Equipment, r.Run)) and record.was is not None
    return "reused" if altered or record.reuses is not None else "new"


def standing(project: Project, stage: str | None = r.WORK) -> Project:
    """Give the project as it stands when a stage is done (None: before any work).

    Until its `since` a record that says what it `was` stands in that form. Runs of which an end is
    gone are gone too, but one that a new piece was put into leads to where it led before.
    """
    order = -1 if stage is None else project.stages[stage].order
    begun = {key for key, record in project.stages.items() if record.order <= order}

    def as_it_stands(record: r.AnyEquipment | r.Run) -> r.AnyEquipment | r.Run | None:
        if record.until in begun:
            return None
        if record.since is not None and record.since not in begun:
            return record.was
        return _without_new(record) if stage is None else record

    def altered(table: Mapping[str, Any]) -> dict[str, Any]:
        settled = begun | {None}
        other = [
            record
            for record in table.values()
            if stage is None or record.until is not None or record.since not in settled
        ]
        return {
            record.id: stands for record in other if (stands := as_it_stands(record)) is not record
        }

    other_pieces, other_runs = altered(project.equipment), altered(project.runs)
    if not other_pieces and not other_runs:
        return project
    equipment: dict[str, r.AnyEquipment | None] = {**project.equipment, **other_pieces}
    runs: dict[str, r.Run | None] = {**project.runs, **other_runs}
    pieces = {key: piece for key, piece in equipment.items() if piece is not None}
    found = {key: run for key, run in runs.items() if run is not None and run.source in pieces}
    cut = [run for run in found.values() if run.target not in pieces]
    stand = {key: run for key, run in found.items() if run.target in pieces}
    fed = {run.target for run in stand.values()}
    leaving: dict[str, list[r.Run]] = {}
    for run in project.runs.values() if cut else ():
        leaving.setdefault(run.source, []).append(run)
    for run in cut:
        ends = [one for one in _ends(project, run, leaving, pieces, begun) if one.target not in fed]
        if len(ends) == 1:
            target, lands_on = ends[0].target, ends[0].lands_on
            stand[run.id] = msgspec.structs.replace(run, target=target, lands_on=lands_on)
    return replace(project, equipment=pieces, runs=stand)


def _ends(
    project: Project,
    cut: r.Run,
    leaving: Mapping[str, list[r.Run]],
    pieces: Mapping[str, r.AnyEquipment],
    begun: set[str],
) -> Iterator[r.Run]:
    """Give the runs through which a run leads on to what stands, past pieces that are yet to come.

    `leaving` has the runs by where they leave. A new piece put into a run takes its end; until then
    the run leads to where it led before. Past a transformer it does not: the voltage there is
    another.
    """
    ways, passed = [cut], {cut.source}
    while ways:
        run = ways.pop()
        if run.target in pieces:
            yield run
        elif run.target not in passed:
            passed.add(run.target)
            piece = project.equipment[run.target]
            to_come = piece.since is not None and piece.since not in begun
            if to_come and not isinstance(piece, r.Transformer):
                ways += leaving.get(run.target, ())


def _without_new(record: r.AnyEquipment | r.Run) -> r.AnyEquipment | r.Run:
    """Leave out the appliances that an existing dwelling gets with the work."""
    if not isinstance(record, r.DwellingLoad) or not any(a.new for a in record.appliances):
        return record
    kept = tuple(appliance for appliance in record.appliances if not appliance.new)
    return msgspec.structs.replace(record, appliances=kept)
