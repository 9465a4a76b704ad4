"""Tables by number step down; within one table a point is never below a part of it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx
from study.build import served

from ampacre.model import records as r
from ampacre.study.study import Study

BRANCH = {"role": "branch", "length_m": 10.0}


def two_panels(counts, put, **more):
    """Loads by their number on each of two panels below "p"."""
    site = served(**more)
    for key, number in zip("ab", counts, strict=True):
        site.add(r.Panel, key, "p", {"length_m": 10.0}, spaces=126)
        put(site, key, number)
    return Study(site.project())


def slips(site, key, number):
    site.add(r.Pedestal, f"{key}s", key, BRANCH, receptacles_a=(30,), dock=True, sites=number,
             open_to_public=True)  # fmt: skip


def vehicle_sites(site, key, number):
    site.add(r.Pedestal, f"{key}s", key, BRANCH, receptacles_a=(50, 30), sites=number,
             open_to_public=True)  # fmt: skip


def lots(site, key, number):
    site.add(r.Pedestal, f"{key}s", key, BRANCH, site="mobile home", sites=number,
             open_to_public=True)  # fmt: skip


def kitchen(site, key, number):
    for at in range(number):
        site.add(r.Load, f"{key}k{at}", key, BRANCH, category="kitchen", va=1_000.0 * (at + 1))


def elevators(site, key, number):
    for at in range(number):
        site.add(r.Load, f"{key}e{at}", key, BRANCH, category="elevator", va=9_000.0)


def fixed(site, key, number):
    site.add(
        r.DwellingLoad, f"{key}h", key, {"length_m": 5.0}, small_appliance_circuits=0,
        laundry_circuits=0,
        appliances=tuple(r.Appliance(kind="fixed appliance", va=1_200) for _ in range(number)),
    )  # fmt: skip


def stoves(site, key, number):
    site.add(
        r.DwellingLoad, f"{key}h", key, {"length_m": 5.0}, small_appliance_circuits=0,
        laundry_circuits=0,
        appliances=tuple(r.Appliance(kind="cooking", va=8_000) for _ in range(number)),
    )  # fmt: skip


def small_stoves(site, key, number):
    site.add(
        r.DwellingLoad, f"{key}h", key, {"length_m": 5.0}, small_appliance_circuits=0,
        laundry_circuits=0,
        appliances=tuple(r.Appliance(kind="cooking", va=5_000) for _ in range(number)),
    )  # fmt: skip


def dryers(site, key, number):
    site.add(
        r.DwellingLoad, f"{key}h", key, {"length_m": 5.0}, small_appliance_circuits=0,
        laundry_circuits=0,
        appliances=tuple(r.Appliance(kind="dryer", va=5_500) for _ in range(number)),
    )  # fmt: skip


MANY = st.integers(1, 45)
FEW = st.integers(1, 6)


@given(
    st.one_of(
        st.tuples(
            st.sampled_from([slips, vehicle_sites, lots, stoves, small_stoves, dryers]),
            st.tuples(MANY, MANY),
        ),
        st.tuples(st.sampled_from([kitchen, elevators, fixed]), st.tuples(FEW, FEW)),
    ),
    st.sampled_from(["column C", "lesser"]),
)
def test_a_point_is_between_its_largest_part_and_their_sum(case, cooking):
    put, counts = case
    study = two_panels(counts, put, cooking=cooking)
    parts = [study.equipment(key).demand.calculated_va for key in "ab"]
    whole = study.equipment("p").demand.calculated_va
    assert whole >= max(parts) * (1 - 1e-9)
    assert whole <= sum(parts) * (1 + 1e-9)


@pytest.mark.parametrize(
    ("put", "counts", "va", "by_number_va"),
    [
        # 30 slips at 70 % are 21.0, 31 at 60 % are 18.6 units of 3,600 VA
        (slips, (30, 1), 21.0 * 3_600, 18.6 * 3_600),
        # 15 ranges by column B, 32 %, are 4.8, 16 at 28 % are 4.48 units of 5 kW
        (small_stoves, (15, 1), 4.8 * 5_000, 4.48 * 5_000),
        # three appliances at 100 %, four at 75 %: equal, no step
        (fixed, (3, 1), 3_600, None),
    ],
)
def test_both_figures_of_a_step_are_shown(put, counts, va, by_number_va):
    study = two_panels(counts, put, cooking="lesser")
    demand = study.equipment("p").demand
    assert demand.calculated_va == approx(va)
    notes = " ".join(line.note for line in demand.worksheet.lines)
    if by_number_va is None:
        assert "not below a part of it" not in notes
    else:
        assert f"not below a part of it; by its own number {by_number_va:,.0f} VA" in notes


def test_apartments_of_two_banks_step_too():
    # 38 units at 29 % are 11.02, 40 at 28 % are 11.2; 38 and one, 39 at 28 %, are 10.92
    site = served(basis="multifamily optional")
    for key, number in (("a", 38), ("b", 1)):
        basis = "multifamily optional" if key == "a" else None
        site.add(r.Panel, key, "p", {"length_m": 10.0}, spaces=126, basis=basis)
        for at in range(number):
            site.add(
                r.DwellingLoad, f"{key}{at}", key, {"length_m": 5.0}, small_appliance_circuits=0,
                laundry_circuits=0, appliances=(
                    r.Appliance(kind="cooking", va=8_000), r.Appliance(kind="space heat", va=2_000),
                ),
            )  # fmt: skip
    study = Study(site.project())
    assert study.equipment("a").demand.calculated_va == approx(11.02 * 10_000)
    assert study.equipment("p").demand.calculated_va == approx(11.02 * 10_000)


def test_totals_are_not_compared_across_methods():
    # by the general method at the part and as a farm above it, the whole may lie below the part
    site = served(basis="farm")
    for key in ("a", "b"):
        site.add(r.Panel, key, "p", {"length_m": 10.0}, basis="farm building")
        for at in range(2):
            site.add(r.Load, f"{key}{at}", key, BRANCH, va=12_000.0, continuous=False)
    study = Study(site.project())
    assert study.equipment("a").demand.calculated_va == approx(24_000)
    assert study.equipment("p").demand.calculated_va == approx(24_000 + 0.75 * 24_000)


def test_load_that_another_method_takes_does_not_raise_a_table():
    # the lights of the dwelling are in the pool of the optional method; those of the barn are not
    site = served(basis="optional dwelling")
    site.add(
        r.DwellingLoad, "house", "p", {"length_m": 5.0}, floor_area_m2=150.0,
        appliances=(r.Appliance(kind="fixed appliance", va=9_000),),
    )  # fmt: skip
    site.add(r.Load, "yard lights", "p", BRANCH, category="lighting", va=6_000.0, serves="house")
    site.add(r.Load, "barn lights", "p", BRANCH, category="lighting", va=1_200.0)
    demand = Study(site.project()).equipment("p").demand
    assert demand.method == "optional dwelling"
    lights = next(line for line in demand.worksheet.lines if line.label == "Lighting")
    assert lights.result == approx(1_200)
