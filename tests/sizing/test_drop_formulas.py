"""Voltage drop: the usual formulas against the exact solution."""

import cmath
import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from ampacre.sizing.drop import (
    receiving_power_v,
    receiving_v,
    three_phase_drop_v,
    three_wire_drop_v,
    two_wire_drop_v,
)
from ampacre.sizing.impedance import run_impedance

ohms = st.builds(
    complex, st.floats(min_value=1e-4, max_value=0.5), st.floats(min_value=0, max_value=0.5)
)
currents = st.floats(min_value=0, max_value=400)
factors = st.floats(min_value=0.3, max_value=1)


def test_a_charger_on_a_long_feeder():
    # 48 A over 320 ft of 4/0 aluminum in PVC at unity power factor: 3.07 V of 240.
    z = run_impedance("4/0", "al", "pvc", 1, 320 * 0.3048, 75)
    assert two_wire_drop_v(48, z, z, 1.0) == pytest.approx(3.072)
    assert 240 - receiving_v(240, 48, 2 * z, 1.0) == pytest.approx(3.075, abs=0.001)


def test_balanced_legs_drop_half_of_line_to_line():
    z, neutral = 0.03 + 0.01j, 0.05 + 0.01j
    assert three_wire_drop_v(100, 100, z, neutral, 0.9) == pytest.approx(
        two_wire_drop_v(100, z, z, 0.9) / 2
    )


def test_a_single_leg_is_a_two_wire_circuit():
    z, neutral = 0.03 + 0.01j, 0.05 + 0.01j
    assert three_wire_drop_v(60, 0, z, neutral, 0.9) == pytest.approx(
        two_wire_drop_v(60, z, neutral, 0.9)
    )


def test_the_idle_leg_rises_while_the_other_is_loaded():
    assert three_wire_drop_v(0, 60, 0.03 + 0j, 0.05 + 0j, 1.0) == pytest.approx(-3.0)


@given(currents, currents, ohms, ohms)
def test_three_wire_drop_is_the_phasor_sum_at_unity_power_factor(leg_a, other_a, line, neutral):
    e1, i1, i2 = 120 + 0j, leg_a + 0j, -other_a + 0j
    left = e1 - line * i1 - neutral * (i1 + i2)
    assert three_wire_drop_v(leg_a, other_a, line, neutral, 1.0) == pytest.approx(
        120 - left.real, abs=1e-9
    )


@given(st.floats(min_value=100, max_value=500), currents, ohms, factors)
def test_the_receiving_voltage_closes_the_circuit(send_v, current_a, loop, pf):
    left_v = receiving_v(send_v, current_a, loop, pf)
    assume(left_v is not None)
    current = cmath.rect(current_a, -math.acos(pf))
    assert abs(left_v + current * loop) == pytest.approx(send_v)


@given(st.floats(min_value=100, max_value=500), currents, ohms, factors)
def test_the_usual_formula_is_never_above_the_exact_drop(send_v, current_a, loop, pf):
    left_v = receiving_v(send_v, current_a, loop, pf)
    assume(left_v is not None)
    assert two_wire_drop_v(current_a, loop, 0j, pf) <= send_v - left_v + 1e-9


@given(
    st.floats(min_value=100, max_value=500),
    st.builds(complex, st.floats(0, 50_000), st.floats(0, 50_000)),
    ohms,
)
def test_constant_power_closes_the_circuit_too(send_v, load_va, loop):
    left_v = receiving_power_v(send_v, load_va, loop)
    assume(left_v is not None)
    current = (load_va / left_v).conjugate()
    assert abs(left_v + current * loop) == pytest.approx(send_v, rel=1e-6)


def test_where_there_is_no_operating_point():
    assert receiving_v(240, 2000, 0.5 + 0j, 1.0) is None
    assert receiving_v(240, 2000, 0.5j, 1.0) is None
    # The most that 240 V can send through 1 ohm is 240^2 / 4 = 14,400 W, at half the voltage.
    assert receiving_power_v(240, 14_399 + 0j, 1 + 0j) == pytest.approx(120, rel=0.01)
    assert receiving_power_v(240, 14_401 + 0j, 1 + 0j) is None


def test_three_phase_drop_between_lines():
    assert three_phase_drop_v(100, 0.02 + 0.01j, 1.0) == pytest.approx(math.sqrt(3) * 2)
