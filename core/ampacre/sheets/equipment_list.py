"""The equipment list: rating, place, new or existing, data sheet and listing; chargers; sources."""

from collections import Counter
from collections.abc import Iterator

from ampacre.codebook.articles import cite
from ampacre.model import records as r
from ampacre.model.naming import listed
from ampacre.model.standing import work_of
from ampacre.model.words import kind_of
from ampacre.quantity import show
from ampacre.rules.charger_circuits import calls_for_disconnect, locks_open
from ampacre.rules.inverters import FAR_END_FACTOR, bus_of
from ampacre.rules.paths import feed_of
from ampacre.rules.review import Review
from ampacre.sheets.labelling import work_mark
from ampacre.sheets.ratings import rated_ka
from ampacre.sheets.references import references
from ampacre.sheets.table import Column, Notes, Part, Table, without_blank
from ampacre.sheets.wording import amperes, number, piece_name, rating_of, tree_order
from ampacre.study.facts import EquipmentFacts
from ampacre.study.fed import other_end
from ampacre.study.leaves import motor_a
from ampacre.study.study import Study

__all__ = ["equipment_list"]

_EQUIPMENT = (
    Column("Piece", 44),
    Column("Work", 27),
    Column("Kind", 34),
    Column("Rating", 49),
    Column("Rated, kA", 24, "right"),
    Column("Where", 36),
    Column("Place", 32),
    Column("Maker and type", 38),
    Column("Listing", 42),
    Column("See findings", 24),
)
_CHARGERS = (
    Column("Charger", 40),
    Column("Where", 36),
    Column("Level", 20),
    Column("Nameplate", 46),
    Column("Set to", 30),
    Column("Circuit", 58),
    Column("Connection", 30),
    Column("Disconnect", 56),
)
_MOTORS = (
    Column("Motor", 55),
    Column("Power", 40),
    Column("Voltage", 36),
    Column("Full load, A", 36, "right"),
    Column("Circuit device", 36),
    Column("Fed from", 46),
    Column("Disconnect", 66),
)
_SOURCES = (
    Column("Source", 50),
    Column("Kind", 40),
    Column("Rating", 50),
    Column("Ties in at", 70),
    Column("Device", 50),
    Column("Can be locked open", 55),
)
_BUSES = (
    Column("Panel", 45),
    Column("Bus, A", 28, "right"),
    Column("Device ahead, A", 38, "right"),
    Column("125 % of sources, A", 46, "right"),
    Column("All but the main, A", 44, "right"),
    Column("Verdict", 80),
    Column("Source", 34),
)
_IN_SIGHT = ("motor-disconnect-in-sight", "unit-disconnect-in-sight")
_USUAL_LISTING = {
    r.Charger: "UL 2594",
    r.Inverter: "UL 1741",
    r.Battery: "UL 9540",
    r.Generator: "UL 2200",
    r.TransferSwitch: "UL 1008",
    r.Panel: "UL 67",
    r.Meter: "UL 414",
    r.Disconnect: "UL 98 or UL 489",
    r.Transformer: "UL 1561",
    r.Pedestal: "UL 231",
}
"""The product standards that a listing mark usually names (from memory, not confirmed)."""


def equipment_list(study: Study, review: Review) -> Iterator[Part]:
    """Make the list of all pieces, and those of chargers, motors and sources."""
    whole = list(tree_order(study))
    pieces = [facts for facts in whole if facts.piece.owner == "customer"]
    found = references(review)
    rows = tuple((*_piece(study, facts), found.get(facts.piece.id, "")) for facts in whole)
    yield without_blank(Table("Equipment", _EQUIPMENT, rows), "See findings")
    removed = [piece for piece in study.project.equipment.values() if piece.until is not None]
    if removed:
        yield Notes("To be removed", tuple(f"{p.name} ({kind_of(p)})" for p in removed))
    chargers = [facts for facts in pieces if isinstance(facts.piece, r.Charger)]
    yield Table(
        "Vehicle supply equipment", _CHARGERS, tuple(_charger(study, facts) for facts in chargers)
    )
    if chargers:
        yield Notes("Number of chargers", (_count(study, chargers),))
    motors = [facts for facts in pieces if isinstance(facts.piece, r.Motor)]
    yield Table("Motors", _MOTORS, tuple(_motor(study, facts) for facts in motors))
    yield Table("Sources and where they tie in", _SOURCES, tuple(_sources(study)))
    yield Table("Buses with sources on them", _BUSES, tuple(_buses(study)))
    yield Notes("Data sheets and listing", tuple(_sheets(pieces)))


