"""Parallel sets, services, electrodes and bonding jumpers."""

import dataclasses

import pytest
from study.sizing.plan import FEET, NEW, facts, feeder, lines, plan

from ampacre.model import records as r
from ampacre.study.study import Study


def test_one_conductor_as_long_as_it_can():
    # 250 A of sizing current: 300 A device would be rounding; 350 kcmil aluminum carries 250 A.
    found = facts(feeder(60_000.0, length_m=10.0), "m-w")
    assert found.sets.value == 1
    assert (found.device.value, found.size.value) == (250, "350")


def test_two_sets_where_one_does_not_do_it():
    # 400 A: more than 350 A of ampacity; 600 kcmil carries 340 A; two sets of 4/0 carry 360 A.
    found = facts(feeder(96_000.0, length_m=10.0), "m-w")
    assert (found.sets.value, found.sets.how) == (2, "chosen")
    # the load of 400 A wants 400 A of conductor: two sets of 250 kcmil, 410 A
    assert (found.device.value, found.size.value) == (400, "250")
    assert found.ampacity.terminal_a == 410
    # A full-size grounding conductor in each raceway (NEC 250.122(F)), a neutral of 1/0 at least.
    assert found.grounding.value == "1"
    assert found.neutral.value == "1/0"
    note = lines(found)["Grounding conductor: 1 AWG or larger"].note
    assert "full size in each raceway" in note


def test_sets_for_the_drop_are_measured_from_the_single_conductor():
    # 70 A over 1,500 ft: 210 A kft, 7.2 V: 0.0343 ohm per 1000 ft; two sets of 600 kcmil aluminum
    # have 0.0185, 500 kcmil 0.0215, 350 0.0305, 300 0.0355.
    found = facts(feeder(16_800.0, length_m=1500 * FEET), "m-w")
    assert (found.sets.value, found.size.value) == (2, "350")
    assert found.governs == "voltage drop, 3 % at most"
    # 6 AWG x 700,000 / 52,620 = 349,066 circular mils: 350 kcmil, in each raceway.
    assert found.upsized_from == "3"
    assert found.grounding.value == "350"


def test_a_drop_that_nothing_usual_keeps_is_said():
    found = facts(feeder(16_800.0, length_m=9000 * FEET), "m-w")
    assert (found.sets.value, found.size.value) == (2, "600")
    assert found.size.why == "the largest that is usual; it does not keep the drop limit"
    assert found.drop_pct > 3


def service(main_a=None, *, va=40_000.0, electrodes=(), length_m=15.0, **wires):
    return plan(
        [
            (r.Panel, "s", "u", {**NEW, "role": "service", "protected_at": "load",
                                 "length_m": length_m, "conductors": r.Conductors(**wires)},
             {**NEW, "main": r.Device(rating_a=main_a), "structure": "shop"}),
            (r.Load, "l", "s", {**NEW, "role": "branch", "legs": "AB", "length_m": 5.0},
             {**NEW, "va": va, "continuous": False}),
        ],
        grounding=[r.Grounding(id="g", at="shop", electrodes=electrodes)] if electrodes else [],
    )  # fmt: skip


def test_service_conductors_are_protected_by_their_main():
    # A 200 A main: 4/0 aluminum, 180 A, by rounding up; 3/0, 155 A, would carry the load of 150 A.
    found = facts(service(200.0, va=36_000.0), "u-s")
    assert found.protecting_a == 200
    assert (found.size.value, found.governs) == ("4/0", "the device of 200 A")
    # It brings a neutral by Table 250.102(C)(1), 2 AWG aluminum for 4/0, though nothing uses it.
    assert found.demand.neutral_a == 0
    assert found.neutral.value == "2"
    assert found.grounding.value == "none"


def test_services_have_no_drop_limit_of_their_own():
    near, far = facts(service(200.0), "u-s"), facts(service(200.0, length_m=300.0), "u-s")
    assert near.size == far.size


def test_parallel_services_take_the_neutral_of_each_raceway():
    # Two sets of 500 kcmil aluminum: by the 500 kcmil in each, 1/0, which parallel sets need anyway.
    found = facts(service(600.0, size="500", material="al", sets=2), "u-s")
    assert found.neutral_needed == "1/0"
    larger = facts(service(800.0, size="600", material="al", sets=3), "u-s")
    assert larger.neutral_needed == "3/0"


@pytest.mark.parametrize(
    ("electrodes", "copper"),
    [
        ((), "4"),  # Table 250.66, 4/0 aluminum
        ((r.Electrode(kind="rod", count=2),), "6"),
        ((r.Electrode(kind="concrete-encased"),), "4"),
        ((r.Electrode(kind="rod"), r.Electrode(kind="metal water pipe")), "4"),
    ],
)
def test_electrode_conductor_of_a_service(electrodes, copper):
    found = Study(service(200.0, electrodes=electrodes)).equipment("s").grounding
    assert (found.hot, found.hot_material, found.hot_sets) == ("4/0", "al", 1)
    assert found.electrode["cu"] == copper
    assert found.jumper_kind == "main bonding jumper"
    assert (found.jumper["cu"], found.jumper["al"]) == ("4", "2")
    assert (found.record is not None) == bool(electrodes)


def test_a_service_by_bus_goes_by_the_conductors_its_load_would_need():
    # NEC Table 250.66 note 2: 200 A need 4/0 aluminum.
    found = Study(service(200.0, length_m=0.0)).equipment("s").grounding
    assert (found.hot, found.electrode["cu"]) == ("4/0", "4")
    assert any("no service conductors" in line.note for line in found.worksheet.lines)


def test_a_building_on_a_feeder_has_an_electrode_and_no_jumper():
    study = Study(feeder(16_800.0, length_m=240 * FEET))
    found = study.equipment("w").grounding
    assert (found.hot, found.electrode["cu"], found.electrode["al"]) == ("1/0", "8", "6")
    assert (found.jumper, found.jumper_kind) == ({}, "")
    # Nothing enters a building within one structure.
    same = feeder(16_800.0, panel={"structure": "yard"}, length_m=20.0)
    assert Study(same).equipment("w").grounding is None


def test_what_is_not_known_gives_no_electrode_conductor():
    project = feeder(16_800.0, length_m=20.0)
    run = dataclasses.replace(project, runs={
        **project.runs,
        "m-w": r.Run(id="m-w", source="m", target="w", length_m=20.0),
    })  # fmt: skip
    assert Study(run).equipment("w").grounding is None
