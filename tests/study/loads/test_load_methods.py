"""Methods and policies, and what a parent takes from each kind of part; worked by hand."""

import msgspec
import pytest
from pytest import approx
from study.build import served, square_feet

from ampacre.model import records as r
from ampacre.study.study import Study

BRANCH = {"role": "branch", "length_m": 10.0}
FEEDER = {"length_m": 10.0}


def lines_of(study, key="p"):
    return study.equipment(key).demand.worksheet.lines


def note_of(study, start, key="p"):
    return next(line.note for line in lines_of(study, key) if line.label.startswith(start))


def at(site, key="p", **settings):
    """Demand at a point, the project's settings changed."""
    project = site.project()
    if settings:
        site.settings = msgspec.structs.replace(project.settings, **settings)
        project = site.project()
    return Study(project).equipment(key).demand


def home(site, source="p", key="home", *more, square_ft=2000, **fields):
    appliances = (r.Appliance(kind="cooking", va=12_000), *more)
    site.add(r.DwellingLoad, key, source, FEEDER, floor_area_m2=square_feet(square_ft),
             appliances=appliances, **fields)  # fmt: skip


# the optional method is offered only where it serves


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ("two dwellings", "one dwelling's whole load"),
        ("charger elsewhere", "not all load of the dwelling"),
        ("small main", "rated 90 A"),
        ("three-phase", "three-wire"),
    ],
)
def test_where_the_optional_method_does_not_serve(change, why):
    site = served("120/208" if change == "three-phase" else "120/240")
    main = r.Device(rating_a=90.0) if change == "small main" else None
    site.add(r.Panel, "q", "p", FEEDER, basis="optional dwelling", main=main)
    home(site, "q")
    if change == "two dwellings":
        home(site, "q", "other")
    if change == "charger elsewhere":
        site.add(r.Charger, "c", "p", BRANCH, nameplate_a=32.0, serves="home")
    study = Study(site.project())
    assert study.equipment("q").demand.method == "general"
    assert why in note_of(study, "Optional method not used", "q")


def test_the_method_for_existing_dwellings_is_not_for_a_new_one():
    # NEC 220.83 is of an existing dwelling that gets more load
    site = served()
    site.add(r.Panel, "q", "p", FEEDER, basis="existing dwelling")
    home(site, "q", since=r.WORK)
    site.add(r.Load, "gate", "p", BRANCH, va=600, continuous=False)
    study = Study(site.project())
    assert study.equipment("q").demand.method == "general"
    assert "comes with the work" in note_of(study, "Method for an existing dwelling not used", "q")
    assert at(site, mixed_optional="block").calculated_va == approx(5_625 + 8_000 + 600)


def test_an_existing_dwelling_may_grow_by_its_method():
    site = served(basis="existing dwelling")
    old = r.DwellingLoad(id="home", name="home", floor_area_m2=square_feet(1_000))
    home(site, "p", "home", since=r.WORK, was=old)
    assert at(site).method == "existing dwelling"


def test_two_legs_of_a_wye_serve_for_the_optional_method():
    site = served("120/208")
    site.add(r.Panel, "q", "p", {**FEEDER, "legs": "AB"}, basis="optional dwelling")
    home(site, "q")
    found = Study(site.project()).equipment("q").demand
    # 6,000 + 4,500 + 12,000 VA: 10,000 + 0.4 x 12,500
    assert found.method == "optional dwelling"
    assert found.calculated_a == approx((15_000 / 208,) * 2)


def test_a_barn_fed_from_the_house_is_outside_its_pool():
    site = served(basis="optional dwelling")
    home(site)
    site.add(r.Panel, "barn", "p", FEEDER)
    site.add(r.Load, "heat", "barn", BRANCH, category="heat", va=5_000)
    site.add(r.Motor, "well", "barn", BRANCH, full_load_a=10.0, serves="home")
    # pool 22,500 + 2,400 of the well pump, wherever it hangs: 10,000 + 0.4 x 14,900; heat whole
    assert at(site).calculated_va == approx(15_960 + 5_000)


def test_a_point_with_one_part_passes_its_demand_on():
    site = served()
    site.add(r.Panel, "q", "p", FEEDER, basis="optional dwelling")
    home(site, "q")
    study = Study(site.project())
    assert study.equipment("p").demand is study.equipment("q").demand


