"""The equipment list: all that stands, whose it is, and what is still to be stated."""

from pathlib import Path

import pytest

from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.rules.review import Review
from ampacre.sheets.equipment_list import equipment_list
from ampacre.sheets.placards import placards
from ampacre.store.file import load
from ampacre.study.study import Study

SAMPLES = Path(__file__).parents[2] / "samples"


@pytest.fixture(scope="module")
def project():
    return load(SAMPLES / "harrow_orchard_upgraded.ampacre")


def _parts(project):
    study = Study(project)
    return {part.title: part for part in equipment_list(study, Review(study))}


def _row(project, name):
    table = _parts(project)["Equipment"]
    (row,) = (row for row in table.rows if row[0] == name)
    return dict(zip((column.head for column in table.columns), row, strict=True))


def test_what_the_utility_owns_is_listed_as_such(project):
    standing = {facts.piece.name for facts in Study(project).all_equipment()}
    assert {row[0] for row in _parts(project)["Equipment"].rows} == standing
    transformer = _row(project, "T1")
    assert transformer["Rating"] == "100 kVA"
    assert (transformer["Maker and type"], transformer["Listing"]) == ("the utility's", "")


def test_a_new_pedestal_has_maker_and_listing_or_is_said_to_lack_them(project):
    bare = project.apply(alter(project, "equipment", "p1", model="", listing=""))
    row = _row(bare, "Pedestal 1")
    assert (row["Maker and type"], row["Listing"]) == ("to be stated", "confirm UL 231")
    said = _parts(bare)["Data sheets and listing"].paragraphs
    assert "Maker, type or listing is still to be confirmed for: Pedestal 1." in said


def test_the_upgraded_orchard_states_its_new_equipment(project):
    for piece in project.equipment.values():
        if piece.since == r.WORK and piece.until is None and piece.owner == "customer":
            row = _row(project, piece.name)
            assert "to be stated" not in row.values(), piece.name


def test_a_bus_with_solar_on_it_shows_why_it_carries_it(project):
    (row,) = _parts(project)["Buses with sources on them"].rows
    assert row[:5] == ("Press barn", "200", "150", "40", "340")
    assert row[5] == "190 A together: not above the bus"
    small = project.apply(alter(project, "equipment", "barn", bus_a=160.0))
    (row,) = _parts(small)["Buses with sources on them"].rows
    assert "at the far end: not above 192 A, 120 % of the bus" in row[5]
    smaller = project.apply(alter(project, "equipment", "barn", bus_a=125.0))
    (row,) = _parts(smaller)["Buses with sources on them"].rows
    assert row[5] == "NO method holds: see findings"


def test_solar_has_its_labels(project):
    (table,) = placards(Study(project), "2026-03-01")
    said = [row[1] for row in table.rows if "SOLAR INVERTER" in row[1]]
    assert any(text.startswith("PHOTOVOLTAIC SYSTEM DISCONNECT") for text in said)
    assert any("RAPID SHUTDOWN" in text for text in said)
    assert any("OUTPUT CONNECTION" in text and "output 32 A, 240 V" in text for text in said)
