"""Ranges, ovens and dryers of a household that are drawn as loads on circuits of their own."""

import pytest
from study.build import served, with_piece, with_run

from ampacre.model import records as r
from ampacre.rules.review import Review
from ampacre.study.study import Study


def house(category, va, serves="h", basis=None, **fields):
    """A panel "p" with a dwelling's load "h" and one load "x" on two legs."""
    site = served(basis=basis)
    site.add(
        r.DwellingLoad, "h", "p", {"role": "branch", "protected_at": "none"}, floor_area_m2=150
    )
    circuit = {"role": "branch", "legs": "AB", "device": r.Device(rating_a=50)}
    about = {"category": category, "va": va, "volts": 240, "serves": serves}
    site.add(r.Load, "x", "p", circuit, **about | fields)
    return site.project()


def circuit(project):
    return Study(project).run("p-x")


def rules_at(project, where):
    return {finding.rule for finding in Review(Study(project)).of(where)}


def assumed(project):
    return Study(project).equipment("x").assumptions


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
    found = circuit(house("range", va))
    assert found.calculated_a == pytest.approx(calculated_a)
    assert found.sizing_a == pytest.approx(sizing_a)
    assert found.demand.connected_va == va


def test_a_device_chosen_for_a_range_is_of_40_a_at_least():
    """NEC 210.19(A)(3), 2023 210.19(C)."""
    project = house("range", 12_000)
    new = with_run(project, "p-x", since=r.WORK, device=None)
    assert circuit(new).device.value == 40
    small = with_run(project, "p-x", device=r.Device(rating_a=30))
    assert "run-device-carries-load" in rules_at(small, "p-x")


@pytest.mark.parametrize("category", ["oven or cooktop", "clothes dryer"])
def test_an_oven_and_a_dryer_count_at_their_nameplate_without_the_quarter(category):
    found = circuit(house(category, 6_000))
    assert found.calculated_a == found.sizing_a == pytest.approx(25)


@pytest.mark.parametrize(
    ("category", "kind"),
    [("range", "cooking"), ("oven or cooktop", "cooking"), ("clothes dryer", "dryer")],
)
@pytest.mark.parametrize("basis", [None, "standard dwelling", "optional dwelling"])
@pytest.mark.parametrize("va", [4_000, 12_000])
def test_it_counts_like_the_same_appliance_of_the_dwelling(category, kind, basis, va):
    """NEC 220.54 and Table 220.55 know nothing of how it is drawn."""
    drawn = Study(house(category, va, basis=basis))
    entered = with_piece(
        house("other", None, basis=basis), "h", appliances=(r.Appliance(kind=kind, va=va),)
    )
    there = Study(entered).equipment("p").demand
    here = drawn.equipment("p").demand
    assert here.calculated_va == pytest.approx(there.calculated_va)
    assert here.neutral_a == pytest.approx(there.neutral_a)
    assert here.method == there.method


def test_a_range_that_serves_nobody_is_counted_whole():
    project = house("range", 12_000, serves=None)
    found = circuit(project)
    assert found.calculated_a == found.sizing_a == pytest.approx(50)
    without = house("range", None, serves=None)
    more_va = [Study(each).equipment("p").demand.calculated_va for each in (project, without)]
    assert more_va[0] - more_va[1] == pytest.approx(12_000)


def test_a_water_heater_stays_continuous():
    """NEC 422.13."""
    found = circuit(house("appliance", 4_500))
    assert found.sizing_a == pytest.approx(1.25 * 4_500 / 240)
    assert assumed(house("appliance", 4_500)) == ("taken as continuous",)


def test_what_is_stated_holds():
    assert assumed(house("range", 12_000)) == ()
    stated = house("range", 12_000, continuous=True)
    assert circuit(stated).sizing_a == pytest.approx(62.5)


def test_a_name_changes_no_number():
    project = house("appliance", 12_000)
    named = with_piece(project, "x", name="Range")
    assert circuit(named).demand.calculated_va == circuit(project).demand.calculated_va == 12_000
    assert circuit(named).sizing_a == circuit(project).sizing_a == pytest.approx(62.5)
