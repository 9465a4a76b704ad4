"""The sheet for the utility: a load letter for each service, and the data that utilities ask for."""

from collections.abc import Iterator

from ampacre.model import records as r
from ampacre.model.naming import listed
from ampacre.quantity import show
from ampacre.sheets.table import Column, Notes, Part, Table
from ampacre.sheets.wording import (
    NOT_READ,
    amperes,
    cover_words,
    length_words,
    rating_of,
    run_title,
    tree_order,
    way_words,
    wire_words,
)
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.letter import LoadLetter, load_letters
from ampacre.study.study import Study

__all__ = ["utility_sheet"]

_LETTER = (Column("Asked", 90), Column("Answer", 225))
_SERVICE_RUNS = (
    Column("Run", 70),
    Column("Owner", 30),
    Column("Conductors", 65),
    Column("Raceway", 40),
    Column("Length", 30),
    Column("Cover", 35),
    Column("Bends", 45),
)


def utility_sheet(study: Study) -> Iterator[Part]:
    """Make one load sheet for each meter, and what goes with the application."""
    for letter in load_letters(study):
        meter = f", meter {letter.meter}" if letter.meter else ""
        yield Table(
            f"Load sheet for {letter.service}{meter}", _LETTER, tuple(_letter(study, letter))
        )
    yield Table("Service conductors and who owns them", _SERVICE_RUNS, tuple(_ownership(study)))
    yield Notes("Generation and standby", tuple(_generation(study)))
    yield Table("Service application", _LETTER, tuple(_application(study)))


def _letter(study: Study, letter: LoadLetter) -> Iterator[tuple[str, str]]:
    settings = study.settings
    yield "Customer and address", ", ".join(filter(None, (settings.owner, settings.address)))
    yield "Service wanted", f"{amperes(letter.service_a)}, {letter.system} V"
    yield "Connected load", show(letter.connected_kva, "kva")
    yield (
        f"Calculated load, {letter.method} method",
        (f"{show(letter.demand_kva, 'kva')}, {show(letter.demand_a, 'a')} on the heavier leg"),
    )
    motor = letter.largest_motor
    if motor:
        power = f", {show(motor.power_hp, 'hp')}" if motor.power_hp else ""
        yield "Largest motor", f"{motor.name}, {show(motor.amperes, 'a')}{power}, across the line"
    managed = _managed(letter)
    yield (
        "Vehicle chargers",
        (f"{letter.chargers}, {show(letter.chargers_kw, 'kw')} by full hardware rating{managed}"),
    )
    yield "Dwelling", _dwelling(study, letter.service)
    limit = settings.single_phase_kva
    if limit:
        word = "within" if letter.demand_kva <= limit else "above"
        yield "Single-phase limit", f"{word} the utility's {show(limit, 'kva')}"
    if settings.ct_above_a and letter.service_a:
        above = letter.service_a > settings.ct_above_a
        kind = "by current transformers" if above else "self-contained"
        yield "Metering", f"{kind}: the utility's limit is {show(settings.ct_above_a, 'a')}"
    yield "Meter socket", _socket(study, letter)
    if letter.transformer:
        share = f", {letter.transformer_pct:.0f} % of" if letter.transformer_pct else " on"
        rated = show(letter.transformer_kva, "kva") if letter.transformer_kva else "unknown rating"
        load = show(letter.transformer_load_kva or 0.0, "kva")
        yield f"Transformer {letter.transformer}", f"{load} by calculation{share} {rated}"


def _managed(letter: LoadLetter) -> str:
    said = [f"managed to {show(letter.managed_a, 'a')}"] if letter.managed_a else []
    said += [
        f"turned down by {each.group} so that all load at {each.place} stays at "
        f"{show(each.limit_a, 'a')}"
        for each in letter.held
    ]
    return "".join(f"; {each}" for each in said or ["not managed"])


def _dwelling(study: Study, service: str) -> str:
    units = study.settings.units
    homes = [
        facts.piece
        for facts in tree_order(study)
        if isinstance(facts.piece, r.DwellingLoad) and _is_below(study, facts, service)
    ]
    said = []
    for home in homes:
        assert isinstance(home, r.DwellingLoad)
        heating = [
            each.name or each.kind
            for each in home.appliances
            if each.kind in ("heat pump", "cooling", "space heat", "supplementary heat")
        ]
        said.append(
            f"{home.name}, {show(home.floor_area_m2, 'm2', units)}, {listed(heating) or 'no electric heat'}"
        )
    return "; ".join(said) or "none"


def _is_below(study: Study, facts: EquipmentFacts, service: str) -> bool:
    at: EquipmentFacts | None = facts
    while at is not None:
        if at.piece.name == service:
            return True
        at = study.equipment(at.parent) if at.parent else None
    return False


def _socket(study: Study, letter: LoadLetter) -> str:
    for facts in tree_order(study):
        if facts.piece.name == letter.meter and isinstance(facts.piece, r.Meter):
            return f"{letter.meter}: {rating_of(facts)}, {facts.piece.role}"
    return NOT_READ


def _ownership(study: Study) -> Iterator[tuple[str, ...]]:
    """Give the runs from the utility's line to the service disconnects."""
    for facts in tree_order(study):
        if not facts.feed or not (facts.ahead_of_service or facts.at_service):
            continue
        run = study.run(facts.feed)
        if run.run.length_m != 0:
            yield _service_run(study, run)


def _service_run(study: Study, facts: RunFacts) -> tuple[str, ...]:
    run, units = facts.run, study.settings.units
    return (
        run_title(study, run),
        run.owner,
        wire_words(run, facts),
        way_words(run, facts),
        length_words(run, units),
        cover_words(facts, units) or "the utility's rule",
        f"{run.bends_deg:g} deg" if run.bends_deg is not None else "the utility's rule",
    )


def _application(study: Study) -> Iterator[tuple[str, str]]:
    settings = study.settings
    unknown = "to be entered"
    yield (
        "Utility and job number",
        ", ".join(filter(None, (settings.utility or unknown, settings.utility_job))),
    )
    yield "Service wanted by", settings.service_date or unknown
    yield "Meter place approved", settings.meter_approval or "to be asked before anything is bought"
    yield "Letter of the utility", settings.utility_letter or "pending"
    yield "Disconnection and reconnection", settings.outage or "to be arranged"
    yield "Easement", settings.easement or unknown
    yield "Ticket for digging (811)", settings.dig_ticket or "to be had before digging"
    stated = [
        f"{f.piece.name} {show(f.piece.fault_ka, 'ka')}"
        for f in tree_order(study)
        if isinstance(f.piece, r.UtilitySource) and f.piece.fault_ka
    ]
    pending = "utility's value pending; infinite primary assumed, with the transformer as drawn"
    yield "Fault current at the service", ", ".join(stated) or pending


def _generation(study: Study) -> Iterator[str]:
    for facts in tree_order(study):
        piece = facts.piece
        if isinstance(piece, r.Generator):
            switches = [
                study.project.equipment[run.run.target].name
                for run in study.all_runs()
                if run.run.source == piece.id
            ]
            yield (
                f"Standby generator {piece.name}, {rating_of(facts)}, by {listed(switches)}; "
                "the utility is told after the inspection."
            )
        elif isinstance(piece, (r.Inverter, r.Battery)):
            yield f"{piece.name}, {rating_of(facts)}: application for parallel operation."
    if not any(
        isinstance(f.piece, (r.Generator, r.Inverter, r.Battery)) for f in study.all_equipment()
    ):
        yield "No generation and no standby supply."
