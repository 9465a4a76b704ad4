"""Fault currents worked by hand, and what holds of them along any tree."""

import cmath
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from published import radial
from pytest import approx
from study.build import Site, served, wires, with_run

from ampacre.model import records as r
from ampacre.model.system import SYSTEMS
from ampacre.study.study import Study

BUS = {"role": "utility", "owner": "utility", "protected_at": "none", "length_m": 0.0}


def behind_transformer(
    system="120/240", kva=75.0, pct=1.7, x_r=1.6, basis="nameplate", utility=(None, None)
):
    """A panel at the terminals of a transformer; `utility` is kiloamperes and X/R at 7,200 V."""
    site = Site()
    site.add(r.UtilitySource, "grid", fault_ka=utility[0], x_r=utility[1])
    site.add(
        r.Transformer, "t", "grid", BUS, owner="utility", system=system, kva=kva, impedance_pct=pct,
        impedance_basis=basis, x_r=x_r,
    )  # fmt: skip
    site.add(r.Panel, "p", "t", {"role": "service", "protected_at": "none", "length_m": 0.0})
    return site


def fault(site, key="p"):
    return Study(site.project()).equipment(key).fault


def test_75_kva_of_1_7_per_cent():
    # 75,000 / 240 / 0.017 = 18.38 kA between lines. To neutral, with q = X/R = 1.6, that times
    # 2 sqrt((1 + q^2) / (1.5^2 + 1.2^2 q^2)) = 1.551: 28.5 kA
    found = fault(behind_transformer())
    assert found.source.line_line_ka == approx(18.38, abs=0.005)
    assert found.source.line_neutral_ka == approx(28.5, abs=0.05)
    assert found.source.ground_ka == found.source.line_neutral_ka
    assert found.source.three_phase_ka is None
    assert found.least == found.source, "a nameplate and no conductors: both studies agree"


def test_catalogue_impedance_is_taken_10_per_cent_either_way():
    found = fault(behind_transformer(basis="catalogue"))
    assert found.source.line_line_ka == approx(18.38 / 0.9, rel=1e-3)
    assert found.least.line_line_ka == approx(18.38 / 1.1, rel=1e-3)


def test_impedance_method_handbook_example():
    # By hand from handbook formulas: 50 kVA, R 0.90 %, X 1.44 %, behind 2 kA at 7,200 V of X/R 3:
    # 10,226 A between lines and 16,517 A to neutral; then 100 ft of 4/0 aluminum with a 2/0
    # neutral in PVC, cold: 5,963 A and 4,053 A; hot: 5,629 A and 3,590 A.
    pct, x_r = math.hypot(0.90, 1.44), 1.44 / 0.90
    finite = fault(behind_transformer(kva=50.0, pct=pct, x_r=x_r, utility=(2.0, 3.0)))
    assert finite.source.line_line_ka == approx(10.226, rel=1e-3)
    assert finite.source.line_neutral_ka == approx(16.517, rel=1e-3)
    site = behind_transformer(kva=50.0, pct=pct, x_r=x_r, utility=(2.0, 3.0))
    run = {"length_m": 30.48, "raceway": "pvc", "conductors": wires("4/0", "2/0", "4", "al")}
    site.add(r.Panel, "far", "p", run)
    far = fault(site, "far")
    assert (far.source.line_line_ka, far.source.line_neutral_ka) == (
        approx(5.963, rel=1e-3), approx(4.053, rel=1e-3),
    )  # fmt: skip
    assert (far.least.line_line_ka, far.least.line_neutral_ka) == (
        approx(5.629, rel=1e-3), approx(3.590, rel=1e-3),
    )  # fmt: skip


def test_three_phase_generator_has_its_root_three():
    # A published figure, 10,854 A for 500 kVA at 415 V and X"d 0.111, lacks the root of three:
    # 695.6 A / 0.111 = 6,267 A. The same full-load current at 480 V needs 578.3 kVA.
    site = Site()
    site.add(
        r.Generator, "g", system="277/480", kva=500 * 480 / 415, subtransient_pct=11.1,
    )  # fmt: skip
    found = Study(site.project()).equipment("g").fault
    assert found.greatest.three_phase_ka == approx(6.267, rel=1e-3)
    assert found.greatest.line_line_ka == approx(6.267 * math.sqrt(3) / 2, rel=1e-3)


STATED = {
    # a service of 10 kA: between lines, to neutral, three-phase, to ground [kA], by hand
    "120": (None, 10, None, 10),
    "240": (10, None, None, None),
    "120/208 single-phase": (10, 10 * 2 / math.sqrt(3), None, 10 * 2 / math.sqrt(3)),
    "480": (10, None, None, 10),
    "120/208": (10 * math.sqrt(3) / 2, 10, 10, 10),
    "277/480": (10 * math.sqrt(3) / 2, 10, 10, 10),
    # one corner of a delta is grounded: a fault to ground is one between lines
    "480 delta": (10 * math.sqrt(3) / 2, None, 10, 10 * math.sqrt(3) / 2),
}


