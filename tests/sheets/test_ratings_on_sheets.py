"""A main below the fault, and a main that nobody has read, are the same on every sheet."""

from pathlib import Path

import pytest
from published.permit_answers import piece
from sheets.printed import printed, words

from ampacre.rules.review import Review
from ampacre.sheets.equipment_list import equipment_list
from ampacre.sheets.fault_sheets import fault_sheets
from ampacre.sheets.panel_schedule import panel_schedules
from ampacre.store.file import load
from ampacre.study.study import Study

SAMPLE = load(Path(__file__).parents[2] / "samples" / "harrow_orchard_upgraded.ampacre")


@pytest.fixture(scope="module")
def weak_main():
    """The sample with a main of 10 kA in a panel of 22 kA, at a fault of 12.45 kA."""
    return Study(piece("s1", main__interrupting_ka=10.0)(SAMPLE))


def test_a_main_below_the_fault_is_no_less_than_exceeded(weak_main):
    said = words(fault_sheets(weak_main))
    assert "S1 12.45 12.45 8.07 12.09 6.92 10 EXCEEDED" in said
    assert "main of S1 12.45 10 EXCEEDED" in said
    assert "Worst case: main of S1, 12.45 kA, rated 10 kA" in said


def test_cover_and_one_line_show_the_lesser_rating(weak_main):
    chapters = printed(weak_main)
    assert "S1: 12.45 kA, rated 10 kA" in chapters["Cover"]
    assert "main 400 A, 10 kA" in chapters["One-line diagram"]
    assert "fault 12.45 of 10 kA" in chapters["One-line diagram"]


def test_the_panel_schedule_heads_with_what_the_main_interrupts(weak_main):
    assert "bus 400 A, main 400 A, 10 kA" in words(panel_schedules(weak_main))


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"short_circuit_ka": None}, "Farmhouse 3.25 3.25 1.49 3.14 0.37 22 rating not read"),
        ({"main__interrupting_ka": None}, "Farmhouse 3.25 3.25 1.49 3.14 0.37 22 rating not read"),
        (
            {"main__interrupting_ka": None, "main__unmarked": True},
            "main of Farmhouse 3.25 5 within",
        ),
    ],
)
def test_what_is_not_read_is_not_within(fields, said):
    assert said in words(fault_sheets(Study(piece("house", **fields)(SAMPLE))))


@pytest.mark.parametrize(
    ("key", "fields", "main"),
    [
        ("barn", {}, "main not read"),
        ("barn", {"main_lugs": False}, "main not read"),
        ("barn", {"main_lugs": True}, "main lugs only"),
        ("yp", {"main": None}, "main lugs only"),
    ],
)
def test_lugs_only_is_said_where_it_is_known(key, fields, main):
    study = Study(piece(key, **fields)(SAMPLE))
    name = study.project.equipment[key].name
    heading = next(
        part for part in panel_schedules(study) if part.title.startswith(f"Panel {name}")
    )
    assert heading.title.endswith(main)
    rows = next(equipment_list(study, Review(study))).rows
    assert next(row for row in rows if row[0] == name)[3].endswith(main)
    assert main in printed(study)["One-line diagram"]
