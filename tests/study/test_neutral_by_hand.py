"""Neutrals and unlike legs: the cases that go wrong most easily, worked by hand.

Two come from teaching material (the sources' own figures, recomputed): a multiwire circuit that
loses its neutral, from posted slides "Open (lost) neutral"; and unequal loads in star, from
Principles of Power System, V. K. Mehta and R. Mehta, example 14.7.
"""

import cmath
import math

import numpy as np
import pytest
from pytest import approx
from study.build import served, wires

from ampacre.model import records as r
from ampacre.model.system import SYSTEMS, System, narrowed
from ampacre.study.study import Study
from ampacre.study.sweep import IMPEDANCE, LoadColumns, Zone, sweep
from ampacre.study.wires import design_drop


def two_pieces(source_v, neutral_ohm, loads):
    """A source and a piece without impedance but for the neutral; loads as (leg, to, va, volts)."""
    columns = zip(
        *((1, leg, to, va + 0j, volts, IMPEDANCE) for leg, to, va, volts in loads), strict=True
    )
    legs = len(source_v)
    return Zone(
        np.array([2, 2]), np.zeros((2, legs), complex), np.array([0j, neutral_ohm]),
        np.array(source_v, complex), np.zeros((legs, legs), complex),
        LoadColumns(*map(np.array, columns)), None,
    )  # fmt: skip


def test_multiwire_circuit_while_its_neutral_holds():
    # 100 W and 200 W at 120 V: 0.8333 A, 1.6667 A, and 0.8333 A in the neutral
    zone = two_pieces([120, -120], 0j, [(0, -1, 100, 120.0), (1, -1, 200, 120.0)])
    amperes = sweep([zone]).amperes[0][1]
    assert np.abs(amperes) == approx([0.8333, 1.6667], rel=1e-4)
    assert abs(amperes.sum()) == approx(0.8333, rel=1e-4)


@pytest.mark.parametrize("neutral_ohm", [1.0, 10.0, 30.0])
def test_multiwire_circuit_as_its_neutral_fails(neutral_ohm):
    # 144 ohm and 72 ohm; with the neutral gone 160 V and 80 V, on the way there Millman's theorem
    zone = two_pieces([120, -120], complex(neutral_ohm), [(0, -1, 100, 120.0), (1, -1, 200, 120.0)])
    solution = sweep([zone])
    assert solution.converged

    def shifted(conductance):
        return (120 / 144 - 120 / 72) / (1 / 144 + 1 / 72 + conductance)

    assert [120 - shifted(0.0), 120 + shifted(0.0)] == approx([160, 80], rel=1e-4)
    middle = shifted(1 / neutral_ohm)
    assert solution.volts[0][1].real == approx([120 - middle, -120 - middle], rel=1e-6)


def test_unequal_loads_in_star():
    # 10, 8 and 5 kW at 400 V: 43.3, 34.64 and 21.65 A, and 18.87 A in the neutral
    leg_v = [cmath.rect(400 / math.sqrt(3), math.radians(at)) for at in (0, -120, 120)]
    loads = [(leg, -1, kw * 1000, abs(leg_v[leg])) for leg, kw in enumerate((10, 8, 5))]
    amperes = sweep([two_pieces(leg_v, 0j, loads)]).amperes[0][1]
    assert np.abs(amperes) == approx([43.3, 34.64, 21.65], rel=5e-4)
    assert abs(amperes.sum()) == approx(18.87, rel=5e-4)
    star = System("120/208", "ABC", tuple(leg_v), 400.0, neutral=True, ground_v=abs(leg_v[0]))
    drop_pct = design_drop((43.3, 34.64, 21.65), star, 0j, 1 + 0j)
    assert drop_pct * abs(leg_v[0]) / 100 == approx(18.87, rel=5e-4), "1 ohm of neutral"


