"""Circuits that articles of their own size: motors, transformers, taps, generators, dwellings."""

import dataclasses

import pytest
from study.build import served
from study.sizing.plan import FEET, NEW, branch, facts, feeder, lines, plan

from ampacre.model import records as r
from ampacre.study.study import Study


def test_a_motor_circuit():
    # 5 hp at 240 V draws 28 A by NEC Table 430.248: 35 A of conductor, a 70 A breaker (430.52).
    found = facts(branch(r.Motor, power_hp=5.0), "m-x")
    assert (found.device.value, found.size.value) == (70, "10")
    # 430.22 and 240.4(G): the device may exceed the conductors; its grounding conductor is by the
    # device, 8 AWG, but not larger than the circuit's own 10 AWG (250.122(A) and (D)).
    assert found.largest_device is None
    assert found.grounding.value == "10"
    assert found.neutral.value == "none"


def test_a_motor_behind_fuses():
    found = facts(branch(r.Motor, power_hp=5.0, run={"device": r.Device(kind="fuse")}), "m-x")
    assert found.device.value == 50


def test_a_packaged_unit_goes_by_its_marking():
    found = facts(
        branch(r.Motor, full_load_a=18.0, minimum_circuit_a=31.0, maximum_device_a=48.0), "m-x"
    )
    # 48 A is no rating: 45 A; 31 A needs 10 AWG, though 125 % of 18 A would do on 12.
    assert (found.device.value, found.size.value) == (45, "10")
    assert found.governs.startswith("31.0 A, the least marked on the unit")


def test_a_compressor_without_a_marking():
    # NEC 440.22(A): not above 175 % of 18 A, 31.5 A.
    found = facts(branch(r.Motor, full_load_a=18.0, compressor=True), "m-x")
    assert found.device.value == 30


def test_a_well_pump_with_the_cable_down_the_well():
    # A 2 hp pump, 12 A: the run to the wellhead and the cable below it are one circuit.
    well = plan(
        [
            (r.Junction, "head", "m", {**NEW, "role": "branch", "legs": "AB", "length_m": 60.0}, NEW),
            (r.Motor, "pump", "head", {**NEW, "role": "branch", "protected_at": "none",
                                       "length_m": 90.0}, {**NEW, "power_hp": 2.0}),
        ]
    )  # fmt: skip
    study = Study(well)
    head, down = study.run("m-head"), study.run("head-pump")
    assert head.device.value == 30
    assert head.neutral.value == "none"
    assert (down.device.value, down.protecting_a) == (None, 30)
    # 2 x 12 A x 0.2953 kft = 7.09 A kft, 7.2 V at most: 1.02 ohm per 1000 ft, 8 AWG (0.78).
    assert down.size.value == "8"
    # The head's 60 m: 4.72 A kft, 1.52 ohm per 1000 ft: 10 AWG (1.2).
    assert head.size.value == "10"
    assert down.total_drop_pct == pytest.approx(head.drop_pct + down.drop_pct)


def transformer(secondary, *, kva=25.0, device=None, **fields):
    primary = {**NEW, "length_m": 20.0, **({"device": r.Device(rating_a=device)} if device else {})}
    return plan(
        [
            (r.Transformer, "t", "m", primary, {**NEW, "kva": kva, "system": "120/240"}),
            (r.Panel, "w", "t", {**NEW, "role": "transformer secondary", "protected_at": "load",
                                 **secondary}, {**NEW, "main": r.Device(), **fields}),
            (r.Load, "l", "w", {**NEW, "role": "branch", "legs": "AB", "length_m": 5.0},
             {**NEW, "va": 20_000.0, "continuous": False}),
        ]
    )  # fmt: skip


def test_a_transformer_and_its_secondary():
    study = Study(transformer({"length_m": 5.0}))
    primary, secondary = study.run("m-t"), study.run("t-w")
    # 25 kVA at 240 V: 104.2 A; 125 % is 130.2 A, rounded up to 150 A (NEC 450.3(B)).
    assert primary.device.value == 150
    # The main takes 83.3 A: 90 A. Secondary conductors may not round up (240.21(C)): 90 A, 2 AWG.
    assert secondary.protecting_a == 90
    assert secondary.size.value == "2"
    assert secondary.tap.cite_key == "secondary_25"
    assert secondary.tap.least_a == pytest.approx(150 / 3)
    # Supply-side bonding jumper and neutral by Table 250.102(C)(1): 2 AWG aluminum asks for 6.
    assert secondary.grounding.value == secondary.neutral.value == "6"
    jumper = study.equipment("t").grounding
    assert (jumper.jumper_kind, jumper.jumper["cu"]) == ("system bonding jumper", "8")