# mixed property: the dwelling's loads, or its block


def test_the_two_policies_of_a_mixed_service():
    site = served()
    site.add(r.Panel, "q", "p", FEEDER, basis="optional dwelling")
    home(site, "q", "home", r.Appliance(kind="heat pump", full_load_a=18.0))
    site.add(r.Motor, "saw", "p", BRANCH, full_load_a=10.0)
    # Part III: 3,000 + 35 % of 7,500, 8,000, 4,320, 2,400 and 25 % of 4,320
    assert at(site).calculated_va == approx(5_625 + 8_000 + 4_320 + 2_400 + 1_080)
    # block: 10,000 + 0.4 x 12,500 + 4,320; then 2,400 and 25 % of 2,400
    assert at(site, mixed_optional="block").calculated_va == approx(19_320 + 2_400 + 600)


@pytest.mark.parametrize("policy", ["tally", "block"])
def test_what_the_house_feeds_besides_comes_to_the_parent_once(policy):
    site = served()
    site.add(r.Panel, "q", "p", FEEDER, basis="optional dwelling")
    home(site, "q")
    site.add(r.Load, "heat", "q", BRANCH, category="heat", va=5_000)
    site.add(r.Load, "gate", "p", BRANCH, va=600, continuous=False)
    dwelling = {"tally": 5_625 + 8_000, "block": 15_000}[policy]
    assert at(site, mixed_optional=policy).calculated_va == approx(dwelling + 5_000 + 600)


# farms


def barn(site, key, *loads_a, source="p", farm=None):
    site.add(r.Panel, key, source, FEEDER, basis="farm building", farm=farm)
    for number, load_a in enumerate(loads_a):
        site.add(r.Load, f"{key}{number}", key, BRANCH, va=240.0 * load_a, continuous=True)


def test_a_farm_building_under_another_method_comes_as_its_block():
    site = served()
    barn(site, "barn", 100, 80, farm=r.Farm(simultaneous_va=70 * 240))
    site.add(r.Load, "shop", "p", BRANCH, va=2_400, continuous=False)
    found = at(site)
    # 70 + 0.5 x 60 + 0.25 x 50 A, with no 25 % for its continuous load
    assert found.heavier_a == approx(112.5 + 10)
    assert found.heavier_sizing_a == approx(112.5 + 10)


def test_the_adder_of_a_building_is_not_counted_twice_above_it():
    site = served()
    site.add(r.Panel, "barn", "p", FEEDER, basis="farm building", farm=r.Farm(simultaneous_va=0))
    site.add(r.Motor, "big", "barn", BRANCH, full_load_a=80.0)
    site.add(r.Motor, "small", "barn", BRANCH, full_load_a=40.0)
    site.add(r.Load, "gate", "p", BRANCH, va=240, continuous=False)
    # its own feeder: 125 % of 80, then half of the other 20 A; above: 80 + half of 40, and 25 % of 80
    assert at(site, "barn").heavier_a == approx(100 + 10)
    assert at(site).heavier_a == approx(80 + 20 + 20 + 1)


def test_one_circuit_is_no_farm_building():
    site = served()
    barn(site, "barn", 100)
    assert at(site, "barn").method == "general"


def test_buildings_of_one_function_are_one_load_of_the_farm():
    def farm_a(*functions):
        site = served(basis="farm")
        for key, function in zip("ab", functions, strict=True):
            barn(site, key, 50, 50, farm=r.Farm(simultaneous_va=60 * 240, function=function))
        return at(site).heavier_a

    # each 60 + 0.5 x 40 = 80; apart 80 + 0.75 x 80; as one 120 together: 120 + 0.5 x 60 + 0.25 x 20
    assert farm_a("cattle", "hay") == approx(140)
    assert farm_a("cattle", "cattle") == approx(120 + 30 + 5)


def test_a_farm_distribution_point_ranks_and_the_service_ranks_again():
    site = served(basis="farm")
    site.add(r.Panel, "yard", "p", FEEDER, basis="farm")
    for key, load_a in (("a", 100), ("b", 60)):
        barn(site, key, load_a / 2, load_a / 2, source="yard")
    barn(site, "c", 40, 40)
    study = Study(site.project())
    assert study.equipment("yard").demand.heavier_a == approx(100 + 0.75 * 60)
    assert study.equipment("p").demand.heavier_a == approx(100 + 0.75 * 80 + 0.65 * 60)


