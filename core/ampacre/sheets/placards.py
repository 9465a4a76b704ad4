"""Labels and placards that the code asks for, each with its text made from the project."""

from collections.abc import Iterator

from ampacre.model import records as r
from ampacre.quantity import show
from ampacre.sheets.table import Column, Part, Table
from ampacre.sheets.wording import amperes, listed, piece_name, rating_of, tree_order
from ampacre.study.facts import EquipmentFacts
from ampacre.study.study import Study

__all__ = ["placards"]

_LABELS = (
    Column("At", 50),
    Column("Text", 185),
    Column("Asked by", 80),
)

Label = tuple[str, str, str]


def placards(study: Study, date: str) -> Iterator[Part]:
    """Make the table of labels, in the order of the network."""
    rows = [
        label
        for facts in tree_order(study)
        if facts.piece.owner == "customer"
        for label in _labels(study, facts, date)
    ]
    rows += list(_of_the_property(study))
    yield Table("Labels and placards", _LABELS, tuple(rows))


def _labels(study: Study, facts: EquipmentFacts, date: str) -> Iterator[Label]:
    piece = facts.piece
    nec = f"NEC {study.settings.edition}"
    if facts.at_service and facts.fault:
        fault = show(facts.fault.source.greatest_ka, "ka")
        yield (
            piece.name,
            f"SERVICE DISCONNECT. Available fault current {fault}, {date}",
            f"{nec} 110.24, 230.70(B); dwellings outside 110.24",
        )
    if isinstance(piece, r.Panel):
        fed = piece_name(study, facts.parent)
        device = study.run(facts.feed).run.name if facts.feed else ""
        by = f", by {device}" if device else ""
        supplied = f"{_volts(facts)}, fed from {fed or 'nothing yet'}{by}"
        text = f"{piece.name.upper()}: {supplied}. Circuit directory as in the panel schedule."
        yield piece.name, text, f"{nec} 408.4"
    if isinstance(piece, r.TransferSwitch) and facts.parent:
        yield piece.name, f"Supplies {_supplied(study, facts)}; two sources.", f"{nec} 702.7"
    if isinstance(piece, r.Generator):
        neutral = {True: "bonded", False: "floating", None: "not read"}[piece.neutral_bonded]
        yield (
            piece.name,
            f"STANDBY GENERATOR, {rating_of(facts)}. Neutral {neutral}.",
            f"{nec} 702.7, 445.18",
        )
    if isinstance(piece, (r.Inverter, r.Battery)):
        for run in study.all_runs():
            if piece.id not in (run.run.source, run.run.target):
                continue
            other = piece_name(
                study, run.run.source if run.run.target == piece.id else run.run.target
            )
            spaces = ", ".join(map(str, run.run.spaces)) or "its own terminals"
            device = f"by a {amperes(run.device.value)} device. Do not relocate this device."
            text = f"DUAL SUPPLY: {piece.name}, {rating_of(facts)}, {device}"
            yield f"{other}, spaces {spaces}", text, f"{nec} 705.12"
    if isinstance(piece, r.Charger) and piece.setting_a:
        setting, fed = show(piece.setting_a, "a"), piece_name(study, facts.parent)
        text = f"Output set to {setting}; fed from {fed}."
        yield piece.name, text, f"{nec} 625.42, 750.30 where it is adjustable"


def _volts(facts: EquipmentFacts) -> str:
    return f"{facts.system.name} V" if facts.system else "not supplied"


def _supplied(study: Study, facts: EquipmentFacts) -> str:
    names = [piece_name(study, study.run(key).run.target) for key in facts.runs_out]
    return listed(names) or "nothing yet"


def _of_the_property(study: Study) -> Iterator[Label]:
    """Where there is more than one service or source, each place names all the others."""
    nec = f"NEC {study.settings.edition}"
    services = [facts for facts in tree_order(study) if facts.at_service]
    if len(services) > 1:
        names = listed([_where(study, facts) for facts in services])
        yield (
            "each service disconnect",
            f"This property has services at {names}.",
            f"{nec} 230.2(E)",
        )
    sources = [
        facts
        for facts in tree_order(study)
        if isinstance(facts.piece, (r.Generator, r.Inverter, r.Battery))
    ]
    if sources:
        names = listed([f"{_where(study, facts)} ({rating_of(facts)})" for facts in sources])
        at = listed([facts.piece.name for facts in services]) or "the service"
        yield at, f"CAUTION: OTHER SOURCES OF POWER: {names}.", f"{nec} 705.10, 702.7"


def _where(study: Study, facts: EquipmentFacts) -> str:
    structure = study.project.structures.get(facts.piece.structure or "")
    return f"{facts.piece.name} at {structure.name}" if structure else facts.piece.name
