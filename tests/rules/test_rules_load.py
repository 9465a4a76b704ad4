"""Each rating against the current that the code compares it with."""

import pytest
from rules.build import altered, branch, broken, feeder, fine, message, remedied, service

from ampacre.model import records as r


def loaded(site, source="P", **loads_va):
    """Put loads on both legs: `steady` is continuous, `other` is not."""
    for name, va in loads_va.items():
        site.add(r.Load, name, source, branch(800, legs="AB"), va=va, continuous=name == "steady")
    return site


def three_hundred_amperes(main_a, bus_a=300, class_a=320, listed=False):
    """Calculated 300 A of which 180 A are continuous: 345 A with 125 % of that part."""
    site = service(bus_a=bus_a, main=r.Device(rating_a=main_a, listed_100_pct=listed))
    del site.runs["T-P"]
    site.add(r.Meter, "M", "T", {"role": "service", "protected_at": "none"}, class_a=class_a)
    site.join("M", "P", role="service", protected_at="load")
    return loaded(site, steady=180 * 240, other=120 * 240).project()


def test_300_amperes_pass_a_class_320_meter_a_300_bus_and_a_350_device():
    # NEC 215.3 and 408.30: 120 + 1.25 x 180 = 345 A on the device, 300 A on bus and socket
    project = three_hundred_amperes(350)
    for rule in ("panel-main-carries-load", "bus-carries-load", "meter-carries-load"):
        fine(project, rule)


def test_300_amperes_fail_a_300_device_unless_it_is_listed_for_all_of_it():
    project = three_hundred_amperes(300)
    finding = broken(project, "panel-main-carries-load", "P")
    assert finding.values["load_a"] == pytest.approx(345)
    remedied(project, "panel-main-carries-load", "Fit a 350 A main in P, with a 400 A bus")
    fine(three_hundred_amperes(300, listed=True), "panel-main-carries-load")


def test_a_bus_below_the_calculated_load():
    project = three_hundred_amperes(350, bus_a=250)
    assert message(project, "bus-carries-load") == (
        "The bus of P is rated 250 A; its calculated load is 300 A."
    )
    remedied(project, "bus-carries-load", "Fit P with a 400 A bus")
    fine(altered(project, "equipment", "P", bus_a=300.0), "bus-carries-load")


def test_a_meter_below_the_calculated_load():
    project = three_hundred_amperes(350, class_a=200)
    assert message(project, "meter-carries-load") == (
        "M is a class 200 socket; its calculated load is 300 A."
    )
    remedied(project, "meter-carries-load", "Fit M with a class 320 socket")


def test_the_device_ahead_of_a_bus():
    # NEC 408.36: 200 A ahead of a 125 A bus with main lugs only
    site = service()
    site.add(r.Panel, "sub", "P", feeder(200), bus_a=125.0)
    project = loaded(site, "sub", other=4800).project()
    assert message(project, "bus-protected") == (
        "The bus of sub is rated 125 A behind a device of 200 A."
    )
    remedied(project, "bus-protected", "Fit sub with a 200 A bus", "Fit a 125 A main in sub")
    fine(altered(project, "runs", "P-sub", device=r.Device(rating_a=125.0)), "bus-protected")


def test_a_run_device_faces_125_percent_of_continuous_load():
    # NEC 210.20(A): 20 A continuous asks for 25 A
    site = service()
    site.add(r.Load, "steady", "P", branch(20), va=4800.0, continuous=True)
    project = site.project()
    finding = broken(project, "run-device-carries-load", "P-steady")
    assert finding.values["load_a"] == pytest.approx(25)
    remedied(project, "run-device-carries-load", "Fit the run to steady with a 25 A device")
    fine(altered(project, "equipment", "steady", continuous=False), "run-device-carries-load")
    full = r.Device(rating_a=20.0, listed_100_pct=True)
    fine(altered(project, "runs", "P-steady", device=full), "run-device-carries-load")


def test_a_larger_device_takes_its_conductors_with_it():
    # NEC 310.16: 10 AWG copper may have 30 A at most (240.4(D)), so 50 A needs 8 AWG (50 A, 75 C)
    site = service()
    site.add(
        r.Load, "kiln", "P",
        branch(
            30, r.Conductors(size="10", material="cu", grounding="10", grounding_material="cu"),
            terminal_c=75, raceway="steel",
        ),
        va=9600.0, continuous=True,
    )  # fmt: skip
    project = site.project()
    remedied(
        project,
        "run-device-carries-load",
        "Fit the run to kiln with a 50 A device and 8 AWG copper",
    )


def test_a_motor_device_is_compared_with_the_motor_alone():
    # NEC 430.52 sets the device; 28 A on 30 A is no overload though 125 % of it is 35 A
    site = service()
    site.add(r.Motor, "fan", "P", branch(30), full_load_a=28.0)
    fine(site.project(), "run-device-carries-load")
    broken(
        altered(site.project(), "equipment", "fan", full_load_a=32.0),
        "run-device-carries-load", "P-fan",
    )  # fmt: skip


def test_unknown_ratings_say_nothing():
    site = service()
    site.add(r.Panel, "sub", "P", {"length_m": 30.0})
    project = loaded(site, "sub", steady=48_000).project()
    for rule in ("run-device-carries-load", "bus-carries-load", "bus-protected"):
        assert [f for f in _at(project, "sub", "P-sub") if f.rule == rule] == []


def _at(project, *places):
    from ampacre.rules.review import Review
    from ampacre.study.study import Study

    review = Review(Study(project))
    return [found for place in places for found in review.of(place)]


def test_a_plain_switch_and_a_transfer_switch():
    for kind, rule in (
        (r.Disconnect, "switch-carries-load"),
        (r.TransferSwitch, "transfer-switch-carries-load"),
    ):
        site = service()
        site.add(kind, "S", "P", feeder(200), rating_a=100.0)
        site.add(r.Panel, "sub", "S", {"length_m": 0.0, "protected_at": "none"})
        project = loaded(site, "sub", other=110 * 240).project()
        assert message(project, rule) == "S is rated 100 A; its calculated load is 110 A."
        remedied(project, rule, "Fit S with a 200 A switch")
        # no 125 % here: 80 A continuous is 80 A
        lighter = altered(project, "equipment", "other", va=99 * 240.0, continuous=True)
        fine(lighter, rule)


def test_what_the_utility_owns_is_passed_over():
    project = three_hundred_amperes(350, class_a=200)
    fine(altered(project, "equipment", "M", owner="utility"), "meter-carries-load")
