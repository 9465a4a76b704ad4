"""Load calculations of farms, parks and docks: published examples and constructed ones.

The files say which is which (`origin`); constructed ones have no published answer.
"""

import pytest
from published.worked_load import (
    BRANCH,
    Sheet,
    appliance,
    compare,
    example,
    house,
    new_panel,
    served,
    study_of,
)

from ampacre.codebook.counts import count_factor
from ampacre.codebook.devices import next_standard
from ampacre.model import records as r


def amperes(site, key, source, load_a, **more):
    """A load of so many amperes at 240 V."""
    site.add(r.Load, key, source, BRANCH, va=240.0 * load_a, continuous=False, **more)


def farm_building_beef_barn(data):
    inputs = data["inputs"]
    site = new_panel()
    together = r.Farm(simultaneous_va=240 * inputs["simultaneous_a"])
    site.add(r.Panel, "barn", "p", {"length_m": 30.0}, basis="farm building", farm=together)
    site.add(r.Motor, "auger", "barn", BRANCH, power_hp=3.0)
    amperes(site, "rest", "barn", inputs["connected_a"] - inputs["largest_motor_flc_a"])
    study = study_of(site)
    barn = Sheet(study, "barn")
    assert barn.demand.heavier_sizing_a == barn.demand.heavier_a
    first, second = barn.line("First tier"), barn.line("Next 60 A")
    rest = barn.line("Rest of its other")
    return {
        "motor_125pct_a": 1.25 * study.run("barn-auger").calculated_a,
        "first_60_a": min(60, barn.demand.connected_va / 240),
        "tier1_a": first.result / 240,
        "other_loads_a": (second.quantity + rest.quantity) / 240,
        "next_60_at_50pct_a": second.result / 240,
        "remainder_a": rest.quantity / 240,
        "remainder_at_25pct_a": rest.result / 240,
        "demand_a": barn.demand.heavier_a,
        "next_standard_rating_a": next_standard(barn.demand.heavier_a, "2023"),
    }


def farm_total_four_buildings(data):
    inputs = data["inputs"]
    site = new_panel(basis="farm", point={"farm": r.Farm(electric_grain_drying=True)})
    for name, load_a in zip(inputs["building_names"], inputs["building_demands_a"], strict=True):
        key = name.replace(" ", "-")
        site.add(r.Panel, key, "p", {"length_m": 50.0}, basis="farm building")
        # all of it runs together, so that the building's own demand is what is connected
        amperes(site, f"{key}-1", key, load_a / 2)
        amperes(site, f"{key}-2", key, load_a / 2)
    site.add(r.Panel, "home", "p", {"length_m": 30.0}, basis="optional dwelling")
    house(
        site, appliance("cooking", 12_000), appliance("dryer", 5_000), appliance("space heat", 620),
        source="home", square_ft=1500,
    )  # fmt: skip
    study = study_of(site)
    farm = Sheet(study)
    ranked = [line for line in farm.lines if line.cite.endswith("220.103") and line.result]
    factors = [1.0, 0.75, 0.65, 0.5]
    assert [line.factor for line in ranked] == factors
    total = farm.demand.calculated_va
    return {
        "largest_100pct_a": ranked[0].result / 240,
        "second_75pct_a": ranked[1].result / 240,
        "third_65pct_a": ranked[2].result / 240,
        "remaining_50pct_a": ranked[3].result / 240,
        "farm_loads_a": sum(line.result for line in ranked) / 240,
        "dwelling_a": (total - sum(line.result for line in ranked)) / 240,
        "total_a": farm.demand.heavier_a,
        "calculated_load_a": farm.demand.heavier_a,
        "next_standard_rating_a": farm.facts.chosen["main.rating_a"],
        "optional_method_allowed_for_dwelling": not farm.has("Optional method of the dwelling"),
    }


def posts(made, source, number, **more):
    for at in range(number):
        key = f"{source}-{'-'.join(map(str, more['receptacles_a']))}-{more.get('site', 'v')}{at}"
        made.add(r.Pedestal, key, source, BRANCH, **more)


def rv_20_sites_30a(data):
    site = served(basis="recreational-vehicle park", edition="2017")
    posts(site, "p", 20, receptacles_a=(30, 20))
    park = Sheet(study_of(site))
    assert park.demand.method == "recreational-vehicle park"
    label = "Recreational-vehicle sites, 20"
    return {
        "connected_va": park.quantity(label),
        "factor_pct": park.pct(label),
        "per_site_va": park.result(label) / 20,
        "demand_va": park.demand.calculated_va,
        "demand_a": park.demand.heavier_a,
    }