def _structure(study: Study, piece: r.Equipment) -> str:
    structure = study.project.structures.get(piece.structure or "")
    return structure.name if structure else ""


def _place(piece: r.Equipment) -> str:
    """Say the environment: what stands outdoors is in a wet place."""
    if piece.location is None and piece.owner == "utility":
        return ""
    if piece.location is None:
        return "not read" if piece.since is None else "to be stated"
    return "outdoors, wet" if piece.location == "outdoors" else "indoors, dry"


def _piece(study: Study, facts: EquipmentFacts) -> tuple[str, ...]:
    piece = facts.piece
    ours = piece.owner == "customer"
    usual = _USUAL_LISTING.get(type(piece)) if ours else None
    return (
        piece.name,
        work_mark(piece),
        kind_of(piece),
        _rating(study, facts),
        number(rated_ka(facts.piece), "ka"),
        _structure(study, piece),
        _place(piece),
        piece.model or (_unstated(usual, piece) if ours else "the utility's"),
        piece.listing or (f"confirm {usual}" if usual else ""),
    )


def _unstated(usual: str | None, piece: r.Equipment) -> str:
    return "to be stated" if usual and work_of(piece) == "new" else ""


def _rating(study: Study, facts: EquipmentFacts) -> str:
    if isinstance(facts.piece, r.DwellingLoad):
        return show(facts.piece.floor_area_m2, "m2", study.settings.units)
    return rating_of(facts)


def _charger(study: Study, facts: EquipmentFacts) -> tuple[str, ...]:
    piece = facts.piece
    assert isinstance(piece, r.Charger)
    feed = study.run(facts.feed) if facts.feed else None
    volts = piece.volts or (feed.volts if feed else 0.0)
    nameplate = amperes(piece.nameplate_a)
    if piece.nameplate_a and volts:
        nameplate += f", {show(volts, 'v')}, {show(piece.nameplate_a * volts / 1000, 'kw')}"
    circuit = ""
    if feed:
        circuit = (
            f"{amperes(feed.device.value)} {len(feed.legs)}P from {piece_name(study, facts.parent)}"
        )
    return (
        piece.name,
        _structure(study, piece),
        "Level 2" if volts > 150 else "Level 1",
        nameplate,
        f"{amperes(piece.setting_a, 'no setting')}{', locked' if piece.setting_locked else ''}",
        circuit,
        piece.connection or "to be stated",
        _disconnect(study, facts, piece),
    )


def _disconnect(study: Study, facts: EquipmentFacts, charger: r.Charger) -> str:
    """Say which disconnect is drawn for a charger, else whether one is required."""
    required = calls_for_disconnect(charger, feed_of(study, facts))
    before = "required: " if required else ""
    found = locks_open(study, facts)
    if isinstance(found, r.Disconnect):
        locks = "can be locked open" if found.lockable else "locking open to be stated"
        return f"{before}{found.name}, {locks}"
    if found is not None:
        return f"{before}breaker in {piece_name(study, facts.parent)}, can be locked open"
    if required is None:
        return "nameplate not read"
    return "required, to lock open: not shown" if required else "not called for by its size"


def _count(study: Study, chargers: list[EquipmentFacts]) -> str:
    counted = Counter(_structure(study, facts.piece) or "no structure" for facts in chargers)
    places = [f"{count} at {place}" for place, count in sorted(counted.items())]
    word = "charger" if len(chargers) == 1 else "chargers"
    return f"{len(chargers)} {word}: {listed(places)}."


