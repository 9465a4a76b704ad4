"""Measured demand: its conditions, and what it stands for; worked by hand from NEC 220.87."""

import dataclasses

import msgspec
import pytest
from pytest import approx
from study.build import served

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.model.soundness import problems
from ampacre.study.capacity import tightest
from ampacre.study.measured import refusals
from ampacre.study.study import Study

BRANCH = {"role": "branch", "length_m": 10.0}
FEEDER = {"length_m": 10.0}
YEAR = r.Measured(
    demand=20.0, unit="kVA", start="2024-03-01", end="2025-02-28", overcurrent_protected=True
)
MONTH = msgspec.structs.replace(
    YEAR, kind="30-day", interval_min=15, end="2024-03-30", seasonal_included=True, occupied=True,
    heaviest_leg=True, generation="none",
)  # fmt: skip


def but(record, **fields):
    return msgspec.structs.replace(record, **fields)


@pytest.mark.parametrize(
    ("record", "why"),
    [
        (YEAR, None),
        (MONTH, None),
        (but(YEAR, demand=None), "not entered"),
        (but(YEAR, end="2025-02-27"), "of 364 days; 365 are needed"),
        (but(MONTH, end="2024-03-29"), "of 29 days; 30 are needed"),
        (but(YEAR, start=""), "first and last day"),
        (but(YEAR, start="spring"), "first and last day"),
        (but(YEAR, overcurrent_protected=None), "overcurrent protection"),
        (but(YEAR, generation="net"), "gross record"),
        (but(YEAR, generation="gross"), None),
        (but(MONTH, generation="gross"), "generation or load shaving"),
        (but(MONTH, interval_min=60), "over 15 minutes"),
        (but(MONTH, interval_min=None), "over 15 minutes"),
        (but(MONTH, heaviest_leg=None), "heaviest leg"),
        (but(MONTH, occupied=False), "occupied"),
        (but(MONTH, seasonal_included=None), "seasonal"),
    ],
)
def test_conditions_of_a_record(record, why):
    found = refusals(record, "gross only", source_below=False)
    if why is None:
        assert found == ()
    else:
        assert any(why in each for each in found)


def test_a_source_below_the_meter_makes_a_silent_record_a_net_one():
    assert "gross record" in " ".join(refusals(YEAR, "gross only", source_below=True))
    assert refusals(but(YEAR, generation="none"), "gross only", source_below=True) == ()
    # the other reading: the exclusion is of the 30-day alternative alone
    assert refusals(YEAR, "net over a year", source_below=True) == ()
    assert refusals(but(MONTH, generation=None), "net over a year", source_below=True) != ()


def measured_site(record=YEAR, **fields):
    """A service with a record, old load of 30 kVA, and a new charger of 48 A."""
    site = served()
    main = r.Device(rating_a=200.0)
    site.pieces["p"] = msgspec.structs.replace(
        site.pieces["p"], basis="measured", measured=record, main=main, bus_a=200.0, **fields
    )
    site.add(r.Load, "old", "p", BRANCH, va=30_000)
    run = {**BRANCH, "since": r.WORK}
    site.add(r.Charger, "c", "p", run, nameplate_a=48.0, since=r.WORK)
    return site


def test_the_record_stands_for_old_load_and_new_load_enters_whole():
    study = Study(measured_site().project())
    demand = study.equipment("p").demand
    assert demand.calculated_va == approx(1.25 * 20_000 + 11_520)
    assert demand.sizing_va == approx(1.25 * 20_000 + 1.25 * 11_520), "25 % on the charger alone"
    assert demand.connected_va == approx(30_000 + 11_520)
    faced = tightest(study.equipment("p"))
    assert (faced.rating, faced.fits) == (200, True)


def test_an_added_charger_that_is_too_much_is_told():
    study = Study(measured_site(but(YEAR, demand=30.0)).project())
    faced = tightest(study.equipment("p"))
    # 1.25 x 125 A and 48 A: 204 A calculated, 216 A in sizing, on 200 A
    assert faced.load == approx(1.25 * 125 + 1.25 * 48)
    assert not faced.fits


def test_before_the_work_the_record_is_all_there_is():
    study = Study(measured_site().project(), None)
    assert study.equipment("p").demand.calculated_va == approx(25_000)


def test_a_record_that_may_not_stand_for_the_load_leaves_it_calculated():
    study = Study(measured_site(but(YEAR, end="2024-09-01")).project())
    demand = study.equipment("p").demand
    assert demand.method == "general"
    assert demand.calculated_va == approx(30_000 + 11_520)
    assert "365 are needed" in " ".join(line.note for line in demand.worksheet.lines)


def test_kilowatts_without_a_power_factor_are_taken_with_a_cautious_one():
    study = Study(measured_site(but(YEAR, unit="kW", demand=17.0)).project())
    assert study.equipment("p").demand.calculated_va == approx(1.25 * 20_000 + 11_520)
    assert any("power factor" in each for each in study.equipment("p").assumptions)


def test_amperes_are_those_of_the_heavier_leg():
    study = Study(measured_site(but(YEAR, unit="A", demand=100.0)).project())
    assert study.equipment("p").demand.heavier_a == approx(125 + 48)


