"""Demand of whole points against published examples and examples worked by hand.

The published ones are of NEC Informative Annex D as reprinted in the Pocket Guide to the National
Electrical Code, 2005, where nothing else is said.
"""

import pytest
from pytest import approx
from study.build import served, square_feet

from ampacre.model import records as r
from ampacre.study.study import Study


def house(site, key="house", source="p", *appliances, square_ft=0.0, small=2, laundry=1, run=None):
    site.add(
        r.DwellingLoad, key, source, run or {"length_m": 10.0},
        floor_area_m2=square_feet(square_ft), small_appliance_circuits=small,
        laundry_circuits=laundry, appliances=appliances,
    )  # fmt: skip


def appliance(kind, va=None, **more):
    return r.Appliance(kind=kind, va=va, **more)


def demand(site, key="p"):
    return Study(site.project()).equipment(key).demand


def test_one_family_dwelling_standard_method():
    # Example D1(a): 18,600 VA, 78 A; neutral 14,550 VA, 61 A
    site = served(basis="standard dwelling", edition="2017")
    house(
        site, "house", "p", appliance("cooking", 12_000), appliance("dryer", 5_500), square_ft=1500
    )
    found = demand(site)
    assert found.method == "standard dwelling"
    assert found.calculated_va == approx(18_600)
    assert found.calculated_a == approx((77.5, 77.5))
    assert found.neutral_a == approx(14_550 / 240)
    assert found.sizing_a == approx((77.5, 77.5)), "a dwelling's general load is not continuous"


def test_one_family_dwelling_optional_method_with_heat():
    # Example D2(a): 21,480 VA, 90 A
    site = served(basis="optional dwelling")
    house(
        site, "house", "p",
        appliance("cooking", 12_000), appliance("water heater", 2_500),
        appliance("fixed appliance", 1_200, volts=120), appliance("dryer", 5_000),
        *[appliance("space heat", 1_800) for _ in range(5)],
        appliance("cooling", 1_380), square_ft=1500,
    )  # fmt: skip
    found = demand(site)
    assert found.calculated_va == approx(21_480)
    assert found.calculated_a == approx((89.5, 89.5))
    # the example's 15,400 VA has the 120 V dishwasher on both legs by halves; here it is whole on
    # one of them, as nobody said which: (5,100 + 5,600 + 3,500) / 240 + 1,200 / 120
    assert found.neutral_a == approx(14_200 / 240 + 10)


def test_optional_method_with_central_heat():
    # JADE Learning, Single Family Dwelling Calculation, Optional Method: 30,310 VA, 126 A
    site = served(basis="optional dwelling")
    house(
        site, "house", "p",
        appliance("cooking", 14_000), appliance("water heater", 3_000),
        appliance("dryer", 5_000), appliance("fixed appliance", 1_500, volts=120),
        appliance("space heat", 15_000), appliance("cooling", full_load_a=29.0), square_ft=2800,
    )  # fmt: skip
    assert demand(site).calculated_va == approx(30_310)
    assert demand(site).heavier_a == approx(126.3, abs=0.05)


def test_forty_units_and_two_banks_of_meters():
    # Example D4(a): feeders 65,590 VA each and 104,150 VA in all; neutrals 229 A and 333 A.
    site = served(edition="2017")
    for bank in ("b1", "b2"):
        site.add(r.Panel, bank, "p", {"length_m": 10.0}, spaces=126)
        for unit in range(20):
            stove = [appliance("cooking", 12_000)] if unit < 10 else []
            house(site, f"{bank}u{unit}", bank, *stove, square_ft=840, laundry=0)
    study = Study(site.project())
    for bank in ("b1", "b2"):
        assert study.equipment(bank).demand.calculated_va == approx(65_590)
        assert study.equipment(bank).demand.neutral_a == approx(200 + 0.7 * (58_090 / 240 - 200))
    whole = study.equipment("p").demand
    assert whole.calculated_va == approx(104_150)
    assert whole.heavier_a == approx(434, abs=0.5)
    assert whole.neutral_a == approx(333, abs=0.5)
    unit = study.equipment("b1u0").demand
    assert (unit.calculated_va, unit.neutral_a) == (approx(11_882), approx(9_482 / 240))


def test_store_with_continuous_lighting():
    # Example D3: receptacles 14,400 VA count 12,200; lighting, window and sign continuous; 135 A
    site = served()
    both = {"role": "branch", "length_m": 10.0}
    site.add(r.Load, "outlets", "p", both, category="receptacles", va=14_400, continuous=False)
    site.add(r.Load, "light", "p", both, category="lighting", va=9_000)
    site.add(r.Load, "window", "p", both, category="lighting", va=6_000)
    site.add(r.Load, "sign", "p", both, category="other", va=1_200)
    found = demand(site)
    assert found.calculated_va == approx(28_400)
    assert found.sizing_va == approx(32_450)
    assert found.heavier_sizing_a == approx(135.2, abs=0.05)


def test_feeder_for_four_motors():
    # electricianmath.com, Motor Conductors: four 5 hp at 240 V, 28 A each: 119 A
    site = served()
    for at in range(4):
        site.add(r.Motor, f"m{at}", "p", {"role": "branch", "length_m": 5.0}, power_hp=5.0)
    found = demand(site)
    assert found.heavier_a == approx(119)
    assert found.heavier_sizing_a == approx(119), "the 25 % of the largest motor comes once"
    assert found.largest_motor_a == 28


def test_twenty_four_ranges():
    # Example D6 part A: 24 ranges of 16 kW, 46.8 kW
    site = served()
    house(site, "flats", "p", *[appliance("cooking", 16_000)] * 24, small=0, laundry=0)
    assert demand(site).calculated_va == approx(46_800)