@pytest.mark.parametrize(
    ("drying", "heat_va", "dwelling_va"),
    [
        # the pool: 22,500 + nothing else, heat at 65 %
        (False, 6_000, 15_000 + 3_900),
        # Part III: 5,625 + 8,000 + 6,000
        (True, 6_000, 19_625),
        (None, 6_000, 19_625),
        (True, 0, 15_000),
    ],
)
def test_the_farm_dwelling_counts_whole_by_its_own_method(drying, heat_va, dwelling_va):
    site = served(basis="farm")
    site.pieces["p"] = msgspec.structs.replace(
        site.pieces["p"], farm=r.Farm(electric_grain_drying=drying)
    )
    barn(site, "barn", 50, 50)
    site.add(r.Panel, "q", "p", FEEDER, basis="optional dwelling")
    more = [r.Appliance(kind="space heat", va=heat_va)] if heat_va else []
    home(site, "q", "home", *more)
    assert at(site).calculated_va == approx(24_000 + dwelling_va)


# parks, docks and private posts


@pytest.mark.parametrize(
    ("let", "basis", "va"),
    [
        (None, None, 36_000),
        (None, "recreational-vehicle park", 36_000 * 0.5),
        (False, "recreational-vehicle park", 36_000),
        (True, None, 36_000 * 0.5),
    ],
)
def test_only_sites_let_to_the_public_are_diversified(let, basis, va):
    site = served(basis=basis)
    for number in range(10):
        site.add(r.Pedestal, f"s{number}", "p", BRANCH, open_to_public=let)
    assert at(site).calculated_va == approx(va)
    assert at(site).sizing_va == approx(va), "park results get no 25 %"


def test_a_post_for_two_counts_the_highest_receptacle_of_each_site():
    # NEC 551.73(A): a site counts by its highest rated receptacle
    site = served()
    site.add(r.Pedestal, "post", "p", BRANCH, receptacles_a=(20, 30, 50), sites=2)
    assert at(site).calculated_va == approx(2 * 12_000)


@pytest.mark.parametrize(
    ("receptacles_a", "slips", "va"),
    [
        # NEC Table 220.120: 5 to 8 receptacles at 90 %, 9 to 14 at 80 %; 50 A x 240 V, 30 A x 120 V
        ((50, 50), 3, 6 * 12_000 * 0.9),
        ((30, 30), 5, 10 * 3_600 * 0.8),
        # note 1: of two of different voltage for one slip the larger counts, and once
        ((50, 30), 5, 5 * 12_000 * 0.9),
        # the note is of two receptacles: of three, all count
        ((50, 30, 30), 1, 12_000 + 7_200),
    ],
)
@pytest.mark.parametrize("together", [True, False])
def test_receptacles_of_a_slip(receptacles_a, slips, va, together):
    site = served(basis="marina")
    posts = [slips] if together else [1] * slips
    for number, sites in enumerate(posts):
        site.add(r.Pedestal, f"s{number}", "p", BRANCH, receptacles_a=receptacles_a, dock=True,
                 sites=sites)  # fmt: skip
    assert at(site).calculated_va == approx(va)


def test_meters_at_every_slip_take_ten_per_cent_off():
    site = served(basis="marina")
    slips = {"receptacles_a": (50,), "dock": True, "sites": 5}
    site.add(r.Pedestal, "a", "p", BRANCH, submetered=True, **slips)
    assert at(site).calculated_va == approx(60_000 * 0.9 * 0.9)
    site.add(r.Pedestal, "b", "p", BRANCH, **slips)
    assert at(site).calculated_va == approx(120_000 * 0.8)


# neutral