def test_above_a_record_the_parent_takes_its_block_and_the_new_load():
    site = served()
    site.add(r.Panel, "q", "p", FEEDER, basis="measured", measured=YEAR)
    site.add(r.Load, "old", "q", BRANCH, va=90_000)
    site.add(r.Charger, "new", "q", {**BRANCH, "since": r.WORK}, nameplate_a=40.0, since=r.WORK)
    site.add(r.Load, "beside", "p", BRANCH, va=2_400, continuous=False)
    study = Study(site.project())
    assert study.equipment("q").demand.calculated_va == approx(25_000 + 9_600)
    assert study.equipment("p").demand.calculated_va == approx(25_000 + 9_600 + 2_400)


def test_a_record_at_the_parent_stands_for_one_at_the_child_too():
    site = served()
    site.pieces["p"] = msgspec.structs.replace(
        site.pieces["p"], basis="measured", measured=but(YEAR, demand=50.0)
    )
    site.add(r.Panel, "q", "p", FEEDER, basis="measured", measured=YEAR)
    site.add(r.Load, "old", "q", BRANCH, va=90_000)
    site.add(r.Charger, "new", "q", {**BRANCH, "since": r.WORK}, nameplate_a=40.0, since=r.WORK)
    site.add(r.Panel, "s", "p", FEEDER)
    site.add(r.Load, "shop", "s", BRANCH, va=7_000, continuous=False)
    study = Study(site.project())
    assert study.equipment("p").demand.calculated_va == approx(1.25 * 50_000 + 9_600)
    assert study.equipment("s").demand.calculated_va == approx(7_000), "without a record, as ever"


def test_removed_load_is_not_subtracted():
    site = measured_site()
    site.add(r.Load, "gone", "p", BRANCH, va=9_000, until=r.WORK)
    study = Study(site.project())
    assert study.equipment("p").demand.calculated_va == approx(25_000 + 11_520)


def test_old_load_moved_below_the_meter_was_not_in_its_record():
    site = measured_site()
    site.add(r.Panel, "else", "grid", {"role": "service", "protected_at": "none"})
    site.add(r.Load, "moved", "else", BRANCH, va=5_000, continuous=False)
    before = Study(site.project()).equipment("p").demand.calculated_va
    was = site.runs.pop("else-moved")
    now = msgspec.structs.replace(was, source="p", since=r.WORK, was=was)
    site.runs["else-moved"] = now
    project = site.project()
    assert problems(project) == []
    assert before == approx(25_000 + 11_520)
    assert Study(project).equipment("p").demand.calculated_va == approx(before + 5_000)
    assert Study(project, None).equipment("p").demand.calculated_va == approx(25_000)


def test_new_appliances_of_an_old_dwelling_enter_by_part_three():
    site = measured_site()
    pump = r.Appliance(kind="heat pump", full_load_a=20.0, new=True)
    stove = r.Appliance(kind="cooking", va=12_000)
    site.add(r.DwellingLoad, "home", "p", FEEDER, floor_area_m2=200, appliances=(stove, pump))
    study = Study(site.project())
    # the pump and 25 % of it as the largest motor
    assert study.equipment("p").demand.calculated_va == approx(25_000 + 11_520 + 1.25 * 4_800)
    assert study.at(None).equipment("home").demand.connected_va < 30_000


def test_what_a_dwelling_has_beyond_what_it_was_is_new():
    site = measured_site()
    was = r.DwellingLoad(id="home", name="home", floor_area_m2=100)
    site.add(r.DwellingLoad, "home", "p", FEEDER, floor_area_m2=150, since=r.WORK, was=was)
    study = Study(site.project())
    added = 3 * 50 / 0.09290304
    assert study.equipment("p").demand.calculated_va == approx(25_000 + 11_520 + added)


def test_a_replaced_motor_is_new_and_a_renamed_one_is_not():
    site = measured_site()
    was = r.Motor(id="m", name="Pump", full_load_a=10.0)
    site.add(r.Motor, "m", "p", BRANCH, full_load_a=10.0, since=r.WORK, was=was)
    project = site.project()
    assert Study(project).equipment("p").demand.calculated_va == approx(36_520)
    bigger = msgspec.structs.replace(project.equipment["m"], full_load_a=20.0)
    project = dataclasses.replace(project, equipment={**project.equipment, "m": bigger})
    assert Study(project).equipment("p").demand.calculated_va == approx(36_520 + 1.25 * 4_800)


def test_a_record_that_cannot_be_used_is_told_as_missing():
    equipment = [
        r.UtilitySource(id="u", name="Utility", system="120/240", fault_ka=9.0),
        r.Panel(id="p", name="P", bus_a=200.0, basis="measured", measured=r.Measured(demand=21.0)),
        r.DwellingLoad(id="d", name="House", floor_area_m2=150.0),
    ]
    runs = [
        r.Run(id="u-p", source="u", target="p", role="service", protected_at="none"),
        r.Run(id="p-d", source="p", target="d", role="branch", protected_at="none"),
    ]
    project = Project(
        equipment={piece.id: piece for piece in equipment}, runs={run.id: run for run in runs}
    )
    missing = Study(project).equipment("p").missing
    assert any(text.startswith("measured demand not used: overcurrent") for text in missing)
    assert any("first and last day are not entered" in text for text in missing)
