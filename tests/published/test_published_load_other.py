"""Load calculations of shops, motors, welders, measured services and managed chargers.

Published examples and constructed ones; the files say which is which (`origin`).
"""

import math

import msgspec
import pytest
from published.worked_load import (
    BRANCH,
    Sheet,
    compare,
    example,
    new_panel,
    old_panel,
    served,
    study_of,
)
from study.build import square_feet

from ampacre.model import records as r
from ampacre.study.capacity import tightest


def d3_store_continuous(data):
    inputs = data["inputs"]
    site = new_panel(edition="2017")
    site.add(
        r.Load, "lights", "p", BRANCH, category="lighting", va=inputs["actual_lighting_va"],
        floor_area_m2=square_feet(inputs["floor_area_ft2"]), occupancy="retail store",
    )  # fmt: skip
    site.add(
        r.Load, "outlets", "p", BRANCH, category="receptacles", receptacles=80, continuous=False
    )
    site.add(r.Load, "window", "p", BRANCH, category="show window", strip_m=30 * 0.3048)
    site.add(r.Load, "sign", "p", BRANCH, category="sign")
    study = study_of(site)
    panel, lights = Sheet(study), Sheet(study, "lights")
    total, steady = panel.demand.calculated_va, panel.quantity("25 % of continuous load")
    return {
        "receptacle_connected_va": panel.quantity("Receptacles"),
        "receptacle_demand_va": panel.result("Receptacles"),
        "lighting_by_area_va": lights.quantity("Lighting by floor area"),
        "lighting_actual_125pct_va": lights.quantity("For sizing, as installed"),
        "lighting_by_area_125pct_va": lights.quantity("For sizing, by floor area"),
        "lighting_governing_va": panel.result("Lighting"),
        "show_window_va": panel.result("Show windows"),
        "sign_va": panel.result("Signs"),
        "noncontinuous_va": total - steady,
        "continuous_va": steady,
        "connected_sum_va": total,
        "sizing_va": panel.demand.sizing_va,
        "sizing_a": panel.demand.heavier_sizing_a,
        "load_a": panel.demand.heavier_a,
        "lighting_branch_circuit_a": study.run("p-lights").sizing_a,
        "calculated_load_va": total,
        "minimum_ocpd_a": panel.facts.chosen["main.rating_a"],
    }


def receptacles_and_multioutlet(data):
    site = served()
    run = dict(BRANCH)
    site.add(r.Load, "outlets", "p", run, category="receptacles", receptacles=85)
    site.add(r.Load, "strip", "p", run, category="multioutlet", used_together=True,
             strip_m=27 * 0.3048)  # fmt: skip
    panel = Sheet(study_of(site))
    assert Sheet(study_of(site), "strip").demand.connected_va == 4_860
    return {"connected_va": panel.quantity("Receptacles"), "demand_va": panel.result("Receptacles")}


def kitchen_floor_governs(data):
    site = served()
    for load in data["inputs"]["loads"]:
        site.add(r.Load, load["name"].replace(" ", "-"), "p", BRANCH, category="kitchen",
                 va=load["va"], continuous=False)  # fmt: skip
    panel = Sheet(study_of(site))
    note = panel.line("Kitchen equipment, 5").note
    assert note.endswith("not below the two largest")
    return {
        "connected_va": panel.quantity("Kitchen equipment"),
        "factor_pct": float(note.split(" %")[0]),
        "table_va": panel.noted("5 pieces is"),
        "largest_two_va": panel.result("Kitchen equipment"),
        "demand_va": panel.result("Kitchen equipment"),
    }


def motor_feeder_four_5hp(data):
    site = served()
    for at in range(4):
        site.add(r.Motor, f"m{at}", "p", BRANCH, power_hp=5.0)
    panel = Sheet(study_of(site))
    motors_va, adder_va = panel.result("Motors"), panel.result("Largest motor, 28 A")
    return {
        "largest_125pct_a": (motors_va / 4 + adder_va) / 240,
        "others_a": 3 * motors_va / 4 / 240,
        "feeder_a": panel.demand.heavier_a,
        "feeder_ampacity_a": panel.demand.heavier_sizing_a,
    }


def welder_group_feeder(data):
    site = served("240")
    keys = []
    for at, load in enumerate(data["inputs"]["loads"]):
        for number in range(load["qty"]):
            keys.append(f"w{at}-{number}")
            site.add(
                r.Load, keys[-1], "p", BRANCH, category="welder", va=240 * load["amps"],
                duty_pct=load["duty_pct"], motor_generator=load["motor_generator"],
            )  # fmt: skip
    study = study_of(site)
    panel = Sheet(study)
    note = panel.line("Arc welders, 12").note
    amounts = [
        float(part.rpartition(" ")[2].replace(",", ""))
        for part in note.replace(" VA", "").split(", ")
    ]
    each = [study.equipment(key).demand.heavier_a for key in keys]
    return {
        "individual_a": each,
        "first_two_a": amounts[0] / 240,
        "third_a": amounts[1] / 240,
        "fourth_a": amounts[2] / 240,
        "rest_a": amounts[3] / 240,
        "feeder_a": panel.demand.heavier_a,
        "feeder_ampacity_a": panel.demand.heavier_sizing_a,
    }