@pytest.mark.parametrize("system", STATED)
def test_service_of_stated_fault_current(system):
    found = fault(served(system)).source
    line_line, line_neutral, three_phase, ground = STATED[system]
    assert found.line_line_ka == (line_line and approx(line_line))
    assert found.line_neutral_ka == (line_neutral and approx(line_neutral))
    assert found.three_phase_ka == (three_phase and approx(three_phase))
    if ground:
        assert found.ground_ka == approx(ground)


def test_delta_wye_to_ground_is_a_little_more_than_three_phase():
    # 3 / (2 (Zt + Zu) + Zt): the delta keeps the utility out of the zero sequence
    site = behind_transformer("120/208", kva=150.0, pct=3.0, x_r=2.0, utility=(1.0, 2.0))
    zt = 0.03 * 208**2 / 150_000
    zu = 7200 / math.sqrt(3) / 1000 * (208 / 7200) ** 2
    found = fault(site).source
    e = 208 / math.sqrt(3)
    assert found.three_phase_ka == approx(e / (zt + zu) / 1000)
    assert found.line_neutral_ka == approx(3 * e / (2 * (zt + zu) + zt) / 1000)


def test_high_leg_bank_to_neutral():
    # Three like units in delta: the tapped one gives 0.875 R + j 0.65 X of the bank's leg impedance
    site = behind_transformer("120/240 high-leg", kva=150.0, pct=2.0, x_r=1.5)
    leg = 0.02 * 240**2 / 150_000 * complex(1, 1.5) / abs(complex(1, 1.5))
    found = fault(site).source
    assert found.three_phase_ka == approx(240 / math.sqrt(3) / abs(leg) / 1000)
    assert found.line_neutral_ka == approx(
        120 / abs(complex(0.875 * leg.real, 0.65 * leg.imag)) / 1000
    )
    assert found.line_neutral_ka > found.three_phase_ka


def test_transformer_from_one_leg_to_neutral():
    # 277 V to 120/240: what lies ahead is the loop to neutral, through (240 / 277.1)^2
    site = served("277/480")
    run = {"length_m": 0.0, "legs": "A"}
    unit = {"kva": 25.0, "impedance_pct": 2.0, "impedance_basis": "nameplate", "x_r": 1.5}
    site.add(r.Transformer, "t", "p", run, system="120/240", **unit)
    leg_v = 480 / math.sqrt(3)
    ahead = leg_v / 10_000 * (240 / leg_v) ** 2 * complex(1, 1.5) / abs(complex(1, 1.5))
    own = 0.02 * 240**2 / 25_000 * complex(1, 1.5) / abs(complex(1, 1.5))
    assert fault(site, "t").source.line_line_ka == approx(240 / abs(ahead + own) / 1000)


def test_a_circuit_without_neutral_has_no_fault_to_it():
    site = served()
    run = {"length_m": 30.0, "conductors": wires("6", "none", "10"), "raceway": "pvc"}
    site.add(r.Charger, "c", "p", run, nameplate_a=40.0)
    found = fault(site, "c")
    assert found.source.line_neutral_ka is None
    assert found.greatest.line_neutral_ka is None
    assert found.source.line_line_ka < fault(site).source.line_line_ka
    assert found.greatest.greatest_ka == found.source.line_line_ka


def test_what_is_not_known_is_nothing_for_the_greatest_and_no_figure_for_the_least():
    site = served()
    site.add(r.Panel, "q", "p", {})
    found, above = fault(site, "q"), fault(site)
    assert found.source.line_line_ka == above.source.line_line_ka
    assert found.source.line_neutral_ka == above.source.line_neutral_ka
    assert found.least.line_line_ka is None
    assert Study(site.project()).run("p-q").ground_a is None


def test_old_three_wire_feeder_returns_by_its_bonded_neutral():
    run = {"length_m": 40.0, "conductors": wires("2", "4", "none"), "raceway": "pvc"}
    site = served()
    site.add(r.Panel, "barn", "p", run, neutral_bonded=True)
    site.add(r.Panel, "shed", "p", run, neutral_bonded=False)
    barn, shed = fault(site, "barn"), fault(site, "shed")
    assert barn.least.ground_ka == approx(barn.least.line_neutral_ka)
    assert shed.least.ground_ka is None, "neither wire nor bond brings the current back"