DROPS = {
    # by hand, 10 A and 0.1 ohm in every conductor: volts lost in the circuit, and of how many
    "two wires of 120/240": ("120/240", "AB", (10, 10), False, 2.0, 240),
    "three wires of 120/240, balanced": ("120/240", "AB", (10, 10), True, 1.0, 120),
    "three wires of 120/240, one leg": ("120/240", "AB", (10, 0), True, 2.0, 120),
    "one leg and neutral": ("120/240", "A", (10,), True, 2.0, 120),
    "two wires of a wye": ("120/208", "AB", (10, 10), False, 2.0, 208),
    "two legs of a wye and neutral, balanced": ("120/208", "AB", (10, 10), True, 2.0, 208 / 3**0.5),
    "wye, balanced": ("120/208", "ABC", (10, 10, 10), True, 1.0, 208 / 3**0.5),
    "wye, one leg": ("120/208", "ABC", (10, 0, 0), True, 2.0, 208 / 3**0.5),
    "three-phase motor on 277/480": ("277/480", "ABC", (10, 10, 10), False, 3**0.5, 480),
    "two wires of 277/480": ("277/480", "BC", (10, 10), False, 2.0, 480),
    "delta": ("240 delta", "ABC", (10, 10, 10), False, 3**0.5, 240),
    "high-leg delta, three-phase motor": (
        "120/240 high-leg",
        "ABC",
        (10, 10, 10),
        False,
        3**0.5,
        240,
    ),
    "high-leg delta, 120 V load on one leg": (
        "120/240 high-leg",
        "ABC",
        (10, 0, 0),
        True,
        2.0,
        120,
    ),
    "high-leg delta, outer legs balanced": ("120/240 high-leg", "AC", (10, 10), True, 1.0, 120),
}


@pytest.mark.parametrize("case", DROPS)
def test_design_drop(case):
    name, legs, amperes, with_neutral, lost_v, of_v = DROPS[case]
    system = narrowed(SYSTEMS[name], legs)
    ohms = 0.1 + 0.05j
    found = design_drop(amperes, system, ohms, ohms if with_neutral else None)
    assert found == approx(100 * lost_v / of_v), "resistances alone"


def test_three_phase_load_on_a_high_leg_delta_has_no_neutral_drop():
    # with the neutral pulled along, a balanced load loses 1 V of 120 at most, nothing in the neutral
    system = SYSTEMS["120/240 high-leg"]
    assert design_drop((10, 10, 10), system, 0.1 + 0j, 0.1 + 0j) == approx(100 / 120)


def outlet(site, key, va, legs, **more):
    site.add(
        r.Load, key, "p", {"role": "branch", "length_m": 5.0, "legs": legs}, va=va,
        continuous=False, category="other", **more,
    )  # fmt: skip


def neutral_of(site):
    return Study(site.project()).equipment("p").demand.neutral_a


def test_neutral_is_the_greatest_load_to_one_leg():
    # NEC 220.61(A): 30 A on one leg, 20 A on the other, 40 A between the legs: 30 A
    site = served()
    outlet(site, "a", 3_600, "A")
    outlet(site, "b", 2_400, "B")
    outlet(site, "c", 9_600, "AB")
    assert neutral_of(site) == approx(30)
    # running, the phasors leave 10 A
    feeder = {"length_m": 0.0}
    site.add(r.Panel, "q", "p", feeder)
    site.add(r.Load, "d", "q", {"legs": "A"}, va=3_600, category="heat")
    site.add(r.Load, "e", "q", {"legs": "B"}, va=2_400, category="heat")
    assert Study(site.project()).running("p-q").neutral_a == approx(10, rel=0.02)


@pytest.mark.parametrize(
    ("system", "legs", "neutral_a"),
    [
        # NEC 220.61(B): 300 A to neutral on a leg count 200 + 0.7 x 100
        ("120/240", "AB", 270),
        ("120/208", "ABC", 270),
        # NEC 220.61(C): two legs of a wye carry all of it in the neutral
        ("120/208 single-phase", "AB", 300),
    ],
)
def test_what_exceeds_200_a(system, legs, neutral_a):
    site = served(system)
    leg_v = abs(SYSTEMS[system].leg_v[0])
    for leg in legs:
        outlet(site, leg.lower(), 300 * leg_v, leg)
    assert neutral_of(site) == approx(neutral_a)


