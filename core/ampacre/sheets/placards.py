"""Labels and placards that the code asks for, each with its text made from the project.

Where a question of the rulebook asks whether a label is there, its place is the rulebook's.
"""

from collections.abc import Iterator

from ampacre.codebook.articles import cite
from ampacre.model import records as r
from ampacre.model.naming import listed
from ampacre.quantity import show
from ampacre.rules.questions import QUESTIONS, is_asked
from ampacre.rules.supplies import at_dwelling
from ampacre.sheets.ratings import bound_mark
from ampacre.sheets.table import Column, Part, Table
from ampacre.sheets.wording import amperes, piece_name, rating_of, run_title, tree_order
from ampacre.study.facts import EquipmentFacts
from ampacre.study.fed import circuits_out, other_end
from ampacre.study.study import Study

__all__ = ["placards"]

_LABELS = (
    Column("At", 50),
    Column("Text", 175),
    Column("Asked by", 90),
)
_SOURCES = (r.Generator, r.Inverter, r.Battery)
_GEAR = (r.Panel, r.Disconnect)

Label = tuple[str, str, str]


def placards(study: Study, date: str) -> Iterator[Part]:
    """Make the table of labels, in the order of the network."""
    rows = [
        label
        for facts in tree_order(study)
        if facts.piece.owner == "customer"
        for label in _labels(study, facts, date)
    ]
    rows += [*_of_series_ratings(study), *_of_the_property(study)]
    yield Table("Labels and placards", _LABELS, tuple(rows))


def _labels(study: Study, facts: EquipmentFacts, date: str) -> Iterator[Label]:
    piece = facts.piece

    def label(text: str, *keys: str) -> Label:
        return piece.name, text, _asked_by(study, *keys)

    if isinstance(piece, _GEAR):
        for text, *keys in _of_gear(study, facts, date):
            yield label(text, *keys)
    if isinstance(piece, r.TransferSwitch) and facts.parent:
        supplies = _supplied(study, facts).upper()
        yield label(f"TRANSFER SWITCH, TWO SOURCES. SUPPLIES {supplies}.", "standby_sign")
    if isinstance(piece, r.Generator):
        neutral = {True: "BONDED HERE", False: "FLOATING", None: "NOT READ"}[piece.neutral_bonded]
        text = f"STANDBY GENERATOR, {rating_of(facts)}. NEUTRAL {neutral}."
        yield label(text, "standby_sign", "generator_disconnect")
    if isinstance(piece, (r.Inverter, r.Battery)):
        yield from _of_source(study, facts)
    if isinstance(piece, r.Inverter):
        yield from _of_solar(study, facts)
    if isinstance(piece, r.Charger) and piece.setting_a:
        text = f"OUTPUT SET TO {show(piece.setting_a, 'a')}. FED FROM {_source(study, facts)}."
        yield label(text, "evse_setting")


def _asked_by(study: Study, *keys: str) -> str:
    return "; ".join(cite(key, study.settings.edition) for key in keys)


def _said(study: Study, facts: EquipmentFacts, question: str) -> str:
    """Give what the rulebook says a label says, in capitals as a sign has it."""
    wording = QUESTIONS[question].wording
    return wording(study, facts).upper() if wording else ""


def _of_gear(study: Study, facts: EquipmentFacts, date: str) -> Iterator[tuple[str, ...]]:
    """Give text and citations of the labels of a panel or disconnect, the most urgent first."""
    if is_asked(study, "service-disconnect-label", facts):
        yield "SERVICE DISCONNECT", "service_marked"
    for question, key in (
        ("emergency-disconnect-label", "emergency_label"),
        ("meter-disconnect-label", "meter_disconnect"),
        ("services-plaque", "services_plaque"),
        ("supplies-plaque", "supplies_plaque"),
    ):
        if is_asked(study, question, facts):
            yield _said(study, facts, question), key
    for question, key in (
        ("service-fault-label", "fault_marking"),
        ("panel-fault-label", "panel_marking"),
    ):
        if is_asked(study, question, facts) and facts.fault:
            fault = show(facts.fault.greatest.greatest_ka, "ka") + bound_mark(facts)
            yield f"MAXIMUM AVAILABLE FAULT CURRENT {fault}. CALCULATED {date}", key
    if not at_dwelling(study, facts):
        yield "WARNING: ARC FLASH AND SHOCK HAZARD. QUALIFIED PERSONS ONLY.", "arc_label"
    if is_asked(study, "high-leg-marked", facts):
        yield "CAUTION: PHASE B HAS 208 VOLTS TO GROUND", "high_leg"
    if isinstance(facts.piece, r.Panel):
        volts = f"{facts.system.name} V" if facts.system else "NOT SUPPLIED"
        text = f"{facts.piece.name.upper()}. {volts}. FED FROM {_source(study, facts)}."
        elsewhere = is_asked(study, "panel-source-label", facts)
        key = "panel_source" if elsewhere else "panel_directory"
        yield f"{text} Directory inside as in the panel schedule.", key
    elif is_asked(study, "disconnect-purpose-label", facts):
        yield _said(study, facts, "disconnect-purpose-label"), "disconnect_marked"