def test_shore_power_keeps_the_whole_neutral_and_so_do_vehicle_sites():
    def neutral_a(**post):
        site = served()
        site.add(r.Pedestal, "posts", "p", BRANCH, receptacles_a=(50,), sites=20,
                 open_to_public=True, **post)  # fmt: skip
        site.add(r.Load, "lights", "p", {**BRANCH, "legs": "A"}, category="lighting", va=12_000)
        return at(site).neutral_a

    # slips: 20 x 12,000 x 70 % = 700 A and 100 A of lights, all of it
    assert neutral_a(dock=True) == approx(700 + 100)
    # sites: 20 at 45 % = 450 A unreduced; of 550 A only the lights may be cut
    assert neutral_a() == approx(450 + 0.7 * 100)


@pytest.mark.parametrize(("nonlinear", "neutral_a"), [(False, 200 + 0.7 * 100), (True, 300)])
def test_nonlinear_load_on_a_wye_is_not_reduced(nonlinear, neutral_a):
    site = served("120/208")
    for leg in "ABC":
        site.add(r.Load, leg, "p", {**BRANCH, "legs": leg}, category="lighting",
                 va=300 * 208 / 3**0.5, nonlinear=nonlinear)  # fmt: skip
    assert at(site).neutral_a == approx(neutral_a)


def test_a_dwellings_120_volt_appliance_is_on_one_leg_unless_the_policy_halves_it():
    site = served()
    site.add(r.DwellingLoad, "home", "p", FEEDER, small_appliance_circuits=0, laundry_circuits=0,
             appliances=(r.Appliance(kind="fixed appliance", va=1_200, volts=120),))  # fmt: skip
    assert at(site).neutral_a == approx(10)
    assert at(site, unnamed_leg="all legs").neutral_a == approx(5)


# three phases


def test_ranges_on_two_legs_each_go_by_twice_the_most_between_two():
    site = served("120/208")
    for key, legs in (("a", "AB"), ("b", "AB"), ("c", "BC")):
        site.add(
            r.DwellingLoad, key, "p", {**FEEDER, "legs": legs}, small_appliance_circuits=0,
            laundry_circuits=0, appliances=(r.Appliance(kind="cooking", va=12_000),),
        )  # fmt: skip
    # two between A and B: column C for four, 17 kVA; 8.5 on a leg, 25.5 in all
    assert at(site).calculated_va == approx(25_500)
    assert at(site).calculated_a == approx((25_500 / 208 / 3**0.5,) * 3)


def test_the_second_dryer_on_other_legs_adds_nothing_but_balance():
    site = served("120/208")
    for key, legs in (("a", "AB"), ("b", "BC"), ("c", "AC")):
        site.add(
            r.DwellingLoad, key, "p", {**FEEDER, "legs": legs}, small_appliance_circuits=0,
            laundry_circuits=0, appliances=(r.Appliance(kind="dryer", va=5_500),),
        )  # fmt: skip
    # one between any two legs: twice one dryer at 100 %, half of it on a leg
    assert at(site).calculated_va == approx(3 * 5_500)


# other than dwellings


@pytest.mark.parametrize(
    ("edition", "actual_va", "calculated_va", "sizing_va"),
    [
        # office of 1,000 ft2: 3.5 VA in 2017, to which 125 % is added; 1.3 VA from 2020, with it
        ("2017", 2_000, 3_500, 4_375),
        ("2017", 4_000, 4_000, 5_000),
        ("2023", 1_000, 1_300, 1_300),
        ("2023", 1_200, 1_300, 1_500),
        ("2023", 4_000, 4_000, 5_000),
    ],
)
def test_lighting_by_area_or_as_installed(edition, actual_va, calculated_va, sizing_va):
    site = served(edition=edition)
    site.add(r.Load, "l", "p", BRANCH, category="lighting", va=actual_va, occupancy="office",
             floor_area_m2=square_feet(1_000))  # fmt: skip
    found = at(site)
    assert (found.calculated_va, found.sizing_va) == (approx(calculated_va), approx(sizing_va))
    circuit = Study(site.project()).run("p-l")
    assert circuit.calculated_a == approx(actual_va / 240), "the circuit carries what is installed"


def test_lighting_of_a_warehouse_has_demand_factors():
    site = served(edition="2017")
    site.add(r.Load, "l", "p", BRANCH, category="lighting", occupancy="warehouse",
             floor_area_m2=square_feet(80_000))  # fmt: skip
    # 0.25 VA: 20,000 VA; 12,500 whole and half of the rest
    assert at(site).calculated_va == approx(16_250)