def test_both_states_count():
    # Utility 10 kA; 22 kW set of 25 % (not entered: 10 % for the greatest): 22,000/240/0.25
    site = served()
    run = {"length_m": 0.0, "conductors": wires("2", "2", "8")}
    site.add(r.TransferSwitch, "ats", "p", run)
    site.add(r.Panel, "q", "ats", run)
    site.add(r.Generator, "g", kw=22.0)
    site.join("g", "ats", role="generator output", lands_on="standby", **run)
    found = fault(site, "q")
    assert found.greatest.line_line_ka == approx(10)
    assert found.least.line_line_ka == approx(22_000 / 240 / 0.25 / 1000)
    assert fault(site, "p").least.line_line_ka == approx(10)
    generator = fault(site, "g")
    assert generator.greatest.line_line_ka == approx(22_000 / 240 / 0.10 / 1000)


def test_three_phase_motor_adds_four_times_its_current():
    # At its own terminals and with the same angle as the source: 10 kA and 4 x 100 A
    site = served("120/208")
    direction = complex(0.35, 0.937)
    site.pieces["grid"] = r.UtilitySource(
        id="grid", name="grid", system="120/208", fault_ka=10.0, x_r=direction.imag / direction.real
    )
    site.add(r.Motor, "m", "p", {"length_m": 0.0, "conductors": wires("1/0")}, full_load_a=100.0)
    found = fault(site)
    assert found.greatest.three_phase_ka == approx(10.4, rel=1e-3)
    assert found.greatest.line_line_ka == approx(10.4 * math.sqrt(3) / 2, rel=1e-3)
    assert found.source.three_phase_ka == approx(10)


def test_inverter_adds_1_2_times_its_current_and_a_drive_or_small_motor_nothing():
    site = served()
    run = {"length_m": 10.0, "conductors": wires("8", "none", "10"), "raceway": "pvc"}
    site.add(r.Inverter, "pv", "p", run, output_a=40.0)
    site.add(r.Motor, "small", "p", run, full_load_a=6.0)
    site.add(r.Motor, "driven", "p", run, full_load_a=30.0, drive_fed=True)
    found = fault(site)
    assert found.machines_ka == approx(0.048)
    assert found.least.line_line_ka == approx(10), "none of them counts for clearing"


SYSTEM = st.sampled_from(sorted(radial.LEG_V))
LEVELS = ("line_line_ka", "line_neutral_ka", "three_phase_ka", "ground_ka")


@given(SYSTEM, st.integers(0, 10**6))
def test_faults_never_rise_along_a_run(system, seed):
    made = radial.plan(seed, system, 25)
    study = Study(radial.project_of(made))
    for key, spot in made.spots.items():
        if spot.parent == "t" or spot.legs == "B":
            # the figure to neutral is that of the outer legs of a high-leg delta
            continue
        here, above = study.equipment(key), study.equipment(spot.parent)
        for name in LEVELS:
            for found in ("source", "least", "greatest"):
                one, other = (getattr(getattr(f.fault, found), name) for f in (here, above))
                if one is not None and other is not None:
                    assert one <= other * (1 + 1e-9), (key, name, found)


@given(SYSTEM, st.integers(0, 10**6), st.floats(1.0, 200.0), st.data())
def test_a_longer_run_raises_no_fault_current_and_lowers_no_drop(system, seed, more_m, data):
    made = radial.plan(seed, system, 25, load_kva=10.0)
    project = radial.project_of(made)
    key = data.draw(st.sampled_from(sorted(run for run in project.runs if run != "u-t")))
    longer = with_run(project, key, length_m=project.runs[key].length_m + more_m)
    before, after = Study(project), Study(longer)
    for facts in after.all_equipment():
        old = before.equipment(facts.piece.id).fault
        if old is None:
            continue
        for study in ("source", "least"):
            for name in LEVELS:
                one, other = (getattr(getattr(f, study), name) for f in (facts.fault, old))
                assert one is None or one <= other * (1 + 1e-9)
    for facts in after.all_runs():
        old = before.run(facts.run.id)
        assert facts.drop_pct >= old.drop_pct - 1e-9
        if facts.total_drop_pct is not None:
            assert facts.total_drop_pct >= old.total_drop_pct - 1e-9
        if facts.ground_a is not None:
            assert facts.ground_a <= old.ground_a + 1e-9
    assert after.run(key).drop_pct >= before.run(key).drop_pct


def test_phasors_of_the_systems():
    # each leg's voltage to neutral and between legs, as the trade names the system
    for name, system in SYSTEMS.items():
        between = {
            round(abs(a - b)) for i, a in enumerate(system.leg_v) for b in system.leg_v[i + 1 :]
        }
        if len(system.legs) > 1:
            assert between == {round(system.line_v)}, name
    high = SYSTEMS["120/240 high-leg"].leg_v
    assert [round(abs(v)) for v in high] == [120, 208, 120]
    assert cmath.phase(high[1]) == approx(-math.pi / 2)
