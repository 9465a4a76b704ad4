"""Ranges, ovens and dryers of a household that are drawn as loads on circuits of their own."""

import pytest
from study.build import served, with_piece, with_run

from ampacre.model import records as r
from ampacre.rules.review import Review
from ampacre.study.household_loads import household_kind
from ampacre.study.study import Study


def house(name, va, serves="h", **fields):
    """A panel "p" with a dwelling's load "h" and one appliance "x" on two legs."""
    site = served()
    site.add(
        r.DwellingLoad, "h", "p", {"role": "branch", "protected_at": "none"}, floor_area_m2=150
    )
    circuit = {"role": "branch", "legs": "AB", "device": r.Device(rating_a=50)}
    about = {"category": "appliance", "va": va, "volts": 240, "serves": serves}
    site.add(r.Load, "x", "p", circuit, **about | fields)
    return with_piece(site.project(), "x", name=name)


def circuit(project):
    return Study(project).run("p-x")


def rules_at(project, where):
    return {finding.rule for finding in Review(Study(project)).of(where)}


def assumed(project):
    return Study(project).equipment("x").assumptions


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("Range", "range"), ("Kitchen stove", "range"), ("Range hood", None),
        ("Wall oven", "cooking unit"), ("Cook-top", "cooking unit"), ("Cooktops", "cooking unit"),
        ("Clothes dryer", "dryer"), ("Water heater", None), ("Orange press", None),
    ],
)  # fmt: skip
def test_a_name_tells_what_cooks_and_what_dries(name, kind):
    assert household_kind(r.Load(id="x", name=name, category="appliance")) == kind
    assert household_kind(r.Load(id="x", name=name, category="kitchen")) is None


@pytest.mark.parametrize(
    ("va", "calculated_a", "sizing_a"),
    [
        # NEC Table 220.55 column C: one range of up to 12 kW counts 8 kW; note 1: 5 % for each kW
        # above, so that 16 kW count 9.6 kW and 14 kW 8.8 kW. 210.19: 40 A at least from 8.75 kW
        (12_000, 8_000 / 240, 40),
        (14_000, 8_800 / 240, 40),
        (16_000, 9_600 / 240, 40),
        (20_000, 11_200 / 240, 11_200 / 240),
        (7_200, 7_200 / 240, 7_200 / 240),
        (1_500, 1_500 / 240, 1_500 / 240),
    ],
)
def test_the_circuit_of_a_dwellings_range_counts_by_the_table(va, calculated_a, sizing_a):
    found = circuit(house("Range", va))
    assert found.calculated_a == pytest.approx(calculated_a)
    assert found.sizing_a == pytest.approx(sizing_a)
    assert found.demand.connected_va == va


def test_a_device_chosen_for_a_range_is_of_40_a_at_least():
    """NEC 210.19(A)(3), 2023 210.19(C)."""
    project = house("Range", 12_000)
    new = with_run(project, "p-x", since=r.WORK, device=None)
    assert circuit(new).device.value == 40
    small = with_run(project, "p-x", device=r.Device(rating_a=30))
    assert "run-device-carries-load" in rules_at(small, "p-x")


@pytest.mark.parametrize("name", ["Wall oven", "Clothes dryer"])
def test_an_oven_and_a_dryer_count_at_their_nameplate_without_the_quarter(name):
    found = circuit(house(name, 6_000))
    assert found.calculated_a == found.sizing_a == pytest.approx(25)


def test_a_range_on_a_dwellings_panel_is_a_households_without_being_said_to_serve_it():
    found = circuit(house("Range", 12_000, serves=None))
    assert found.calculated_a == found.sizing_a == pytest.approx(50)
    assert "run-device-carries-load" not in rules_at(house("Range", 12_000, serves=None), "p-x")


def test_a_water_heater_stays_continuous():
    """NEC 422.13."""
    found = circuit(house("Water heater", 4_500))
    assert found.sizing_a == pytest.approx(1.25 * 4_500 / 240)
    assert assumed(house("Water heater", 4_500)) == ("taken as continuous",)


def test_what_was_taken_is_said_and_what_is_stated_holds():
    (said,) = assumed(house("Range", 12_000))
    assert "household" in said
    assert "not as continuous" in said
    stated = house("Range", 12_000, continuous=True)
    assert assumed(stated) == ()
    assert circuit(stated).sizing_a == pytest.approx(62.5)


def test_a_dryer_elsewhere_is_continuous_till_somebody_says_otherwise():
    site = served()
    run = {"role": "branch", "legs": "AB"}
    site.add(r.Load, "Grain dryer", "p", run, category="appliance", va=12_000)
    study = Study(site.project())
    assert study.run("p-Grain dryer").sizing_a == pytest.approx(62.5)
    assert study.equipment("Grain dryer").assumptions == ("taken as continuous",)


def test_a_study_follows_what_a_name_tells():
    project = house("Range", 12_000, serves=None)
    study = Study(project)
    for name in ("Press", "Stove", "Oven"):
        changed = with_piece(project, "x", name=name)
        study.follow(changed)
        assert study.run("p-x") == Study(changed).run("p-x")
