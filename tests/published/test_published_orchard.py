"""Harrow Lane Orchard, the sample property, against figures worked by hand.

The figures were worked from NEC 2023 Article 220 and Chapter 9 Table 9 with an infinite primary,
apart from the program; each is to hold within half a per cent unless it is said otherwise.
"""

from pathlib import Path

import pytest
from pytest import approx

from ampacre.store.file import load
from ampacre.study.study import Study

SAMPLES = Path(__file__).parents[2] / "samples"
CLOSE = 0.005


@pytest.fixture(scope="module")
def shipped() -> Study:
    return Study(load(SAMPLES / "harrow_orchard.ampacre"))


@pytest.fixture(scope="module")
def upgraded() -> Study:
    return Study(load(SAMPLES / "harrow_orchard_upgraded.ampacre"))


def close(value):
    return approx(value, rel=CLOSE)


@pytest.mark.parametrize(
    ("piece", "calculated_a", "sizing_a"),
    [
        ("house", 146.3, 158.3),
        ("barn", 159.7, 182.6),
        ("cold", 69.5, 78.0),
        ("s1", 393.3, 436.7),
        ("s2", 81.5, 89.9),
    ],
)
def test_currents_as_shipped(shipped, piece, calculated_a, sizing_a):
    demand = shipped.equipment(piece).demand
    assert demand.heavier_a == close(calculated_a)
    assert demand.heavier_sizing_a == close(sizing_a)


@pytest.mark.parametrize(
    ("piece", "calculated_a", "sizing_a"),
    [("s1", 315.3, 339.2), ("barn", 131.7, 147.6), ("cold", 69.5, 78.0)],
)
def test_currents_upgraded(upgraded, piece, calculated_a, sizing_a):
    demand = upgraded.equipment(piece).demand
    assert demand.heavier_a == close(calculated_a)
    assert demand.heavier_sizing_a == close(sizing_a)


def test_the_mixed_service_by_part_three_and_its_alternative(shipped):
    demand = shipped.equipment("s1").demand
    results = {line.label: line.result for line in demand.worksheet.lines}
    assert demand.calculated_va == approx(94_385)
    dwelling = (5_625, 8_000, 5_000, 5_700, 4_320)
    assert [line.result for line in demand.worksheet.lines[:5]] == approx(list(dwelling))
    assert sum(dwelling) == 28_645
    assert results["Chargers, 4"] == approx(40_320)
    assert results["Largest motor, 18 A"] == approx(1_080)
    other = next(line for line in demand.worksheet.lines if line.label.startswith("Alternative"))
    assert other.result == approx(89_280)
    assert other.note == "372.0 A calculated, 415.4 A sizing"


def test_the_farmhouse_with_its_charger_in_the_pool(shipped):
    lines = shipped.equipment("house").demand.worksheet.lines
    other = next(line for line in lines if line.label.startswith("Alternative"))
    assert other.note == "117.5 A calculated"
    assert shipped.equipment("house").demand.neutral_a == approx(71.35, abs=0.01)
    assert shipped.running("run-s1-ats").neutral_a == approx(0, abs=0.1)


@pytest.mark.parametrize(("study", "kva"), [("shipped", 113.2), ("upgraded", 94.4)])
def test_the_transformer(study, kva, request):
    demand = request.getfixturevalue(study).equipment("t1").demand
    assert demand.calculated_va / 1000 == close(kva)


def test_transformer_current_is_471_a_as_shipped(shipped):
    assert shipped.equipment("t1").demand.heavier_a == close(471)


@pytest.mark.parametrize(
    ("run", "drop_pct"), [("run-s1-ats", 3.8), ("run-s1-barn", 3.1), ("run-s1-cold", 5.4)]
)
def test_design_drops_as_shipped(shipped, run, drop_pct):
    assert round(shipped.run(run).drop_pct, 1) == drop_pct


def test_design_drop_of_the_new_cold_store_feeder(upgraded):
    assert round(upgraded.run("run-s1-cold").drop_pct, 1) == 1.7


def test_fault_currents_at_the_backboard(shipped, upgraded):
    source = shipped.equipment("s1").fault.source
    assert source.line_line_ka == close(10.40)
    assert source.line_neutral_ka == close(7.25)
    assert shipped.equipment("s1").fault.least.line_line_ka == close(9.94)
    assert upgraded.equipment("s1").fault.source.line_line_ka == close(12.1)
    # motors and the inverter add to what the source gives: 0.36 kA here, worked by the study
    assert shipped.equipment("s1").fault.greatest.line_line_ka > source.line_line_ka


def test_fault_currents_at_the_transformer(shipped):
    source = shipped.equipment("t1").fault.source
    assert source.line_line_ka == close(18.4)
    assert source.line_neutral_ka == close(28.4)


def test_ground_fault_currents(shipped, upgraded):
    cold = shipped.run("run-s1-cold")
    assert cold.ground_a == close(464)
    assert round(cold.ground_a / cold.protecting_a, 1) == 4.6
    house = upgraded.run("run-s1-ats")
    assert round(house.ground_a / house.protecting_a, 1) == 3.0
    assert shipped.run("run-s1-ats").ground_a is None


def test_the_new_cold_store_feeder_needs_a_larger_grounding_conductor(upgraded):
    run = upgraded.run("run-s1-cold")
    assert run.upsized_from == "2"
    assert run.grounding_needed == "1"
    line = next(line for line in run.worksheet.lines if line.label.startswith("Grounding"))
    assert line.result == approx(83_671, abs=1)


def test_what_stays_on_the_standby_set(shipped, upgraded):
    assert shipped.equipment("ats").transferred.calculated_va == close(35_120)
    assert upgraded.equipment("ats").transferred.calculated_va == close(16_800)
