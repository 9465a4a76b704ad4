"""Ratings, small conductors, grounding conductors."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ampacre.codebook.articles import EDITIONS
from ampacre.codebook.conductors import SIZES, area_cmil
from ampacre.codebook.devices import (
    is_standard,
    next_standard,
    small_conductor_limit,
    standard_below,
    standard_ratings,
)
from ampacre.codebook.grounding import egc, gec, supply_bonding_jumper
from ampacre.codebook.tables import rows

NEC_240_6_A = (
    15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300,
    350, 400, 450, 500, 600, 700, 800, 1000, 1200, 1600, 2000, 2500, 3000, 4000, 5000, 6000,
)  # fmt: skip


def test_breaker_ratings_of_nec_240_6_a():
    assert standard_ratings("2017") == NEC_240_6_A
    assert standard_ratings("2020") == NEC_240_6_A
    assert standard_ratings("2023") == (10, *NEC_240_6_A)


def test_fuses_have_a_few_more():
    assert set(standard_ratings("2017", "fuse")) - set(NEC_240_6_A) == {1, 3, 6, 10, 601}
    assert is_standard(601, "2023", "fuse")
    assert not is_standard(601, "2023")


@given(st.floats(min_value=0.1, max_value=6000), st.sampled_from(EDITIONS))
def test_next_and_below_enclose(amps, edition):
    upper = next_standard(amps, edition)
    lower = standard_below(amps, edition)
    assert lower <= amps + 1e-9
    assert amps - 1e-9 <= upper
    ratings = standard_ratings(edition)
    assert upper in ratings
    assert not any(lower < rating < upper for rating in ratings)


def test_a_rating_is_its_own_next_even_after_arithmetic():
    assert next_standard(80 * 1.25, "2023") == 100
    assert next_standard(0.1 + 0.2 + 14.7, "2017") == 15


def test_there_is_nothing_above_the_list():
    assert next_standard(6001, "2023") is None
    assert standard_below(9000, "2023") == 6000
    assert standard_below(5, "2023") == 0


@pytest.mark.parametrize("edition", EDITIONS)
def test_small_conductors_of_nec_240_4_d(edition):
    limits = {
        ("14", "cu"): 15,
        ("12", "cu"): 20,
        ("10", "cu"): 30,
        ("12", "al"): 15,
        ("10", "al"): 25,
    }
    for (size, material), amps in limits.items():
        assert small_conductor_limit(size, material, edition).value == amps
    assert small_conductor_limit("8", "cu", edition) is None
    assert small_conductor_limit("4/0", "al", edition) is None


@pytest.mark.parametrize(
    ("device_a", "copper", "aluminum"),
    [
        (15, "14", "12"),
        (20, "12", "10"),
        (60, "10", "8"),
        (90, "8", "6"),
        (100, "8", "6"),
        (150, "6", "4"),
        (200, "6", "4"),
        (300, "4", "2"),
        (400, "3", "1"),
        (500, "2", "1/0"),
        (600, "1", "2/0"),
        (800, "1/0", "3/0"),
        (1000, "2/0", "4/0"),
        (1200, "3/0", "250"),
    ],
)
def test_grounding_conductors_of_nec_table_250_122(device_a, copper, aluminum):
    assert egc(device_a, "cu").value == copper
    assert egc(device_a, "al").value == aluminum


@given(
    st.floats(min_value=1, max_value=6000),
    st.floats(min_value=1, max_value=6000),
    st.sampled_from(["cu", "al"]),
)
def test_a_larger_device_never_has_a_smaller_grounding_conductor(one_a, other_a, material):
    low, high = sorted((one_a, other_a))
    assert area_cmil(egc(low, material).value) <= area_cmil(egc(high, material).value)


@pytest.mark.parametrize("device_a", standard_ratings("2023"))
def test_aluminum_grounding_conductors_are_larger_than_copper_ones(device_a):
    assert area_cmil(egc(device_a, "al").value) > area_cmil(egc(device_a, "cu").value)


def test_table_250_122_ends_at_6000_a():
    assert egc(6000, "cu").value == "800"
    assert egc(6001, "cu") is None


def test_electrode_conductors_of_nec_table_250_66():
    # 2/0 copper is in the third row (4 AWG copper), 4/0 aluminum too; 500 kcmil copper in the fifth.
    assert gec(area_cmil("2"), "cu", "cu").value == "8"
    assert gec(area_cmil("2/0"), "cu", "cu").value == "4"
    assert gec(area_cmil("4/0"), "al", "cu").value == "4"
    assert gec(area_cmil("500"), "cu", "al").value == "3/0"
    assert gec(3e6, "cu", "cu").value == "3/0"


def test_bonding_jumpers_of_nec_table_250_102_c_1():
    # Published checks: 250 kcmil gives 2 AWG, three sets of it 2/0; 500 kcmil gives 1/0.
    assert supply_bonding_jumper(area_cmil("250"), "cu", "cu").value == "2"
    assert supply_bonding_jumper(3 * area_cmil("250"), "cu", "cu").value == "2/0"
    assert supply_bonding_jumper(area_cmil("500"), "cu", "cu").value == "1/0"
    assert supply_bonding_jumper(2 * area_cmil("3/0"), "cu", "al").value == "1/0"
    assert supply_bonding_jumper(1_200_000, "cu", "cu") is None


@pytest.mark.parametrize("hot_material", ["cu", "al"])
def test_the_two_tables_of_article_250_agree_where_both_have_rows(hot_material):
    for size in SIZES:
        cmil = area_cmil(size)
        for material in ("cu", "al"):
            jumper = supply_bonding_jumper(cmil, hot_material, material)
            assert jumper.value == gec(cmil, hot_material, material).value


def test_assemblies_serve_the_devices_they_say():
    for row in rows("common_assemblies"):
        if not row["egc_max_ocpd_amps"]:
            continue
        limit_a = float(row["egc_max_ocpd_amps"])
        size, material = row["egc_size"], row["material"]
        assert area_cmil(egc(limit_a, material).value) <= area_cmil(size)
        assert area_cmil(egc(limit_a + 1, material).value) > area_cmil(size)
