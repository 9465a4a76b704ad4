"""Devices of motor circuits and feeders (NEC 430.52, 430.62) and of transformers (450.3(B))."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ampacre.codebook.articles import EDITIONS
from ampacre.codebook.devices import is_standard
from ampacre.sizing.motors import motor_device_a, motor_feeder_device_a
from ampacre.sizing.series import series_counts
from ampacre.sizing.transformers import rated_current_a, transformer_device_a


def test_a_breaker_at_250_per_cent_goes_to_the_next_rating():
    # 5 hp at 230 V draws 28 A: 70 A is a rating; 13.2 A: 33 A, so 35 A.
    assert motor_device_a(28, "breaker", 1, "2023") == 70
    assert motor_device_a(13.2, "breaker", 1, "2023") == 35
    # Dual-element fuses at 175 per cent: 49 A, so 50 A.
    assert motor_device_a(28, "fuse", 1, "2023") == 50
    assert motor_device_a(2, "breaker", 1, "2023") == 15


def test_the_feeder_of_motors_rounds_down():
    # Four 28 A motors on 70 A breakers: 70 + 3 x 28 = 154 A, so 150 A (NEC 430.62(A)).
    assert motor_feeder_device_a([70] * 4, [28] * 4, 0, "2023") == 150
    # With 40 A of other load (430.63): 194 A, so 175 A.
    assert motor_feeder_device_a([70] * 4, [28] * 4, 40, "2023") == 175
    assert motor_feeder_device_a([], [], 48, "2023") == 45


def test_only_the_motor_with_the_largest_device_is_left_out_of_the_sum():
    assert motor_feeder_device_a([40, 70], [30, 28], 0, "2023") == 100


@given(st.floats(min_value=1, max_value=800), st.sampled_from(EDITIONS))
def test_a_motor_device_covers_its_limit_and_is_standard(full_load_a, edition):
    found = motor_device_a(full_load_a, "breaker", 1, edition)
    assert is_standard(found, edition)
    assert found >= 2.5 * full_load_a - 1e-9


def test_a_25_kva_unit_on_480_v():
    # 52.1 A and 104.2 A: primary alone 65.1 A, so 70 A; with a secondary device the primary may
    # have 130.2 A, not rounded up: 125 A; the secondary 130.2 A, rounded up: 150 A.
    primary_a, secondary_a = rated_current_a(25, 480, 1), rated_current_a(25, 240, 1)
    assert (round(primary_a, 1), round(secondary_a, 1)) == (52.1, 104.2)
    assert transformer_device_a("primary", primary_a, "2023", with_secondary=False) == 70
    assert transformer_device_a("primary", primary_a, "2023", with_secondary=True) == 125
    assert transformer_device_a("secondary", secondary_a, "2023", with_secondary=True) == 150
    assert transformer_device_a("secondary", secondary_a, "2023", with_secondary=False) == math.inf


def test_small_transformers_have_larger_shares_and_no_rounding():
    # 3 kVA at 480 V: 6.25 x 1.67 = 10.4 A, so 10 A where 10 A is a breaker's rating.
    assert transformer_device_a("primary", 6.25, "2023", with_secondary=False) == 10


def test_three_phases_share_the_current():
    assert rated_current_a(75, 480, 3) == pytest.approx(90.2, abs=0.05)


def test_motors_between_spoil_a_series_rating():
    # One per cent of 10 kA is 100 A (NEC 240.86(C)).
    assert series_counts(10, 100)
    assert not series_counts(10, 100.1)
