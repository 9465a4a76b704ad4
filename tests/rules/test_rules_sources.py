"""Standby sets, inverters on a bus, supplies and voltages."""

import pytest
from rules.build import altered, branch, broken, feeder, fine, message, remedied, service

from ampacre.model import records as r
from ampacre.rules.review import Review
from ampacre.study.study import Study

STANDBY = "generator-carries-transferred-load"
BUS = "bus-carries-sources"


def standby(kw=10.0, kept_va=8_000.0, shed_va=6_000.0, automatic=True):
    """A transfer switch ahead of a sub-panel, a load that must run and one that may be shed."""
    site = service()
    site.add(r.TransferSwitch, "ATS", "P", feeder(100), automatic=automatic)
    site.add(r.Panel, "sub", "ATS", {"length_m": 0.0, "protected_at": "none"})
    for name, va in (("kept", kept_va), ("shed", shed_va)):
        site.add(
            r.Load, name, "sub", branch(60), va=va, continuous=False,
            shed_on_standby=name == "shed",
        )  # fmt: skip
    site.add(r.Generator, "G", kw=kw)
    site.add(r.Disconnect, "D", "G", {"role": "generator output"})
    site.join("D", "ATS", role="feeder", protected_at="none", lands_on="standby")
    return site.project()


def test_an_automatic_set_carries_all_that_is_transferred():
    # NEC 702.4: 14 kVA on 10 kW, or 15 kW, or what the load manager leaves, 8 kVA
    finding = broken(standby(), STANDBY, "G")
    assert finding.severity == "violation"
    assert finding.values["load_kva"] == pytest.approx(14)
    assert message(standby(), STANDBY) == (
        "G gives 10 kW, 41.7 A a leg; 14 kVA is transferred to it automatically, 58.3 A on the "
        "heavier leg."
    )
    fine(standby(kw=15.0), STANDBY)
    remedied(standby(), STANDBY, "Let a load manager keep the marked loads off G")


def test_a_load_manager_is_no_remedy_where_it_leaves_too_much():
    remedied(standby(kept_va=12_000.0), STANDBY)


@pytest.mark.parametrize(
    ("automatic", "severity"), [(True, "violation"), (None, "warning"), (False, "advice")]
)
def test_by_hand_the_user_chooses(automatic, severity):
    assert broken(standby(automatic=automatic), STANDBY, "G").severity == severity


def test_each_leg_of_a_set_carries_its_load():
    # 6 kVA on one leg is 50 A; 10 kW at 240 V is 41.7 A a leg
    project = standby(kept_va=6_000.0, shed_va=0.0)
    fine(project, STANDBY)
    broken(altered(project, "runs", "sub-kept", legs="A"), STANDBY, "G")


def solar(output_a=32.0, main_a=200, bus_a=200, spaces=(1, 3), load_device_a=200, va=12_000.0):
    """An inverter in these spaces of a 30-space panel, and one load."""
    site = service(main_a=main_a, bus_a=bus_a)
    inverter = branch(40) | {"spaces": spaces, "legs": ""}
    site.add(r.Inverter, "sun", "P", inverter, output_a=output_a)
    load = branch(load_device_a) | {"spaces": (9, 11), "legs": ""}
    site.add(r.Load, "load", "P", load, va=va, continuous=False)
    return site.project()


def test_a_main_and_125_percent_of_the_inverter_within_the_bus():
    # NEC 705.12: 150 + 1.25 x 32 = 190 <= 200
    fine(solar(main_a=150), BUS)
    broken(solar(main_a=175), BUS, "P")


@pytest.mark.parametrize(
    ("bus_a", "main_a", "most_a"), [(200, 200, 32), (225, 200, 56), (200, 175, 52)]
)
def test_the_far_end_method(bus_a, main_a, most_a):
    # NEC 705.12, 120 % of the bus: (1.2 x 200 - 200) / 1.25 = 32 A, 56 A and 52 A
    fine(solar(most_a, main_a, bus_a, spaces=(28, 30)), BUS)
    broken(solar(most_a + 1, main_a, bus_a, spaces=(28, 30)), BUS, "P")
    broken(solar(most_a, main_a, bus_a, spaces=(2, 4)), BUS, "P")


