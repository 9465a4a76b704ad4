"""Conductors: what they carry, and the device they may have by the role of their run."""

import pytest
from rules.build import altered, branch, broken, feeder, fine, message, remedied, service, wires

from ampacre.model import records as r


def fed(device_a, size, va, material="al", **run):
    """A panel with a steady load behind conductors of one size."""
    site = service()
    site.add(
        r.Panel, "sub", "P",
        feeder(device_a, wires(size, size, material=material), terminal_c=75, **run),
    )  # fmt: skip
    site.add(r.Load, "load", "sub", branch(200), va=va, continuous=True)
    return site.project()


def test_the_termination_column_carries_125_percent():
    # NEC Table 310.16: 3/0 aluminum carries 155 A at 75 C; 124 A continuous asks for 155 A
    fine(fed(175, "3/0", 124 * 240.0), "wire-carries-load")
    project = fed(175, "3/0", 125 * 240.0)
    finding = broken(project, "wire-carries-load", "P-sub")
    assert finding.values["sizing_a"] == pytest.approx(156.25)
    remedied(project, "wire-carries-load", "Fit the run to sub with 4/0 AWG aluminum")


def test_the_corrected_ampacity_carries_the_calculated_load():
    # 90 C column of 3/0 aluminum, 175 A, at 46 to 50 C: x 0.82 = 143.5 A
    hot = fed(150, "3/0", 124 * 240.0, ambient_c=50.0)
    fine(hot, "wire-carries-load")
    hotter = altered(hot, "equipment", "load", va=144 * 240.0, continuous=False)
    finding = broken(hotter, "wire-carries-load", "P-sub")
    assert finding.values["corrected_a"] == pytest.approx(143.5)
    fine(altered(hotter, "runs", "P-sub", ambient_c=30.0), "wire-carries-load")


def test_a_standard_ampacity_may_not_be_rounded_up():
    # 2 AWG aluminum carries 90 A at 75 C, which is a standard rating (NEC 240.6(A))
    project = fed(100, "2", 60 * 240.0)
    assert message(project, "wire-protected") == (
        "The 2 AWG conductors of the run to sub carry 90 A and may have a device of 90 A at most "
        "(ampacity 90 A); theirs is 100 A."
    )
    remedied(
        project, "wire-protected",
        "Fit the run to sub with a 90 A device", "Fit the run to sub with 1 AWG aluminum",
    )  # fmt: skip


def test_an_ampacity_between_ratings_may_have_the_next_one():
    # 4/0 aluminum: 180 A, next standard rating 200 A (NEC 240.4(B))
    fine(fed(200, "4/0", 100 * 240.0), "wire-protected")
    broken(fed(225, "4/0", 100 * 240.0), "wire-protected", "P-sub")


def test_taps_and_secondaries_may_not_round_up():
    # NEC 240.21(B) and (C): 240.4(B) does not apply
    site = service()
    site.add(
        r.Panel, "sub", "P",
        {
            "role": "tap", "protected_at": "load", "length_m": 3.0, "terminal_c": 75,
            "conductors": wires("4/0", "4/0", material="al"),
        },
        main=r.Device(rating_a=200.0),
    )  # fmt: skip
    site.add(r.Load, "load", "sub", branch(200), va=20_000.0)
    project = site.project()
    finding = broken(project, "wire-protected", "P-sub")
    assert finding.values["allowed_a"] == 175
    fine(altered(project, "runs", "P-sub", role="feeder"), "wire-protected")


def test_small_conductors_have_fixed_limits():
    # NEC 240.4(D): 12 AWG copper carries 25 A at 75 C but may have 20 A
    site = service()
    twelve = r.Conductors(size="12", material="cu")
    site.add(r.Load, "load", "P", branch(25, twelve, terminal_c=75), va=1200.0)
    project = site.project()
    broken(project, "wire-protected", "P-load")
    remedied(
        project, "wire-protected",
        "Fit the run to load with a 20 A device", "Fit the run to load with 10 AWG copper",
    )  # fmt: skip