def _source(study: Study, facts: EquipmentFacts) -> str:
    """Name what a piece is fed from and by which run: "S1, BY F-2"."""
    fed = piece_name(study, facts.parent).upper() or "NOTHING YET"
    run = study.run(facts.feed).run.name if facts.feed else ""
    return f"{fed}, BY {run.upper()}" if run else fed


def _of_source(study: Study, facts: EquipmentFacts) -> Iterator[Label]:
    """Give the warning at the device by which an inverter or battery feeds in."""
    piece = facts.piece
    for run in study.all_runs():
        if piece.id not in (run.run.source, run.run.target):
            continue
        other = piece_name(study, other_end(run.run, piece.id))
        spaces = ", ".join(map(str, run.run.spaces)) or "its own terminals"
        volts = f", {show(run.volts, 'v')}" if run.volts else ""
        text = (
            "WARNING: POWER SOURCE OUTPUT CONNECTION. DO NOT RELOCATE THIS OVERCURRENT DEVICE. "
            f"{piece.name.upper()}, {rating_of(facts)}{volts}, {amperes(run.device.value)} DEVICE."
        )
        yield f"{other}, spaces {spaces}", text, _asked_by(study, "inverter_bus")


def _of_solar(study: Study, facts: EquipmentFacts) -> Iterator[Label]:
    """Give the labels of a solar inverter: where it is switched off, and for those who fight fires."""
    name = facts.piece.name
    volts = f", {facts.system.name} V" if facts.system else ""
    text = f"PHOTOVOLTAIC SYSTEM DISCONNECT. {name.upper()}, {rating_of(facts)}{volts}."
    yield f"disconnect of {name}", text, "common practice"
    if is_asked(study, "solar-rapid-shutdown", facts):
        text = (
            "SOLAR PV SYSTEM IS EQUIPPED WITH RAPID SHUTDOWN. TURN RAPID SHUTDOWN SWITCH TO THE OFF "
            f"POSITION TO SHUT DOWN {name.upper()} AND REDUCE SHOCK HAZARD IN THE ARRAY. "
            "(To be put up once rapid shutdown is confirmed.)"
        )
        yield "the service disconnect", text, _asked_by(study, "rapid_shutdown")


def _of_series_ratings(study: Study) -> Iterator[Label]:
    for facts in study.all_runs():
        device = facts.run.device
        if device and device.series_ka:
            text = (
                f"CAUTION: SERIES COMBINATION SYSTEM RATED {show(device.series_ka, 'ka')}. "
                "IDENTIFIED REPLACEMENT COMPONENTS REQUIRED."
            )
            where = f"device of {run_title(study, facts.run)}"
            yield where, text, _asked_by(study, "series_label")


def _supplied(study: Study, facts: EquipmentFacts) -> str:
    names = [piece_name(study, piece.id) for _, piece in circuits_out(study, facts)]
    return listed(names) or "nothing yet"


def _of_the_property(study: Study) -> Iterator[Label]:
    """Where there is more than one service or source, each service names all the others."""
    services = [facts for facts in tree_order(study) if facts.at_service]
    at = listed([facts.piece.name for facts in services]) or "the service"
    if len(services) > 1:
        names = listed([_where(study, facts) for facts in services]).upper()
        yield at, f"THIS PROPERTY HAS SERVICES AT {names}.", "common practice"
    sources = [facts for facts in tree_order(study) if isinstance(facts.piece, _SOURCES)]
    if sources:
        names = listed([f"{_where(study, f).upper()} ({rating_of(f)})" for f in sources])
        text = f"CAUTION: MULTIPLE SOURCES OF POWER: UTILITY, {names}."
        keys = ["sources_directory"]
        keys += ["standby_sign"] if any(isinstance(f.piece, r.Generator) for f in sources) else []
        yield at, text, _asked_by(study, *keys)


def _where(study: Study, facts: EquipmentFacts) -> str:
    structure = study.project.structures.get(facts.piece.structure or "")
    return f"{facts.piece.name} at {structure.name}" if structure else facts.piece.name