def test_all_breakers_within_the_bus():
    # NEC 705.12: 40 + 160 <= 200, though the main is 200 A and the inverter near it
    fine(solar(load_device_a=160), BUS)
    broken(solar(load_device_a=161), BUS, "P")


def test_remedies_of_a_bus():
    remedied(
        solar(), BUS,
        "Move the breaker of the run to sun to spaces 28 and 30, the far end",
        "Fit a 150 A main in P",
        "Fit P with a 250 A bus",
    )  # fmt: skip


def test_a_bus_that_was_not_read_says_nothing():
    fine(solar(bus_a=None), BUS)


def test_no_supply():
    site = service()
    site.add(r.Panel, "loose")
    site.add(r.Charger, "C", "loose", branch(50), nameplate_a=40.0)
    site.add(r.Generator, "G", kw=10.0)
    review = Review(Study(site.project()))
    unsupplied = [found.where for found in review.findings if found.rule == "has-supply"]
    assert unsupplied == ["C", "loose"]
    site.join("P", "loose", **feeder(100))
    fine(site.project(), "has-supply")


def test_two_sources_without_a_transfer_switch():
    site = service()
    site.add(r.Generator, "G", kw=10.0)
    site.join("G", "P", role="generator output")
    broken(site.project(), "one-forming-source", "G")
    site = service()
    site.add(r.Generator, "G", kw=10.0)
    site.add(r.TransferSwitch, "ATS", "P", feeder(100))
    site.join("G", "ATS", role="generator output", lands_on="standby")
    fine(site.project(), "one-forming-source")


def test_a_second_path():
    site = service()
    site.add(r.Panel, "a", "P", feeder(100))
    site.add(r.Panel, "b", "P", feeder(100))
    site.join("a", "b", **feeder(60))
    project = site.project()
    finding = next(f for f in Review(Study(project)).findings if f.rule == "one-path")
    assert finding.where in project.runs
    remedied(project, "one-path", f"Leave out {project.runs[finding.where].name or 'the run to b'}")


@pytest.mark.parametrize(
    ("marked_v", "legs", "severity"),
    [
        (240.0, "AB", None), (230.0, "AB", None), (120.0, "A", None), (115.0, "A", None),
        (240.0, "A", "violation"), (120.0, "AB", "violation"), (208.0, "AB", "violation"),
    ],
)  # fmt: skip
def test_the_marked_voltage(marked_v, legs, severity):
    site = service()
    site.add(r.Motor, "pump", "P", branch(30, legs=legs), full_load_a=10.0, volts=marked_v)
    found = [f for f in Review(Study(site.project())).of("pump") if f.rule == "voltage-suits"]
    assert [f.severity for f in found] == ([severity] if severity else [])


def test_240_volts_on_one_leg_are_put_on_two():
    site = service()
    site.add(
        r.Charger,
        "C",
        "P",
        branch(50) | {"spaces": (1,), "legs": ""},
        nameplate_a=40.0,
        volts=240.0,
    )
    remedied(site.project(), "voltage-suits", "Connect the run to C to two legs")


def test_a_240_volt_unit_on_208_volts_is_advice():
    site = service()
    site.pieces["T"] = r.Transformer(
        id="T", name="T", owner="utility", system="120/208", kva=75.0, impedance_pct=2.0,
        impedance_basis="nameplate", x_r=2.0,
    )  # fmt: skip
    site.add(r.Charger, "C", "P", branch(50), nameplate_a=40.0, volts=240.0)
    assert broken(site.project(), "voltage-suits", "C").severity == "advice"
    fine(altered(site.project(), "equipment", "C", volts=208.0), "voltage-suits")