def test_a_motor_device_may_exceed_its_conductors():
    # NEC 240.4(G) and 430.52: 17 A motor, 12 AWG, 40 A breaker
    site = service()
    twelve = r.Conductors(size="12", material="cu")
    site.add(r.Motor, "press", "P", branch(40, twelve, terminal_c=75), full_load_a=17.0)
    project = site.project()
    fine(project, "wire-protected")
    fine(project, "wire-carries-load")
    # NEC 430.22: the conductors still carry 125 % of the motor, 25 A of 12 AWG
    broken(altered(project, "equipment", "press", full_load_a=21.0), "wire-carries-load", "P-press")


def test_a_service_is_judged_by_its_main():
    # NEC 230.90(A): 500 kcmil aluminum carries 310 A, next standard rating 350 A
    site = service(main_a=350, bus_a=400)
    site.add(r.Load, "load", "P", branch(200), va=20_000.0)
    project = site.project()
    fine(project, "wire-protected")
    larger = altered(project, "equipment", "P", main=r.Device(rating_a=400.0))
    broken(larger, "wire-protected", "T-P")


def house(device_a=100, size="2", **beside):
    """A dwelling's whole feeder, and whatever stands beside it in the same panel."""
    site = service()
    site.add(
        r.Panel, "house", "P",
        feeder(device_a, wires(size, size, material="al"), terminal_c=75), main=r.Device(rating_a=100.0),
    )  # fmt: skip
    site.add(r.DwellingLoad, "home", "house", {"protected_at": "none"}, floor_area_m2=150.0)
    for name, kind in beside.items():
        site.add(kind, name, "house", branch(20))
    return site


def test_the_dwelling_table_stands_for_240_4():
    # NEC 310.12: 2 AWG aluminum for a 100 A dwelling, though it carries 90 A
    fine(house().project(), "wire-protected")
    broken(house(size="3").project(), "wire-protected", "P-house")


def test_the_dwelling_table_is_for_one_dwelling_and_nothing_else():
    with_pump = house(pump=r.Motor).project()
    with_pump = altered(with_pump, "equipment", "pump", full_load_a=8.0)
    broken(with_pump, "wire-protected", "P-house")
    fine(altered(with_pump, "equipment", "pump", serves="home"), "wire-protected")
    broken(house(solar=r.Inverter).project(), "wire-protected", "P-house")


def test_joints_and_dwelling_loads_are_no_conductors():
    site = house()
    site.runs["house-home"] = r.Run(
        id="house-home", source="house", target="home", role="branch",
        device=r.Device(rating_a=15.0), conductors=r.Conductors(size="14", material="cu"),
    )  # fmt: skip
    project = site.project()
    for rule in ("wire-protected", "wire-carries-load", "run-device-carries-load"):
        fine(project, rule)
    project = fed(400, "2", 60 * 240.0)
    broken(project, "wire-protected", "P-sub")
    fine(altered(project, "runs", "P-sub", length_m=0.0), "wire-protected")


def test_sizes_that_were_not_read_say_nothing():
    project = fed(400, "2", 200 * 240.0)
    unread = altered(project, "runs", "P-sub", conductors=r.Conductors())
    for rule in ("wire-protected", "wire-carries-load"):
        fine(unread, rule)


def test_utility_conductors_are_passed_over():
    project = fed(400, "2", 200 * 240.0)
    fine(altered(project, "runs", "P-sub", owner="utility"), "wire-protected")


def test_a_generator_output_is_not_judged_by_the_load():
    # NEC 445.13 takes the nameplate of the set
    site = service()
    site.add(r.TransferSwitch, "ATS", "P", feeder(200))
    site.add(r.Panel, "sub", "ATS", {"length_m": 0.0, "protected_at": "none"})
    site.add(r.Load, "load", "sub", branch(200), va=24_000.0)
    site.add(r.Generator, "G", kw=10.0)
    site.join(
        "G", "ATS", role="generator output", lands_on="standby", length_m=5.0,
        device=r.Device(rating_a=50.0), conductors=wires("8", "8"),
    )  # fmt: skip
    project = site.project()
    for rule in ("run-device-carries-load", "wire-carries-load", "wire-protected"):
        fine(project, rule)
