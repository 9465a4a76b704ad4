"""Motor starts worked by hand, and the rule on them."""

import cmath
import math

import pytest
from pytest import approx
from rules.build import altered, broken, fine, message
from study.build import served, wires

from ampacre.model import records as r
from ampacre.sizing.impedance import run_impedance
from ampacre.study.study import Study

LOCKED = cmath.rect(1, math.acos(0.35))


def well(length_m=200.0, system="120/240", size="10", **motor):
    """A pump of 10 A behind 10 kA and a long run."""
    site = served(system)
    run = {"role": "branch", "length_m": length_m, "raceway": "pvc",
           "conductors": wires(size, None, "10")}  # fmt: skip
    site.add(r.Motor, "pump", "p", run, **{"full_load_a": 10.0} | motor)
    return site


def start(site):
    return Study(site.project()).equipment("pump").starting


def test_a_pump_at_the_end_of_a_long_run():
    # 60 A; 240 V / 10 kA at X/R 1.5 and twice 200 m of 10 AWG, against 4 ohm of locked rotor
    source = cmath.rect(240 / 10_000, math.atan(1.5))
    wire = 2 * run_impedance("10", "cu", "pvc", 1, 200.0, 75.0)
    motor = LOCKED * 240 / 60
    found = start(well())
    assert found.locked_a == 60
    assert found.dip_pct == approx(100 * (1 - abs(motor / (motor + source + wire))), rel=1e-3)


def test_three_phase():
    wire = run_impedance("10", "cu", "pvc", 1, 200.0, 75.0)
    source = cmath.rect(208 / 3**0.5 / 10_000, math.atan(1.5))
    motor = LOCKED * 208 / 3**0.5 / 60
    found = start(well(system="120/208"))
    assert found.dip_pct == approx(100 * (1 - abs(motor / (motor + source + wire))), rel=1e-3)


def test_an_entered_locked_rotor_current_and_a_drive():
    assert start(well(locked_rotor_a=35.0)).locked_a == 35
    assert start(well(drive_fed=True)) is None
    assert start(well(full_load_a=None)) is None
    assert start(well(length_m=None)) is None


@pytest.mark.parametrize(("subtransient_pct", "reactance_pct"), [(None, 25.0), (12.0, 18.0)])
def test_a_generator_dips_more(subtransient_pct, reactance_pct):
    site = served()
    site.add(r.TransferSwitch, "ats", "p", {"length_m": 0.0})
    site.add(r.Motor, "pump", "ats", {"role": "branch", "length_m": 0.0}, full_load_a=10.0)
    site.add(r.Generator, "g", kw=22.0, subtransient_pct=subtransient_pct)
    site.join("g", "ats", role="generator output", lands_on="standby", length_m=0.0)
    source = cmath.rect(240**2 / 22_000 * reactance_pct / 100, math.atan(20))
    motor = LOCKED * 240 / 60
    found = start(site)
    assert found.on == "g"
    assert found.dip_pct == approx(100 * (1 - abs(motor / (motor + source))), rel=1e-3)


def test_what_is_said_of_a_deep_dip():
    fine(well(50.0).project(), "motor-can-start")
    for length_m, severity, words in (
        (260.0, "advice", "it may not come up to speed"),
        (800.0, "warning", "contactors open"),
    ):
        project = well(length_m).project()
        assert broken(project, "motor-can-start", "pump").severity == severity
        assert words in message(project, "motor-can-start")
    fine(altered(well(800.0).project(), "equipment", "pump", drive_fed=True), "motor-can-start")
