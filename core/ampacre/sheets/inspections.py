"""The inspections of the job, stage by stage, with what of this project each of them looks at."""

from collections.abc import Iterator

from ampacre.model import records as r
from ampacre.quantity import show
from ampacre.sheets.labels import electrode_words
from ampacre.sheets.table import Column, Part, Table
from ampacre.sheets.wording import amperes, listed
from ampacre.study.facts import RunFacts
from ampacre.study.study import Study

__all__ = ["inspections"]

_STAGES = (Column("Inspection", 60), Column("What it looks at here", 255))


def inspections(study: Study) -> Iterator[Part]:
    """Make the list of stages; those that find nothing to look at are left out."""
    yield Table("Inspections", _STAGES, tuple(row for row in _stages(study) if row[1]))


def _stages(study: Study) -> Iterator[tuple[str, str]]:
    settings = study.settings
    holder = settings.contractor or settings.owner or "the permit holder"
    office = settings.jurisdiction or "the authority"
    yield "Who asks", f"{holder} asks {office} for each inspection and gives access."
    fresh = [facts for facts in study.all_runs() if facts.work != "existing"]
    buried = [
        _buried(study, facts) for facts in fresh if facts.cover_needed_m and facts.run.length_m
    ]
    yield "Trench, before backfill", "; ".join(buried)
    inside = [
        _name(study, facts)
        for facts in fresh
        if facts.place.value == "indoors" and facts.run.length_m
    ]
    yield "Rough-in, before cover", listed(inside)
    services = [
        f"{facts.piece.name}, {amperes(facts.device_ahead_a)}"
        for facts in study.all_equipment()
        if facts.at_service and facts.work != "existing"
    ]
    yield "Service, for release to the utility", listed(services)
    electrodes = [
        f"{_at(study, record.at)}: {electrode_words(record, study.settings.units)}"
        for record in study.project.grounding.values()
    ]
    yield "Electrodes and their conductor", "; ".join(electrodes)
    panels = [f.piece.name for f in study.all_equipment() if isinstance(f.piece, r.Panel)]
    yield "Directories of panels", listed(panels)
    pieces = [
        facts.piece.name
        for facts in study.all_equipment()
        if facts.work != "existing" and facts.piece.owner == "customer"
    ]
    yield "Final, everything in place and working", listed(pieces)


def _buried(study: Study, facts: RunFacts) -> str:
    needed = show((facts.cover_needed_m or 0.0) * 1000, "mm", study.settings.units)
    return f"{_name(study, facts)}, cover {needed}"


def _name(study: Study, facts: RunFacts) -> str:
    return facts.run.name or f"circuit of {study.project.equipment[facts.run.target].name}"


def _at(study: Study, key: str) -> str:
    for table in (study.project.equipment, study.project.structures):
        if key in table:
            return str(table[key].name)
    return key