@pytest.mark.parametrize(
    ("fields", "va"),
    [
        ({"category": "multioutlet", "strip_m": 3.2}, 3 * 180),
        ({"category": "multioutlet", "strip_m": 3.2, "used_together": True}, 11 * 180),
        ({"category": "track lighting", "strip_m": 2.5}, 5 * 150),
        ({"category": "sign", "va": 500}, 1_200),
        ({"category": "sign", "va": 1_500}, 1_500),
        ({"category": "receptacles", "receptacles": 10, "occupancy": "bank",
          "floor_area_m2": square_feet(2_500)}, 2_500),
        ({"category": "welder", "va": 10_000}, 10_000),
        ({"category": "welder", "va": 10_000, "duty_pct": 20}, 4_500),
    ],
)  # fmt: skip
def test_least_load_of_an_outlet(fields, va):
    site = served()
    site.add(r.Load, "x", "p", BRANCH, **fields)
    assert at(site).calculated_va == approx(va)


def test_a_load_without_a_figure_is_asked_for():
    site = served()
    site.add(r.Load, "x", "p", BRANCH, category="kitchen")
    site.add(r.Load, "y", "p", BRANCH, category="sign")
    study = Study(site.project())
    assert study.equipment("x").missing == ("nameplate load: read it off",)
    assert study.equipment("y").missing == ()


# policies of Part III


@pytest.mark.parametrize(
    ("edition", "large", "small", "cooking", "va"),
    [
        # NEC 220.53: 75 % of four or more; 2017 excepts ranges, dryers, heating and cooling
        ("2017", 4, 3, 0, 0.75 * (4_000 + 1_200)),
        ("2017", 3, 1, 0, 0.75 * (3_000 + 400)),
        # from 2020 on only appliances of 500 W or 1/4 hp and more, and no cooking
        ("2023", 4, 3, 0, 3_000 + 1_200),
        ("2020", 4, 0, 2, 3_000 + 3_000),
        ("2023", 3, 1, 1, 3_000 + 400 + 1_500),
        ("2023", 0, 5, 0, 2_000),
    ],
)
def test_appliances_that_the_factor_is_for(edition, large, small, cooking, va):
    def demand(*appliances):
        site = served(edition=edition)
        home(site, "p", "home", *appliances)
        return at(site)

    added = (
        *large * (r.Appliance(kind="fixed appliance", va=1_000),),
        *small * (r.Appliance(kind="fixed appliance", va=400),),
        *cooking * (r.Appliance(kind="cooking", va=1_500),),
    )
    assert demand(*added).calculated_va == approx(demand().calculated_va + va)


def test_a_disposers_motor_may_be_the_largest():
    site = served(edition="2017")
    kitchen = r.Appliance(kind="fixed appliance", full_load_a=8.0, volts=120, motor=True)
    home(site, "p", "home", kitchen)
    assert at(site).largest_motor_a == 8
    assert at(site).calculated_va == approx(5_625 + 8_000 + 960 + 240)


@pytest.mark.parametrize(("edition", "policy", "adder"), [
    ("2017", "added", 0), ("2023", "added", 0.25 * 4_320), ("2023", "left out", 0),
])  # fmt: skip
def test_the_cooling_that_heating_leaves_out(edition, policy, adder):
    site = served(edition=edition, noncoincident_motor=policy)
    home(site, "p", "home", r.Appliance(kind="cooling", full_load_a=18.0),
         r.Appliance(kind="space heat", va=9_000))  # fmt: skip
    assert at(site).calculated_va == approx(5_625 + 8_000 + 9_000 + adder)


def test_typical_figures_are_marked_until_read_off():
    site = served()
    home(site, "p", "home", r.Appliance(kind="dryer", name="Dryer", va=5_500, typical=True))
    study = Study(site.project())
    assert "usual figures, not read off: Dryer" in study.equipment("home").assumptions


def test_apartments_without_cooking_take_the_lesser():
    site = served(basis="multifamily optional")
    for number in range(3):
        site.add(
            r.DwellingLoad, f"u{number}", "p", FEEDER, floor_area_m2=square_feet(500),
            laundry_circuits=0, appliances=(r.Appliance(kind="space heat", va=3_000),),
        )  # fmt: skip
    # Part III: 13,500 VA general 3,000 + 35 %, heat 9,000; by 220.84 with 8 kVA: 45 % of 46,500
    assert at(site).calculated_va == approx(min(6_675 + 9_000, 0.45 * (13_500 + 9_000 + 24_000)))


