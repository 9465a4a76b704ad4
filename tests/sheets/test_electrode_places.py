"""Electrodes stand once on the grounding schedule, under one name on every sheet."""

from pathlib import Path

import pytest
from published.permit_answers import added
from sheets.printed import printed, words

from ampacre.model import records as r
from ampacre.sheets.grounding_sheets import grounding_sheets
from ampacre.sheets.inspections import inspections
from ampacre.sheets.site_checks import site_checks
from ampacre.store.file import load
from ampacre.study.study import Study

SAMPLES = Path(__file__).parents[2] / "samples"
SAMPLE = load(SAMPLES / "harrow_orchard_upgraded.ampacre")


def _schedule(study):
    return next(iter(grounding_sheets(study))).rows


@pytest.mark.parametrize("name", ["first_charger", "harrow_orchard", "harrow_orchard_upgraded"])
def test_each_record_has_one_row(name):
    study = Study(load(SAMPLES / f"{name}.ampacre"))
    entered = [row[0] for row in _schedule(study) if row[2] != "to be entered"]
    assert len(entered) == len(set(entered)) == len(study.project.grounding)


def test_electrodes_of_a_structure_stand_at_the_head_of_its_supply():
    study = Study(SAMPLE)
    row = next(row for row in _schedule(study) if "Farmhouse" in row[0])
    assert row[:5] == (
        "Farmhouse, at ATS", "4/0 AL", "2 rods 8 ft, 8 ft apart", "6 CU", "6 CU, 4 AL",
    )  # fmt: skip
    assert "Farmhouse, at ATS Ungrounded conductors: 4/0 AWG aluminum" in words(
        grounding_sheets(study)
    )
    assert "Farmhouse, at ATS: 2 rods 8 ft, 8 ft apart" in words(inspections(study))
    assert (
        "neutral solid load 146.3 A fault 3.25 of 22 kA GEC 6 CU"
        in (printed(study)["One-line diagram"])
    )


def test_what_is_seen_of_electrodes_is_asked_at_every_place():
    asked = next(line for line in words(site_checks(Study(SAMPLE))).split("\n") if "joined" in line)
    assert all(name in asked for name in ("ATS", "Press barn", "Cold store", "S1", "S2"))


def test_a_second_piece_joined_to_the_same_electrodes_does_not_repeat_them():
    project = added(
        "equipment",
        r.Transformer(id="t9", since=r.WORK, name="T9", structure="house", kva=15.0),
        r.Panel(id="p9", since=r.WORK, name="LP-9", structure="house", bus_a=100.0),
    )(SAMPLE)
    project = added(
        "runs",
        r.Run(id="r8", since=r.WORK, source="house", target="t9", role="feeder", length_m=3.0,
              device=r.Device(rating_a=80.0)),
        r.Run(id="r9", since=r.WORK, source="t9", target="p9", role="transformer secondary",
              length_m=3.0, protected_at="none"),
    )(project)  # fmt: skip
    rows = {row[0]: row for row in _schedule(Study(project))}
    assert rows["Farmhouse, at ATS"][2] == "2 rods 8 ft, 8 ft apart"
    assert rows["Farmhouse, at T9"][2] == "the same, above"
