"""The inspections of the job, stage by stage, with what of this project each of them looks at."""

from collections.abc import Iterator
from typing import Literal

from ampacre.codebook.burial import underground
from ampacre.model import records as r
from ampacre.model.naming import listed
from ampacre.rules.reading import is_circuit
from ampacre.sheets.grounding_sheets import electrode_places
from ampacre.sheets.piece_labels import electrode_words
from ampacre.sheets.table import Column, Part, Table
from ampacre.sheets.wording import amperes, cover_words
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
    ours = (f for f in study.all_runs() if f.run.owner == "customer")
    fresh = [f for f in ours if f.work != "existing" and is_circuit(study, f)]
    for title, told in (
        ("Trench, before backfill", [_buried(study, f) for f in fresh if _lies(f) == "buried"]),
        ("Rough-in, before cover", [_name(study, f) for f in fresh if _lies(f) == "indoors"]),
        ("Above ground outdoors", [_outdoors(study, f) for f in fresh if _lies(f) == "outdoors"]),
        ("Trench or rough-in, place to enter", [_name(study, f) for f in fresh if not _lies(f)]),
    ):
        yield title, "; ".join(told)
    services = [
        f"{facts.piece.name}, {amperes(facts.device_ahead_a)}"
        for facts in study.all_equipment()
        if facts.at_service and facts.work != "existing"
    ]
    yield "Service, for release to the utility", listed(services)
    electrodes = [
        f"{place.name}: {electrode_words(place.record, study.settings.units)}"
        for place in electrode_places(study)
        if place.record and not place.told
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


def _lies(facts: RunFacts) -> Literal["buried", "indoors", "outdoors", ""]:
    place = facts.place.value
    if place is None:
        return ""
    if underground(place):
        return "buried"
    return "indoors" if place == "indoors" else "outdoors"


def _buried(study: Study, facts: RunFacts) -> str:
    cover = cover_words(facts, study.settings.units) or "none needed"
    return f"{_name(study, facts)}, cover {cover}"


def _outdoors(study: Study, facts: RunFacts) -> str:
    place = "" if facts.place.value == "outdoors" else f", {facts.place.value}"
    return _name(study, facts) + place


def _name(study: Study, facts: RunFacts) -> str:
    return facts.run.name or f"circuit of {study.project.equipment[facts.run.target].name}"