def test_no_rounding_up_behind_a_transformer():
    # A 100 A main: 1 AWG carries 100 A; rounding up would have let 2 AWG (90 A) do.
    found = facts(transformer({"length_m": 5.0}, main=r.Device(rating_a=100.0)), "t-w")
    assert found.size.value == "1"
    assert found.governs == "the device of 100 A"


def test_a_third_of_a_large_primary_device_governs():
    # A 400 A device ahead: a third is 133.3 A, 2/0 aluminum (135 A).
    found = facts(transformer({"length_m": 5.0}, device=400.0), "t-w")
    assert found.size.value == "2/0"
    assert found.governs.startswith("133.3 A, a third of the device ahead")


def tap(**run):
    return plan(
        [
            (r.Junction, "j", "m", {**NEW, "length_m": 30.0, "device": r.Device(rating_a=400.0)}, NEW),
            (r.Panel, "w", "j", {**NEW, "role": "tap", "protected_at": "load", **run},
             {**NEW, "main": r.Device()}),
            (r.Charger, "c", "w", {**NEW, "role": "branch", "length_m": 5.0},
             {**NEW, "nameplate_a": 48.0}),
        ]
    )  # fmt: skip


def test_taps_by_their_length():
    ten, longer = facts(tap(length_m=10 * FEET), "j-w"), facts(tap(length_m=20 * FEET), "j-w")
    # To 10 ft: 40 A by the rule, 60 A by its main and load: 4 AWG aluminum (65 A).
    assert (ten.tap.cite_key, ten.size.value) == ("tap_10", "4")
    # To 25 ft: 133.3 A, 2/0.
    assert (longer.tap.cite_key, longer.size.value) == ("tap_25", "2/0")
    # Its grounding conductor is by the feeder's 400 A, 1 AWG, and not larger than the tap.
    assert longer.grounding.value == "1"
    assert ten.grounding.value == "4"
    indoors = facts(tap(length_m=40 * FEET, place="indoors"), "j-w")
    assert indoors.tap is None


def test_a_generator_output():
    # 22 kVA at 240 V: 91.7 A, 115 % of it 105.4 A (NEC 445.13): 1/0 aluminum, 120 A.
    project = plan(
        [
            (r.TransferSwitch, "ts", "m", {**NEW, "length_m": 20.0}, NEW),
            (r.Load, "l", "ts", {**NEW, "role": "branch", "legs": "AB", "length_m": 5.0},
             {**NEW, "va": 6000.0}),
        ]
    )  # fmt: skip
    generator = r.Generator(id="g", name="G", since="work", kw=22.0, kva=22.0)
    run = r.Run(
        id="g-ts", source="g", target="ts", since="work", role="generator output",
        lands_on="standby", device=r.Device(rating_a=100.0), length_m=8.0,
    )  # fmt: skip
    project = dataclasses.replace(
        project,
        equipment={**project.equipment, "g": generator},
        runs={**project.runs, "g-ts": run},
    )
    found = Study(project).run("g-ts")
    assert found.size.value == "1/0"
    assert found.governs == "105.4 A, 115 % of the generator's current"


APPLIANCES = (
    r.Appliance(kind="cooking", va=12_000.0),
    r.Appliance(kind="dryer", va=5_000.0),
    r.Appliance(kind="heat pump", full_load_a=40.0),
    r.Appliance(kind="supplementary heat", va=10_000.0),
)


def dwelling(*more, **run):
    pieces = [
        (r.Panel, "h", "m", {**NEW, "length_m": 20.0, **run}, {**NEW, "main": r.Device(), "structure": "shop"}),
        (r.DwellingLoad, "home", "h", {**NEW, "role": "branch"}, {**NEW, "floor_area_m2": 200.0, "appliances": APPLIANCES}),
        *more,
    ]  # fmt: skip
    return plan(pieces)


def test_the_whole_load_of_a_dwelling_by_310_12():
    found = facts(dwelling(device=r.Device(rating_a=200.0)), "m-h")
    # 83 % of 200 A is 166 A: 4/0 aluminum (180 A), which may have 200 A by the table.
    assert found.met_by_310_12
    assert found.needed == "4/0"
    assert found.largest_device == (200, "180 A is 83 % of it or more", "dwelling_83")
    assert lines(found)["Sizing current"].note == "met by 310.12"
    assert lines(found)["Whole load of one dwelling"].result == pytest.approx(166)


