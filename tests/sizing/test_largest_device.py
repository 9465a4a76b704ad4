"""The largest device for a conductor, NEC 240.4(B), (C) and (D)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ampacre.codebook.articles import EDITIONS
from ampacre.codebook.devices import is_standard
from ampacre.sizing.protection import largest_device_a


def test_a_standard_ampacity_has_no_rounding_up():
    found = largest_device_a(90, "2", "al", "2023")
    assert (found.rating_a, found.cite_key) == (90, "device_rating")


def test_the_next_rating_up_is_allowed_between_ratings():
    # 3/0 aluminum carries 155 A, 4/0 180 A.
    assert largest_device_a(155, "3/0", "al", "2023") == (
        175,
        "next standard rating above 155 A",
        "next_size_up",
    )
    assert largest_device_a(180, "4/0", "al", "2017").rating_a == 200


def test_but_not_where_rounding_up_is_barred():
    assert largest_device_a(155, "3/0", "al", "2023", round_up=False).rating_a == 150


def test_and_not_above_800_a():
    # Three sets of 300 kcmil copper carry 855 A: an 800 A device, not 1000 A (240.4(C)).
    found = largest_device_a(855, "300", "cu", "2023")
    assert (found.rating_a, found.cite_key) == (800, "over_800")
    assert largest_device_a(799, "300", "cu", "2023").rating_a == 800


@pytest.mark.parametrize("edition", EDITIONS)
def test_small_conductors_have_limits_of_their_own(edition):
    # 12 AWG copper carries 25 A at 75 C and 10 AWG 35 A; the limits are 20 and 30 A (240.4(D)).
    assert largest_device_a(25, "12", "cu", edition) == (
        20,
        "limit of 12 AWG copper",
        "small_conductors",
    )
    assert largest_device_a(35, "10", "cu", edition).rating_a == 30
    assert largest_device_a(30, "10", "al", edition).rating_a == 25
    assert largest_device_a(40, "8", "al", edition).rating_a == 40


def test_a_small_conductor_weakened_below_its_limit():
    # 12 AWG THHN at 30 A, twenty conductors in the raceway: 15 A.
    assert largest_device_a(15, "12", "cu", "2023").rating_a == 15


def test_no_ampacity_no_device():
    assert largest_device_a(0, "2", "al", "2023").rating_a == 0


@given(
    st.floats(min_value=0, max_value=5000),
    st.floats(min_value=0, max_value=5000),
    st.sampled_from(["12", "4/0"]),
    st.sampled_from(EDITIONS),
    st.booleans(),
)
def test_more_ampacity_never_means_a_smaller_device(one_a, other_a, size, edition, round_up):
    low, high = sorted((one_a, other_a))
    smaller = largest_device_a(low, size, "cu", edition, round_up=round_up).rating_a
    larger = largest_device_a(high, size, "cu", edition, round_up=round_up).rating_a
    assert smaller <= larger
    assert larger == 0 or is_standard(larger, edition)


@given(st.floats(min_value=801, max_value=5999), st.sampled_from(EDITIONS))
def test_above_800_a_the_conductor_covers_the_whole_device(amps, edition):
    assert largest_device_a(amps, "1000", "cu", edition).rating_a <= amps + 1e-9