def _motor(study: Study, facts: EquipmentFacts) -> tuple[str, ...]:
    piece = facts.piece
    assert isinstance(piece, r.Motor)
    feed = study.run(facts.feed) if facts.feed else None
    current = motor_a(piece, feed.legs, feed.system) if feed and feed.system else None
    volts = piece.volts or (feed.volts if feed else 0.0)
    return (
        piece.name,
        show(piece.power_hp, "hp") if piece.power_hp else "by its current",
        show(volts, "v") if volts else "not supplied",
        number(current, "a"),
        amperes(feed.device.value) if feed else "",
        piece_name(study, facts.parent),
        _motor_disconnect(study, facts),
    )


def _motor_disconnect(study: Study, facts: EquipmentFacts) -> str:
    """Say which disconnect a motor has: the one that is drawn, else what was seen on site."""
    if facts.parent and isinstance(study.equipment(facts.parent).piece, r.Disconnect):
        switch = study.equipment(facts.parent)
        return f"{switch.piece.name}, {rating_of(switch)}"
    seen = {
        answer.value
        for answer in study.project.answers.values()
        if answer.where == facts.piece.id and answer.question in _IN_SIGHT
    }
    if "no" in seen:
        return "NOT in sight, as seen on site"
    return "in sight, as seen on site" if "yes" in seen else "to be confirmed: in sight or lockable"


def _sources(study: Study) -> Iterator[tuple[str, ...]]:
    for facts in tree_order(study):
        piece = facts.piece
        if not isinstance(piece, (r.Generator, r.Inverter, r.Battery)):
            continue
        ties = [run for run in study.all_runs() if piece.id in (run.run.source, run.run.target)]
        for run in ties:
            other = other_end(run.run, piece.id)
            spaces = ", ".join(map(str, run.run.spaces))
            side = "standby side" if run.run.lands_on == "standby" else f"spaces {spaces}"
            lockable = run.run.device.lockable if run.run.device else None
            yield (
                piece.name,
                kind_of(piece),
                rating_of(facts),
                f"{piece_name(study, other)}, {side}"
                if spaces or side == "standby side"
                else piece_name(study, other),
                amperes(run.device.value),
                {True: "yes", False: "no", None: "to be stated"}[lockable],
            )


def _buses(study: Study) -> Iterator[tuple[str, ...]]:
    """Show for each bus with inverters or batteries by which method it carries them."""
    for facts in tree_order(study):
        bus = bus_of(study, facts)
        if bus is None:
            continue
        total_a = bus.ahead_a + bus.sources_a
        far_a = FAR_END_FACTOR * bus.bus_a
        verdict = {
            "sum": f"{amperes(total_a)} together: not above the bus",
            "far end": f"{amperes(total_a)} together, sources at the far end: not above "
            f"{amperes(far_a)}, 120 % of the bus",
            "breakers": "all devices but the main together: not above the bus",
            "": "NO method holds: see findings",
        }[bus.method]
        yield (
            facts.piece.name,
            number(bus.bus_a, "a"),
            number(bus.ahead_a, "a"),
            number(bus.sources_a, "a"),
            number(bus.breakers_a, "a") or "not read",
            verdict,
            cite("inverter_bus", study.settings.edition),
        )


def _sheets(pieces: list[EquipmentFacts]) -> Iterator[str]:
    stated = sorted({facts.piece.model for facts in pieces if facts.piece.model})
    if stated:
        yield f"Data sheets and installation instructions go with this set for: {'; '.join(stated)}."
    lacking = [
        facts.piece.name
        for facts in pieces
        if work_of(facts.piece) == "new"
        and type(facts.piece) in _USUAL_LISTING
        and not (facts.piece.model and facts.piece.listing)
    ]
    if lacking:
        yield f"Maker, type or listing is still to be confirmed for: {', '.join(lacking)}."
    marks = sorted({facts.piece.listing for facts in pieces if facts.piece.listing})
    if marks:
        yield f"Listing marks stated: {', '.join(marks)}."