@pytest.mark.parametrize(
    ("system", "kept"), [("120/240", 0.7), ("120/208", 0.7), ("120/208 single-phase", 1.0)]
)
def test_ranges_and_dryers_count_70_per_cent_but_not_on_two_legs_of_a_wye(system, kept):
    # one range of 8 kVA demand and one dryer of 5 kVA on two legs: half of it against each leg
    site = served(system)
    site.add(
        r.DwellingLoad, "house", "p", {"length_m": 5.0, "legs": "AB"}, small_appliance_circuits=0,
        laundry_circuits=0,
        appliances=(r.Appliance(kind="cooking", va=12_000), r.Appliance(kind="dryer", va=5_000)),
    )  # fmt: skip
    leg_v = abs(SYSTEMS[system].leg_v[0])
    assert neutral_of(site) == approx(kept * 13_000 / (2 * leg_v))


def test_neutral_of_two_legs_of_a_wye_runs_as_full_as_a_leg():
    # 20 A of heat on each of two legs, 120 degrees apart: 20 A back by the neutral
    site = served("120/208")
    site.add(r.Panel, "q", "p", {"length_m": 0.0, "legs": "AB"})
    leg_v = 208 / 3**0.5
    for leg in "AB":
        site.add(
            r.Load, leg.lower(), "q", {"legs": leg, "length_m": 0.0}, va=20 * leg_v, category="heat"
        )
    study = Study(site.project())
    assert study.running("p-q").leg_a == approx((20, 20), rel=0.01)
    assert study.running("p-q").neutral_a == approx(20, rel=0.01)
    assert study.run("p-q").demand.neutral_a == approx(20)
    assert study.run("p-q").system.name == "120/208 single-phase"


def test_dwelling_on_a_high_leg_delta_has_its_120_v_loads_on_the_outer_legs():
    # 7,500 VA of lighting and circuits (3,000 + 35 % of 4,500 = 4,575 VA) over two legs of 120 V
    site = served("120/240 high-leg")
    site.add(
        r.DwellingLoad, "house", "p", {"length_m": 5.0}, small_appliance_circuits=4,
        laundry_circuits=1,
    )  # fmt: skip
    assert neutral_of(site) == approx(4_575 / 240)


def test_one_leg_loads_of_every_system_at_their_own_voltage():
    # 1,200 VA on one leg: 10 A at 120 V, 4.33 A at 277 V, 5.77 A on the 208 V high leg
    for system, leg, volts in (
        ("120/240", "B", 120), ("120/208", "C", 208 / 3**0.5), ("277/480", "A", 480 / 3**0.5),
        ("240/480", "A", 240), ("120/240 high-leg", "B", 120 * 3**0.5),
    ):  # fmt: skip
        site = served(system)
        outlet(site, "x", 1_200, leg)
        study = Study(site.project())
        assert study.run("p-x").calculated_a == approx(1_200 / volts), system
        at_panel = study.equipment("p").demand.calculated_a[SYSTEMS[system].legs.index(leg)]
        assert at_panel == approx(1_200 / volts), system
        assert study.run("p-x").volts == approx(volts)


def test_loads_between_two_and_three_legs():
    # 9,600 VA: 40 A on 240 V, 46.2 A on 208 V, 26.6 A on three legs of 208 V, 11.5 A on 480 V
    for system, legs, amperes in (
        ("120/240", "AB", 40), ("120/208", "BC", 9_600 / 208), ("120/208", "ABC", 9_600 / 208 / 3**0.5),
        ("277/480", "ABC", 9_600 / 480 / 3**0.5), ("120/240 high-leg", "AC", 40),
        ("240 delta", "ABC", 40 / 3**0.5), ("480", "AB", 20),
    ):  # fmt: skip
        site = served(system)
        outlet(site, "x", 9_600, legs)
        study = Study(site.project())
        assert study.run("p-x").calculated_a == approx(amperes), (system, legs)
        assert study.equipment("p").demand.heavier_a == approx(amperes), (system, legs)


def test_a_balanced_motor_runs_balanced_on_a_high_leg_delta():
    site = served("120/240 high-leg")
    run = {
        "role": "branch",
        "length_m": 30.0,
        "conductors": wires("10", "none", "10"),
        "raceway": "pvc",
    }
    site.add(r.Motor, "pump", "p", run, full_load_a=20.0)
    found = Study(site.project()).running("p-pump")
    assert found.leg_a == approx((found.leg_a[0],) * 3, rel=0.005)
    assert found.neutral_a == approx(0, abs=0.05)
    # constant power: a little more current than at nominal voltage
    assert 20 < found.leg_a[0] < 21