@pytest.mark.parametrize(
    ("kind", "fields"),
    [
        (r.Charger, {"nameplate_a": 40.0}),  # serves no dwelling
        (r.Inverter, {"output_a": 24.0}),  # a source at the far end
    ],
)
def test_310_12_ends_where_something_else_hangs_on_the_feeder(kind, fields):
    other = (
        kind,
        "x",
        "h",
        {**NEW, "role": "branch", "legs": "AB", "length_m": 9.0},
        {**NEW, **fields},
    )
    assert not facts(dwelling(other), "m-h").met_by_310_12


def test_a_charger_of_the_dwelling_keeps_it_whole():
    other = (r.Charger, "x", "h", {**NEW, "role": "branch", "legs": "AB", "length_m": 9.0},
             {**NEW, "nameplate_a": 40.0, "serves": "home"})  # fmt: skip
    assert facts(dwelling(other), "m-h").met_by_310_12


def test_a_load_of_the_dwelling_that_hangs_elsewhere_breaks_it():
    other = (r.Charger, "x", "m", {**NEW, "role": "branch", "legs": "AB", "length_m": 9.0},
             {**NEW, "nameplate_a": 40.0, "serves": "home"})  # fmt: skip
    assert not facts(dwelling(other), "m-h").met_by_310_12


def test_a_dwelling_has_100_a_at_least():
    found = facts(feeder(3_000.0), "m-w")
    assert found.device.value == 15
    small = plan(
        [
            (r.Panel, "h", "m", {**NEW, "length_m": 20.0}, {**NEW, "main": r.Device(), "structure": "shop"}),
            (r.DwellingLoad, "home", "h", {**NEW, "role": "branch"}, {**NEW, "floor_area_m2": 40.0}),
        ]
    )  # fmt: skip
    study = Study(small)
    assert study.run("m-h").device.value == 100
    assert study.equipment("h").chosen["main.rating_a"] == 100


def test_a_building_that_is_no_dwelling_has_a_disconnect_of_60_a():
    # NEC 225.39(D); with a single circuit 15 A would do (A).
    few = {**NEW, "role": "branch", "legs": "AB", "length_m": 5.0}
    project = plan(
        [
            (r.Panel, "w", "m", {**NEW, "length_m": 30.0}, {**NEW, "main": r.Device(), "structure": "shop"}),
            *[(r.Load, f"l{n}", "w", few, {**NEW, "va": 500.0}) for n in range(3)],
        ]
    )  # fmt: skip
    assert Study(project).equipment("w").chosen["main.rating_a"] == 60


def test_receptacles_on_a_branch_do_not_round_up():
    # At 70 C ambient 12 AWG carries 30 x 0.58 = 17.4 A: one receptacle may have 20 A by rounding
    # up, several may not (NEC 240.4(B)): 10 AWG, 23.2 A.
    hot = {"legs": "A", "ambient_c": 70.0, "length_m": 3.0}
    load = {"va": 1_500.0, "category": "receptacles"}
    one = facts(branch(r.Load, receptacles=1, run=hot, **load), "m-x")
    several = facts(branch(r.Load, receptacles=4, run=hot, **load), "m-x")
    assert (one.device.value, one.needed) == (20, "12")
    assert (several.device.value, several.needed) == (20, "10")
    assert several.governs == "the device of 20 A"


@pytest.mark.parametrize(
    ("system", "nonlinear_va", "counted", "corrected_a"),
    [
        # NEC 310.15(E): on a 4-wire wye whose load is mostly nonlinear the neutral counts, and four
        # conductors carry 80 %: 1 AWG aluminum has 115 A in the 90 C column of Table 310.16
        ("120/208", 18_000.0, 4, 0.8 * 115),
        ("120/208", 9_000.0, 4, 0.8 * 115),
        ("120/208", 7_000.0, 3, 115),
        ("120/208", 0.0, 3, 115),
        # two legs and the neutral of a single-phase supply carry their difference there
        ("120/240", 18_000.0, 2, 115),
    ],
)
def test_the_neutral_of_nonlinear_load_on_a_wye_counts(system, nonlinear_va, counted, corrected_a):
    site = served(system)
    wires = r.Conductors(size="1", material="al", neutral="1", insulation="XHHW-2")
    site.add(r.Panel, "q", "p", {"length_m": 20.0, "conductors": wires})
    for key, va, nonlinear in (("n", nonlinear_va, True), ("x", 18_000.0 - nonlinear_va, False)):
        run = {"role": "branch", "length_m": 5.0}
        site.add(r.Load, key, "q", run, va=va, uses_neutral=True, nonlinear=nonlinear)
    found = Study(site.project()).run("p-q")
    assert found.current_carrying == counted
    assert found.ampacity.corrected_a == pytest.approx(corrected_a)
    said = [line for line in found.worksheet.lines if "neutral counts" in line.label]
    assert len(said) == (counted == 4)
