"""The grounding schedule: electrodes and their conductors, jumpers, and where neutrals are bonded."""

from collections.abc import Iterator
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.sheets.load_sheets import WORKSHEET
from ampacre.sheets.piece_labels import electrode_words
from ampacre.sheets.run_labels import BY_BUS
from ampacre.sheets.table import Column, Notes, Part, Table, without_blank
from ampacre.sheets.wording import line_row, piece_name, tree_order
from ampacre.study.facts import GroundingFacts
from ampacre.study.study import Study

__all__ = ["ElectrodePlace", "electrode_places", "grounding_sheets"]

_GROUNDING = (
    Column("At", 45),
    Column("Ungrounded conductors", 40),
    Column("Electrodes", 70),
    Column("Electrode conductor", 40),
    Column("at least", 35),
    Column("Bonding jumper", 50),
    Column("at least", 35),
)


class ElectrodePlace(NamedTuple):
    """A place with electrodes, entered or needed; `told` tells that a line before has them."""

    name: str
    record: r.Grounding | None
    needs: GroundingFacts | None
    told: bool = False


def electrode_places(study: Study) -> Iterator[ElectrodePlace]:
    """Give each place where electrodes are needed, then the records of any other place.

    A record of a structure is needed by the piece at the head of its supply, or by several.
    """
    told: set[str] = set()
    for facts in tree_order(study):
        needs = facts.grounding
        if needs is None:
            continue
        record = needs.record
        name = _name(study, record, facts.piece)
        yield ElectrodePlace(name, record, needs, record is not None and record.id in told)
        if record:
            told.add(record.id)
    for record in study.project.grounding.values():
        piece = study.standing.equipment.get(record.at)
        if record.id not in told and (piece or record.at in study.project.structures):
            yield ElectrodePlace(_name(study, record, piece), record, None)


def _name(study: Study, record: r.Grounding | None, piece: r.Equipment | None) -> str:
    """Name a structure, and the piece in it that the electrodes are joined at."""
    structure = study.project.structures.get(record.at) if record else None
    names = (structure.name if structure else "", piece.name if piece else "")
    return ", at ".join(dict.fromkeys(filter(None, names)))


def grounding_sheets(study: Study) -> Iterator[Part]:
    """Make the grounding schedule, with the working of all places in one table."""
    places = tuple(electrode_places(study))
    rows = tuple(_grounding(study, place) for place in places)
    yield Table("Grounding electrode system and bonding", _GROUNDING, rows)
    bonds = tuple(_bonds(study))
    yield Notes("Where the neutral is bonded", bonds or ("No bond is entered.",))
    units = study.settings.units
    working = tuple(
        (place.name, *line_row(line, units))
        for place in places
        if place.needs
        for line in place.needs.worksheet.lines
    )
    table = Table("How the least sizes follow", (Column("At", 45), *WORKSHEET), working)
    yield without_blank(table, "Quantity", "Factor")


def _grounding(study: Study, place: ElectrodePlace) -> tuple[str, ...]:
    needs, record = place.needs, place.record
    hot = least = jumper = ""
    if needs:
        sets = f"({needs.hot_sets}) " if needs.hot_sets > 1 else ""
        hot = f"{sets}{needs.hot} {needs.hot_material.upper()}" if needs.hot else "not read"
        hot = f"{BY_BUS}; by load {hot}" if needs.by_load else hot
        least = ", ".join(f"{size} {metal.upper()}" for metal, size in needs.electrode.items())
        if needs.jumper_kind:
            jumper = ", ".join(f"{size} {metal.upper()}" for metal, size in needs.jumper.items())
    electrodes = electrode_words(record, study.settings.units) if record else ""
    bonds = bool(record and record.bonding_jumper) or bool(needs and needs.jumper_kind)
    return (
        place.name,
        hot,
        "the same, above" if place.told else electrodes or "to be entered",
        _size(record.conductor, record.conductor_material) if record else "to be chosen",
        least,
        _size(record.bonding_jumper, record.bonding_jumper_material)
        if record and bonds
        else "none belongs here",
        jumper,
    )


def _size(size: str | None, metal: str | None) -> str:
    return f"{size} {(metal or 'cu').upper()}" if size else "not read"


def _bonds(study: Study) -> Iterator[str]:
    for facts in tree_order(study):
        bonded = getattr(facts.piece, "neutral_bonded", None)
        if bonded is None or facts.piece.owner == "utility":
            continue
        allowed = "the bond belongs here" if facts.may_bond else "no bond belongs here"
        state = "neutral bonded" if bonded else "neutral apart from grounding"
        structure = study.project.structures.get(facts.piece.structure or "")
        where = f" in {structure.name}" if structure else ""
        fed = f", fed from {piece_name(study, facts.parent)}" if facts.parent else ""
        yield f"{facts.piece.name}{where}{fed}: {state}; {allowed}."