def test_apartments_need_heat_or_cooling():
    site = served(basis="multifamily optional")
    for number in range(3):
        home(site, "p", f"u{number}")
    study = Study(site.project())
    assert study.equipment("p").demand.method == "general"
    assert "heating or cooling" in note_of(study, "Optional method of a multifamily")


def test_a_mobile_home_range_by_its_own_steps():
    from ampacre.study.mobile_home import range_va

    # NEC 550.18(B)(5): 80 % to 10 kW, 8,000 to 12,500, then 400 for each further 1,000 W
    assert [range_va(w) for w in (7_000, 10_000, 12_500, 13_500, 17_500)] == [
        5_600, 8_000, 8_000, 8_400, 10_000,
    ]  # fmt: skip


@pytest.mark.parametrize(("edition", "calculated_a"), [("2017", 48), ("2020", 32), ("2023", 32)])
def test_a_locked_setting_counts_since_2020(edition, calculated_a):
    site = served(edition=edition)
    site.add(r.Charger, "c", "p", BRANCH, nameplate_a=48.0, setting_a=32.0, setting_locked=True)
    assert at(site).heavier_a == approx(calculated_a)
    assert Study(site.project()).run("p-c").sizing_a == approx(40), "the circuit is set to 32 A"


def test_a_motor_that_stands_still_is_named_on_the_worksheet():
    site = served(edition="2023")
    site.add(r.Load, "defrost", "p", BRANCH, category="heat", va=7_200)
    site.add(r.Motor, "compressor", "p", BRANCH, full_load_a=28.0)
    site.group(r.NoncoincidentGroup, "g", "defrost", "compressor")
    assert "project policy" in note_of(Study(site.project()), "Largest motor, 28 A")


def test_with_chargers_managed_the_pool_still_leaves_them_outside():
    site = served(basis="optional dwelling")
    home(site)
    for key in ("c1", "c2"):
        site.add(r.Charger, key, "p", BRANCH, nameplate_a=48.0, serves="home")
    site.group(r.ManagedGroup, "g", "c1", "c2", limit_a=60.0, listed=True, access_restricted=True,
               fail_safe_a=6.0)  # fmt: skip
    found = at(site)
    assert found.calculated_va == approx(15_000 + 14_400)
    assert found.sizing_va == approx(15_000 + 1.25 * 14_400)
    inside = at(site, optional_chargers="inside")
    assert inside.calculated_va == approx(10_000 + 0.4 * (12_500 + 14_400))
    assert inside.sizing_va == approx(inside.calculated_va)


# heating and cooling drawn as circuits of the dwelling


def drawn(basis, *pieces):
    """What pieces that serve a dwelling add to its demand [VA]."""

    def demand(pieces):
        site = served(basis=basis)
        home(site)
        for number, (kind, fields) in enumerate(pieces):
            site.add(kind, f"x{number}", "p", BRANCH, serves="home", **fields)
        found = at(site)
        assert found.method == (basis or "general")
        return found.calculated_va

    return demand(pieces) - demand(())


def heater(category="heat", **more):
    return (r.Load, {"category": category, "va": 10_000.0, **more})


def unit(**fields):
    """A compressor of 30 A, 7,200 VA."""
    return (r.Motor, {"full_load_a": 30.0, "compressor": True, **fields})


COOLER = unit(conditioning="cooling")


@pytest.mark.parametrize(
    ("pieces", "added_va"),
    [
        # NEC 220.82(C)(4): 65 % of fewer than four units; (5): 40 % of four or more
        ([heater()], 6_500),
        ([heater()] * 4, 16_000),
        # (1) cooling, (2) heat pump and (6) storage at 100 %; of all selections the largest
        ([unit()], 7_200),
        ([COOLER], 7_200),
        ([heater("cooling")], 10_000),
        ([heater("storage heat")], 10_000),
        ([heater(), COOLER], 7_200),
        # (3): the heat pump whole, its supplementary heat at 65 %
        ([unit(conditioning="heat pump"), heater("supplementary heat")], 7_200 + 6_500),
        # 220.82(B): what does neither is in the pool, here at 40 %
        ([unit(conditioning="neither")], 2_880),
    ],
)
def test_the_optional_method_knows_heating_and_cooling_by_their_circuits(pieces, added_va):
    assert drawn("optional dwelling", *pieces) == approx(added_va)