def d10_elevator_drive_transformers(data):
    inputs, (unit, controller) = data["inputs"], data["inputs"]["loads"]
    line_v = inputs["voltage_v"]
    exact_a = 1000 * unit["kva"] / unit["efficiency"] / (math.sqrt(3) * line_v)
    site = served("277/480", edition="2017")
    # Annex D carries 132.5 A as 133 A; amperes of the 460 V nameplate count at 480 V (220.5(A))
    va = math.sqrt(3) * 480 * math.floor(round(exact_a, 1) + 0.5)
    for at in range(inputs["elevators"]):
        site.add(r.Load, f"lift{at}", "p", BRANCH, category="elevator", va=va)
        site.add(r.Load, f"control{at}", "p", BRANCH, va=math.sqrt(3) * 480 * controller["amps"])
    panel = Sheet(study_of(site))
    lifts, others = panel.line("Elevators, 6"), panel.line("Other loads")
    per_a = math.sqrt(3) * 480
    return {
        "transformer_a": exact_a,
        "transformers_sum_a": lifts.quantity / per_a,
        "demand_factor": lifts.factor,
        "diverse_a": lifts.result / per_a,
        "controllers_a": (others.result + panel.result("25 % of continuous load")) / per_a,
        "total_a": panel.demand.heavier_sizing_a,
        "feeder_ampacity_a": panel.demand.heavier_sizing_a,
    }


def evse_six_managed_100a(data):
    site = new_panel()
    names = [f"c{at}" for at in range(6)]
    for name in names:
        run = {**BRANCH, "since": r.WORK}
        site.add(r.Charger, name, "p", run, nameplate_a=48.0, since=r.WORK)
    free = Sheet(study_of(site))
    site.group(
        r.ManagedGroup, "g", *names, limit_a=100.0, listed=True, access_restricted=True,
        fail_safe_a=6.0,
    )  # fmt: skip
    study = study_of(site)
    held = Sheet(study)
    return {
        "unmanaged_va": free.demand.calculated_va,
        "unmanaged_a": free.demand.heavier_a,
        "unmanaged_ocpd_min_a": free.demand.heavier_sizing_a,
        "managed_va": held.demand.calculated_va,
        "managed_a": held.demand.heavier_a,
        "managed_ocpd_min_a": held.demand.heavier_sizing_a,
        "branch_each_ocpd_a": study.run("p-c0").device.value,
        "calculated_load_va": held.demand.calculated_va,
        "calculated_load_a": held.demand.heavier_a,
        "feeder_ocpd_a": held.facts.chosen["main.rating_a"],
    }


def metered_30day_add_heat(data):
    site = old_panel(200.0, "measured")
    record = r.Measured(
        kind="30-day", demand=62.4, unit="A", interval_min=15, start="2025-04-01", end="2025-04-30",
        seasonal_va=10_000, seasonal_included=True, occupied=True, heaviest_leg=True,
        overcurrent_protected=True, generation="none",
    )  # fmt: skip
    site.pieces["p"] = msgspec.structs.replace(site.pieces["p"], measured=record)
    site.add(r.Charger, "c", "p", BRANCH, nameplate_a=32.0, since=r.WORK)
    panel = Sheet(study_of(site))
    measured = panel.line("Measured load")
    return {
        "heat_a": panel.quantity("Seasonal load") / 240,
        "adjusted_peak_a": measured.quantity / 240,
        "adjusted_peak_125pct_a": measured.result / 240,
        "new_a": panel.result("Chargers, 1") / 240,
        "total_a": panel.demand.heavier_a,
        "calculated_load_a": panel.demand.heavier_a,
        "fits_service": tightest(panel.facts).fits,
    }


def metered_440kw_208v(data):
    site = old_panel(3000.0, "measured", "120/208")
    record = r.Measured(
        kind="12-month", demand=440.0, unit="kW", power_factor=0.85, start="2024-08-01",
        end="2025-07-31", overcurrent_protected=True, generation="none",
    )  # fmt: skip
    site.pieces["p"] = msgspec.structs.replace(site.pieces["p"], measured=record)
    site.add(r.Load, "cooling", "p", BRANCH, va=339_000, continuous=False, since=r.WORK)
    panel = Sheet(study_of(site))
    measured = panel.line("Measured load")
    faced = tightest(panel.facts)
    return {
        "peak_kva": panel.quantity("12-month record") / 1000,
        "peak_125pct_kva": measured.result / 1000,
        "total_kva": panel.demand.calculated_va / 1000,
        "total_a": panel.demand.heavier_a,
        "capacity_kva": math.sqrt(3) * 208 * faced.rating / 1000,
        "calculated_load_a": panel.demand.heavier_a,
        "fits_service": faced.fits,
    }


BUILDERS = (
    d3_store_continuous,
    receptacles_and_multioutlet,
    kitchen_floor_governs,
    motor_feeder_four_5hp,
    welder_group_feeder,
    d10_elevator_drive_transformers,
    evse_six_managed_100a,
    metered_30day_add_heat,
    metered_440kw_208v,
)


@pytest.mark.parametrize("build", BUILDERS, ids=lambda build: build.__name__)
def test_every_value_of_the_example(build):
    data = example(build.__name__)
    compare(data, build(data))