def test_demand_of_two_panels_is_not_their_sum():
    # By hand, NEC 220.54, 220.55 and 220.44: 41,000 VA each and 59,500 VA together.
    site = served()
    for key in ("a", "b"):
        site.add(r.Panel, key, "p", {"length_m": 10.0})
        kitchens = [appliance("cooking", 12_000)] * 4 + [appliance("dryer", 5_000)] * 3
        house(site, f"{key}h", key, *kitchens, small=0, laundry=0)
        site.add(
            r.Load, f"{key}o", key, {"role": "branch", "length_m": 5.0}, category="receptacles",
            va=9_000, continuous=False,
        )  # fmt: skip
    assert demand(site, "a").calculated_va == approx(41_000)
    assert demand(site).calculated_va == approx(59_500)


@pytest.mark.parametrize(
    ("edition", "total_va"), [("2017", 22_440), ("2020", 22_440), ("2023", 25_800)]
)
def test_a_small_charger_and_the_least_load_of_2023(edition, total_va):
    # By hand on Example D1(a): 16 A at 240 V is 3,840 VA, from 2023 on counted at 7,200 VA.
    site = served(edition=edition)
    house(
        site, "house", "p", appliance("cooking", 12_000), appliance("dryer", 5_500), square_ft=1500
    )
    site.add(r.Charger, "c", "p", {"role": "branch", "length_m": 10.0}, nameplate_a=16.0)
    study = Study(site.project())
    found = study.equipment("p").demand
    assert found.calculated_va == approx(total_va)
    assert found.sizing_va == approx(total_va + 0.25 * (total_va - 18_600))
    circuit = study.run("p-c")
    assert (circuit.calculated_a, circuit.sizing_a) == (approx(16), approx(20))
    assert study.running("p-c").leg_a == approx((16, 16)), "it draws what it draws, floor or not"


@pytest.mark.parametrize(
    ("confirmed", "calculated_a", "sizing_a"), [(True, 100, 125), (False, 288, 360)]
)
def test_six_managed_chargers(confirmed, calculated_a, sizing_a):
    # By hand, NEC 625.42 and 750.30: six of 48 A held to 100 A; not held where not confirmed.
    site = served()
    names = [f"c{at}" for at in range(6)]
    for name in names:
        site.add(r.Charger, name, "p", {"role": "branch", "length_m": 10.0}, nameplate_a=48.0)
    site.group(
        r.ManagedGroup, "g", *names, limit_a=100.0, listed=confirmed, access_restricted=True,
        fail_safe_a=6.0,
    )  # fmt: skip
    study = Study(site.project())
    found = study.equipment("p").demand
    assert (found.heavier_a, found.heavier_sizing_a) == (approx(calculated_a), approx(sizing_a))
    assert study.run("p-c0").sizing_a == approx(60), "a branch circuit stays at the setting"
    at_panel = sum(max(study.running(f"p-{name}").leg_a) for name in names)
    assert at_panel == approx(calculated_a), "and they draw no more than the limit together"


def test_three_phase_chargers_under_a_limit_in_amperes():
    # By hand: two of 32 A on three legs held to 40 A are 40 A on every leg.
    site = served("120/208")
    for name in ("c1", "c2"):
        site.add(r.Charger, name, "p", {"role": "branch", "length_m": 10.0}, nameplate_a=32.0)
    site.group(
        r.ManagedGroup, "g", "c1", "c2", limit_a=40.0, listed=True, access_restricted=True,
        fail_safe_a=6.0,
    )  # fmt: skip
    assert demand(site).calculated_a == approx((40, 40, 40))


def test_calculated_300_of_which_180_continuous_sizes_345():
    site = served()
    run = {"role": "branch", "length_m": 10.0}
    site.add(r.Load, "steady", "p", run, va=180 * 240.0, continuous=True)
    site.add(r.Load, "rest", "p", run, va=120 * 240.0, continuous=False)
    found = demand(site)
    assert (found.heavier_a, found.heavier_sizing_a) == (approx(300), approx(345))
    assert found.calculated_va == approx(72_000)


def test_the_largest_motor_is_not_counted_again_as_continuous():
    # By hand: motors 20 A continuous and 10 A, lights 10 A continuous, all 240 V.
    site = served()
    run = {"role": "branch", "length_m": 10.0}
    site.add(r.Motor, "pump", "p", run, full_load_a=20.0, continuous=True)
    site.add(r.Motor, "fan", "p", run, full_load_a=10.0)
    site.add(r.Load, "light", "p", run, category="lighting", va=2_400)
    found = demand(site)
    assert found.heavier_a == approx(20 + 10 + 10 + 0.25 * 20)
    assert found.heavier_sizing_a == approx(45 + 0.25 * 10)


@pytest.mark.parametrize(
    ("edition", "policy", "amperes"),
    [("2017", "added", 35), ("2023", "left out", 35), ("2020", "added", 37), ("2023", "added", 37)],
)
def test_noncoincident_loads_take_the_largest_whole_node(edition, policy, amperes):
    # By hand: a 30 A heater or a 28 A compressor; the compressor's 25 % makes it 35 A. Read to the
    # letter, from 2020 on the compressor's 7 A stands beside the heater too: 37 A.
    site = served(edition=edition, noncoincident_motor=policy)
    run = {"role": "branch", "length_m": 10.0}
    site.add(r.Load, "defrost", "p", run, category="heat", va=7_200)
    site.add(r.Motor, "compressor", "p", run, full_load_a=28.0)
    site.group(r.NoncoincidentGroup, "g", "defrost", "compressor")
    assert demand(site).heavier_a == approx(amperes)