def rv_12_sites_two_segments(data):
    site = served(basis="recreational-vehicle park", edition="2017")
    for key in ("s1", "s2"):
        site.add(r.Panel, key, "p", {"length_m": 60.0})
    posts(site, "s1", 4, receptacles_a=(50, 30, 20))
    posts(site, "s2", 1, receptacles_a=(50, 30, 20))
    posts(site, "s2", 6, receptacles_a=(30, 20))
    posts(site, "s2", 1, receptacles_a=(20,), site="tent")
    study = study_of(site)
    found = {"segment1": data["steps"]["segment1"], "segment2": data["steps"]["segment2"]}
    for name, key in (("service", "p"), ("segment1", "s1"), ("segment2", "s2")):
        point = Sheet(study, key)
        found |= {
            f"{name}_connected_va": point.quantity("Recreational-vehicle sites"),
            f"{name}_factor_pct": point.pct("Recreational-vehicle sites"),
            f"{name}_demand_va": point.demand.calculated_va,
            f"{name}_demand_a": point.demand.heavier_a,
        }
    together_a = found["segment1_demand_a"] + found["segment2_demand_a"]
    return found | {"sum_of_segments_a": together_a}


def marina_10_slips_30_and_50(data):
    site = served(basis="marina")
    posts(site, "p", 10, receptacles_a=(30, 50), dock=True)
    dock = Sheet(study_of(site))
    label = "Receptacles of shore power, 10"
    return {
        "connected_va": dock.quantity(label),
        "count_used": int(dock.line(label).label.rpartition(" ")[2]),
        "factor_pct": dock.pct(label),
        "demand_va": dock.demand.calculated_va,
        "demand_a": dock.demand.heavier_a,
        "wrong_if_20_counted_va": dock.quantity(label) * count_factor("shore_power", 20).value,
    }


def marina_48_slips_30a(data):
    site = served(basis="marina")
    for leg in "AB":
        run = {**BRANCH, "legs": leg}
        site.add(r.Pedestal, f"dock-{leg}", "p", run, receptacles_a=(30,), dock=True, sites=24)
    dock = Sheet(study_of(site))
    return {
        "connected_va": dock.quantity("Receptacles of shore power, 48"),
        "factor_pct": dock.pct("Receptacles of shore power, 48"),
        "demand_va": dock.demand.calculated_va,
        "demand_a": dock.demand.heavier_a,
    }


def mobile_home_park_20_lots(data):
    site = served(basis="mobile-home park", edition="2017")
    home_va = data["inputs"]["largest_home_va"]
    site.add(r.Pedestal, "lots", "p", BRANCH, site="mobile home", sites=20, home_va=home_va)
    park = Sheet(study_of(site))
    return {
        "va_per_lot": park.quantity("Mobile-home lots, 20") / 20,
        "factor_pct": park.pct("Mobile-home lots, 20"),
        "demand_va": park.demand.calculated_va,
        "demand_a": park.demand.heavier_a,
    }


def d11_mobile_home(data):
    site = served(basis="mobile home", edition="2017")
    house(site, appliance("cooking", 7_000), square_ft=700)
    own = {"serves": "house"}
    site.add(r.Load, "heater", "p", BRANCH, category="heat", va=1_000, **own)
    leg_a, leg_b = {**BRANCH, "legs": "A"}, {**BRANCH, "legs": "B"}
    site.add(r.Motor, "fan", "p", leg_a, full_load_a=200 / 120, **own)
    site.add(r.Load, "dishwasher", "p", leg_b, category="appliance", va=400, **own)
    study = study_of(site)
    point, home = Sheet(study), Sheet(study, "house")
    fan_va = point.result("Motors") + point.result("Largest motor")
    leg_a_a, leg_b_a = point.demand.calculated_a
    return {
        "lighting_va": home.quantity("Lighting, 700 ft2"),
        "general_total_va": point.quantity("Lighting, small-appliance"),
        "general_demand_va": point.result("Lighting, small-appliance"),
        "general_a_per_leg": point.result("Lighting, small-appliance") / 240,
        "heater_a": point.result("Heating") / 240,
        "fan_125pct_a": fan_va / 120,
        "dishwasher_a": point.result("Appliances, 1") / 120,
        "range_va": point.result("Range"),
        "range_a": point.result("Range") / 240,
        "leg_a_a": leg_a_a,
        "leg_b_a": leg_b_a,
        # cords of mobile homes are of 40 or 50 A (NEC 550.10)
        "supply_cord_a": next(cord for cord in (40, 50) if cord >= max(leg_a_a, leg_b_a)),
    }


BUILDERS = (
    farm_building_beef_barn,
    farm_total_four_buildings,
    rv_20_sites_30a,
    rv_12_sites_two_segments,
    marina_10_slips_30_and_50,
    marina_48_slips_30a,
    mobile_home_park_20_lots,
    d11_mobile_home,
)


@pytest.mark.parametrize("build", BUILDERS, ids=lambda build: build.__name__)
def test_every_value_of_the_example(build):
    data = example(build.__name__)
    compare(data, build(data))
