"""The index of the set: where each chapter stands, and the answers that are looked for first."""

from collections.abc import Callable, Iterable, Iterator
from functools import partial

from ampacre.model import records as r
from ampacre.model.naming import listed
from ampacre.quantity import show
from ampacre.rules.reading import is_circuit
from ampacre.sheets.labelling import work_mark
from ampacre.sheets.piece_labels import electrode_words
from ampacre.sheets.ratings import bound_mark, rated_ka
from ampacre.sheets.table import Column, Table
from ampacre.sheets.wording import (
    amperes,
    computed,
    few,
    piece_name,
    rating_of,
    runs_in_order,
    tree_order,
)
from ampacre.study.electrodes import grounding_record
from ampacre.study.facts import EquipmentFacts
from ampacre.study.study import Study

__all__ = ["IndexLine", "sheet_index"]

IndexLine = tuple[str, str]
"""Numbers of the sheets of a chapter, and its title."""

_MOST = 5


def sheet_index(study: Study, sheets: Iterable[IndexLine], width: float) -> Table:
    """Make the index for a column of this width [mm], from the numbers and titles of chapters."""
    columns = (
        Column("Sheet", 34.0),
        Column("Title", 45.0),
        Column("To find there", max(width - 79.0, 45.0)),
    )
    found = dict(_found(study))
    rows = tuple((numbers, title, found.get(title, "")) for numbers, title in sheets)
    return Table("Sheets of this set, and where to find what", columns, rows)


def _found(study: Study) -> Iterator[tuple[str, str]]:
    """Give what is looked for first, by the chapter that it stands in."""
    services = [facts for facts in tree_order(study) if facts.at_service]

    def each(say: Callable[[EquipmentFacts], str]) -> str:
        return _each(services, say)

    yield "Cover", f"scope, code edition NEC {study.settings.edition}, statements"
    yield "Grounding", _said("electrodes and their conductors", each(partial(_electrodes, study)))
    yield "Labels, placards and inspections", "labels, working space, site checks"
    yield "One-line diagram", _said("service and mains, (E) and (N)", each(_service))
    yield "Load calculation", _said("calculated load", each(_load))
    yield "Figures", "load against rating, voltage, legs"
    yield "Panel schedules", _panels(study)
    yield "Run schedule", _said("conductors, insulation; drop", _drop(study))
    yield "Fault current and voltage", _said("fault current, ratings", each(_fault))
    yield "Equipment list", _said("vehicle chargers", _chargers(study)) or "ratings, listing"
    yield "Findings", "what is not met, accepted, not checked"
    yield "Basis and sources", "code, choices, assumptions"
    yield "Load letter and service data", "what the utility asks for"


def _said(what: str, short: str) -> str:
    return f"{what}: {short}" if short else what


def _each(services: list[EquipmentFacts], say: Callable[[EquipmentFacts], str]) -> str:
    """Say it of each service, by name; of no more than a few."""
    said = [f"{facts.piece.name}: {words}" for facts in services if (words := say(facts))]
    return "; ".join(few(said, _MOST))


def _service(facts: EquipmentFacts) -> str:
    volts = f", {facts.system.name} V" if facts.system else ""
    return f"{amperes(facts.device_ahead_a)}{volts}, {work_mark(facts.piece)}"


def _load(facts: EquipmentFacts) -> str:
    demand = facts.demand
    if demand is None:
        return ""
    sizing = f"{show(demand.heavier_sizing_a, 'a')} with 125 % of continuous"
    return f"{show(demand.heavier_a, 'a')}, {sizing}, main {amperes(facts.device_ahead_a)}"


def _fault(facts: EquipmentFacts) -> str:
    if facts.fault is None:
        return ""
    rated = rated_ka(facts.piece)
    fault = f"{computed(facts.fault.greatest.greatest_ka, 'ka')} kA{bound_mark(facts)}"
    return f"{fault}, rated {show(rated, 'ka')}" if rated else f"{fault}, rating not read"


def _drop(study: Study) -> str:
    drops = [facts for facts in runs_in_order(study) if facts.total_drop_pct is not None]
    worst = max(drops, key=lambda facts: facts.total_drop_pct or 0.0, default=None)
    if worst is None:
        return ""
    limit = study.settings.total_drop_pct
    at = piece_name(study, worst.run.target)
    unread = sum(
        facts.drop_pct is None and facts.run.owner == "customer" and is_circuit(study, facts)
        for facts in study.all_runs()
    )
    lacking = (
        f"; {unread} {'run' if unread == 1 else 'runs'} without length or wire" if unread else ""
    )
    return f"at most {worst.total_drop_pct:.1f} %, at {at}; limit {limit:g} %{lacking}"


def _electrodes(study: Study, facts: EquipmentFacts) -> str:
    record = grounding_record(study.project, facts.piece)
    if record is None:
        return "to be entered"
    metal = (record.conductor_material or "cu").upper()
    conductor = f", {record.conductor} {metal}" if record.conductor else ""
    return electrode_words(record, study.settings.units, brief=True) + conductor


def _chargers(study: Study) -> str:
    chargers = [f for f in tree_order(study) if isinstance(f.piece, r.Charger)]
    if not chargers:
        return ""
    named = [f"{f.piece.name} {rating_of(f).removeprefix('nameplate ')}" for f in chargers]
    names = ", ".join(few(named, _MOST))
    groups = [g for g in study.project.groups.values() if isinstance(g, r.ManagedGroup)]
    limits = [f"{group.name} limits {_held(study, group)}" for group in groups]
    return f"{names}; {', '.join(few(limits, _MOST)) if limits else 'not managed'}"


def _held(study: Study, group: r.ManagedGroup) -> str:
    limit = f"to {show(group.limit_a, 'a')}"
    place = study.project.equipment.get(group.measured_at or "")
    return f"all load at {place.name} {limit}" if place and group.holds == "all load" else limit


def _panels(study: Study) -> str:
    panels = [f for f in study.all_equipment() if isinstance(f.piece, r.Panel)]
    return (
        listed([f.piece.name for f in panels]) if len(panels) <= _MOST else f"{len(panels)} panels"
    )
