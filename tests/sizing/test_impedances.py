"""Impedances of runs and transformers."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ampacre.sizing.impedance import (
    centre_tap_halves,
    run_impedance,
    transformer_impedance,
)

positive = st.floats(min_value=1e-4, max_value=10)
impedances = st.builds(complex, positive, positive)


def test_a_run_of_1000_ft_at_75_c_is_the_table():
    assert run_impedance("4/0", "al", "pvc", 1, 304.8, 75) == pytest.approx(0.10 + 0.041j)


def test_sets_share_the_current():
    one = run_impedance("350", "al", "pvc", 1, 100, 75)
    assert run_impedance("350", "al", "pvc", 3, 100, 75) == pytest.approx(one / 3)


def test_cold_conductors_have_less_resistance_and_the_same_reactance():
    # Table 8, note 2: R2 = R1 (1 + a (T2 - 75)); 25 C is 83.85 % for copper, 83.5 % for aluminum.
    for material, share in (("cu", 0.8385), ("al", 0.835)):
        hot = run_impedance("1/0", material, "steel", 1, 50, 75)
        cold = run_impedance("1/0", material, "steel", 1, 50, 25)
        assert cold.real == pytest.approx(hot.real * share)
        assert cold.imag == hot.imag


def test_temperature_coefficients_follow_from_those_at_20_c():
    # 0.00393 and 0.00403 per degree at 20 C, taken to 75 C.
    for material, at_20_c in (("cu", 0.00393), ("al", 0.00403)):
        hot = run_impedance("1/0", material, "pvc", 1, 50, 76).real
        base = run_impedance("1/0", material, "pvc", 1, 50, 75).real
        assert hot / base - 1 == pytest.approx(at_20_c / (1 + 55 * at_20_c), rel=0.005)


@given(
    st.floats(min_value=0.5, max_value=2500),
    st.floats(min_value=120, max_value=480),
    st.floats(min_value=0.5, max_value=10),
    st.floats(min_value=0.1, max_value=20),
)
def test_a_transformer_has_its_nameplate_impedance_and_ratio(kva, line_v, pct, x_r):
    z = transformer_impedance(kva, line_v, pct, x_r)
    assert abs(z) == pytest.approx(pct / 100 * line_v**2 / (kva * 1000))
    assert z.imag / z.real == pytest.approx(x_r)


@given(impedances)
def test_the_halves_give_back_the_full_winding_and_the_line_to_neutral_fault(z_ll):
    # Currents leave lines 1 and 2; V = E - [[Zh + Z0h, -Z0h], [-Z0h, Zh + Z0h]] I.
    common, half = centre_tap_halves(z_ll)

    def drops(i1, i2):
        return (half + common) * i1 - common * i2, (half + common) * i2 - common * i1

    of_line_1, _ = drops(1, 0)
    # 1.5 R + j 1.2 X on the base of half the voltage, which is a quarter of the whole
    assert of_line_1 == pytest.approx(complex(1.5 * z_ll.real, 1.2 * z_ll.imag) / 4)
    of_line_1, of_line_2 = drops(1, -1)
    assert of_line_1 - of_line_2 == pytest.approx(z_ll)


@given(impedances)
def test_line_to_neutral_at_the_terminals_exceeds_line_to_line(z_ll):
    # The ratio lies between 1.33 (no reactance) and 1.67 (no resistance).
    ratio = (120 / abs(sum(centre_tap_halves(z_ll)))) / (240 / abs(z_ll))
    assert 4 / 3 - 1e-9 <= ratio <= 5 / 3 + 1e-9


def test_a_75_kva_unit_of_1_7_per_cent():
    z = transformer_impedance(75, 240, 1.7, 1.6)
    assert 240 / abs(z) == pytest.approx(18_382, abs=1)
    assert 120 / abs(sum(centre_tap_halves(z))) == pytest.approx(28_470, abs=1)