@pytest.mark.parametrize(
    ("pieces", "added_va"),
    [
        # NEC 220.83(A): no new heating or cooling; what is there stays in the pool, here at 40 %
        ([heater()], 4_000),
        # (B): new heating or cooling, the larger of the two at 100 %
        ([heater(since=r.WORK)], 10_000),
        ([unit(since=r.WORK)], 7_200),
        ([heater(), unit(conditioning="cooling", since=r.WORK)], 10_000),
    ],
)
def test_new_heating_drawn_as_a_circuit_counts_whole_in_an_existing_dwelling(pieces, added_va):
    assert drawn("existing dwelling", *pieces) == approx(added_va)


def test_part_three_takes_the_larger_of_heating_and_cooling_circuits():
    # NEC 220.60; a compressor that nobody named runs beside the heater, and is the largest motor
    assert drawn(None, heater(), COOLER) == approx(10_000 + 0.25 * 7_200)
    assert drawn(None, heater(), unit()) == approx(10_000 + 7_200 + 0.25 * 7_200)


def test_elsewhere_all_heating_and_cooling_counts():
    site = served()
    for number, category in enumerate(("heat", "supplementary heat", "storage heat", "cooling")):
        site.add(r.Load, f"x{number}", "p", BRANCH, category=category, va=1_000.0)
    site.add(r.Motor, "m", "p", BRANCH, full_load_a=10.0, compressor=True, conditioning="cooling")
    assert at(site).calculated_va == approx(4_000 + 1.25 * 2_400)


# no method loses load


def test_a_mobile_home_has_its_chargers_whole_beside_its_own_load():
    # NEC 550.18 has no factor for chargers: 48 A x 240 V come on top (625.42)
    plain = served(basis="mobile home")
    home(plain)
    site = served(basis="mobile home")
    home(site)
    site.add(r.Charger, "c", "p", BRANCH, nameplate_a=48.0, serves="home")
    found = at(site)
    assert found.method == "mobile home"
    assert found.calculated_va == approx(at(plain).calculated_va + 11_520)
    assert found.sizing_va == approx(at(plain).sizing_va + 1.25 * 11_520)


ADDED = {
    "charger": (r.Charger, {"nameplate_a": 40.0}),
    "motor": (r.Motor, {"full_load_a": 20.0}),
    "compressor": (r.Motor, {"full_load_a": 20.0, "compressor": True}),
    "cooler": (r.Motor, {"full_load_a": 20.0, "conditioning": "cooling"}),
    **{
        category: (r.Load, {"category": category, "va": 5_000.0})
        for category in r.LoadCategory.__args__
    },
}
DWELLINGS = {"two dwellings": 2, "multifamily optional": 3}


@pytest.mark.parametrize("basis", [None, *r.Basis.__args__])
@pytest.mark.parametrize("added", ADDED)
@pytest.mark.parametrize("serves", [True, False])
def test_every_load_counts_by_every_method_or_a_line_says_why_not(basis, added, serves):
    def demand(more):
        site = served(basis=basis)
        cooling = r.Appliance(kind="cooling", va=2_000)
        for number in range(DWELLINGS.get(basis, 1)):
            home(site, "p", f"home{number}", cooling)
        if more:
            kind, fields = ADDED[added]
            served_by = {"serves": "home0"} if serves else {}
            site.add(kind, "x", "p", BRANCH, **fields, **served_by)
        return at(site)

    plain, found = demand(more=False), demand(more=True)
    assert found.method == plain.method
    gain_va = found.calculated_va - plain.calculated_va
    # no method counts less than 23 % of anything: the last factor of Table 220.84
    lines = " ".join(f"{line.label} {line.note}" for line in found.worksheet.lines)
    assert gain_va > 0.23 * 4_800 - 2_000 or "larger of heating and cooling" in lines
    assert gain_va > 0
