"""The equipment list: all that stands, whose it is, and what is still to be stated."""

from pathlib import Path

import pytest

from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.rules.review import Review
from ampacre.sheets.equipment_list import equipment_list
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
