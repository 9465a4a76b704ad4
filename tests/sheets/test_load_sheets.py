"""The sheets of the load calculation: what they list adds up to what they state."""

from pathlib import Path

import pytest

from ampacre.sheets.load_sheets import load_sheets
from ampacre.store.file import load
from ampacre.study.study import Study
from ampacre.study.tally import connected_va

SAMPLES = Path(__file__).parents[2] / "samples"


@pytest.fixture(scope="module")
def study():
    return Study(load(SAMPLES / "harrow_orchard_upgraded.ampacre"))


def _table(study, title):
    (found,) = (part for part in load_sheets(study) if part.title == title)
    return [
        dict(zip((column.head for column in found.columns), row, strict=True)) for row in found.rows
    ]


def _va(cell):
    return float(cell.replace(",", "") or 0)


def test_what_is_added_moved_and_removed_makes_the_total(study):
    rows = _table(study, "Connected load and its change")
    parts = ("Existing, VA", "Added, VA", "Moved here, VA", "Moved away, VA", "Removed, VA")
    for row in rows:
        assert sum(_va(row[part]) for part in parts) == pytest.approx(_va(row["Total, VA"]))
    farmhouse = next(row for row in rows if row["Point"] == "Farmhouse")
    assert _va(farmhouse["Moved away, VA"]) < 0 < _va(farmhouse["Added, VA"])


def test_the_standby_list_holds_all_that_the_supply_carries(study):
    (switch,) = (facts for facts in study.all_equipment() if facts.transferred)
    rows = _table(study, "Loads that Standby set carries")
    listed_va = sum(_va(row["Connected VA"]) for row in rows)
    assert listed_va == pytest.approx(connected_va(switch.tally))
    general = next(row for row in rows if row["Load"].endswith("general load"))
    assert general["On the standby supply"] == "carried"
