"""Demand tables of NEC Article 220 and motor tables of Article 430."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ampacre.codebook.articles import EDITIONS
from ampacre.codebook.demand import (
    appliance_factor,
    col_a,
    col_b,
    col_c_kw,
    cooking_demand_va,
    dryer_factor,
    lighting_demand,
    motor_full_load_a,
    optional_heating,
    optional_pool,
    rv_site_va,
)
from ampacre.codebook.tables import rows

ratings = st.lists(st.floats(min_value=1751, max_value=27_000), min_size=1, max_size=70)


@pytest.mark.parametrize("edition", EDITIONS)
def test_dwelling_lighting_of_annex_d(edition):
    # Example D1(a): 4,500 + 3,000 + 1,500 VA give 5,100; D4(a): 220,800 VA give 69,150.
    assert lighting_demand(9000, edition=edition).value == 5100
    assert lighting_demand(220_800, edition=edition).value == 69_150
    assert lighting_demand(2000, edition=edition).value == 2000


def test_lighting_of_other_occupancies():
    assert lighting_demand(20_000, "warehouse_storage", "2017").value == 12_500 + 3750
    assert lighting_demand(50_000, "all_others", "2023").value == 50_000
    with pytest.raises(ValueError, match="ballroom"):
        lighting_demand(1000, "ballroom")


@given(st.floats(min_value=0, max_value=1e6), st.floats(min_value=0, max_value=1e6))
def test_lighting_demand_rises_and_never_exceeds_the_load(one_va, other_va):
    low, high = sorted((one_va, other_va))
    assert lighting_demand(low).value <= lighting_demand(high).value + 1e-6
    assert lighting_demand(high).value <= high + 1e-6


def test_dryers_of_nec_table_220_54():
    # 12 to 23: 47 % less 1 for each above 11; 24 to 42: 35 % less 0.5 for each above 23.
    assert [dryer_factor(n).value for n in (1, 4, 5, 6, 10, 11)] == [1, 1, 0.85, 0.75, 0.5, 0.47]
    for count in range(12, 24):
        assert dryer_factor(count).value == pytest.approx(0.47 - 0.01 * (count - 11))
    for count in range(24, 43):
        assert dryer_factor(count).value == pytest.approx(0.35 - 0.005 * (count - 23))
    assert dryer_factor(43).value == dryer_factor(200).value == 0.25


def test_columns_of_nec_table_220_55():
    assert [col_a(n).value for n in (1, 2, 5, 25, 61)] == [0.8, 0.75, 0.62, 0.3, 0.3]
    assert [col_b(n).value for n in (1, 5, 12, 30, 61)] == [0.8, 0.45, 0.32, 0.24, 0.16]
    assert [col_c_kw(n).value for n in (1, 2, 3, 5, 20, 25)] == [8, 11, 14, 20, 35, 40]
    assert col_c_kw(30).value == 15 + 30
    assert col_c_kw(40).value == 15 + 40
    assert col_c_kw(60).value == 25 + 0.75 * 60


@pytest.mark.parametrize("count", range(1, 100))
def test_cooking_columns_never_fall_in_total(count):
    assert col_c_kw(count + 1).value >= col_c_kw(count).value
    assert col_a(count + 1).value <= col_a(count).value
    assert col_b(count + 1).value <= col_b(count).value


def test_note_2_averages_with_12_kw_for_the_smaller_ones():
    # Annex D, Example D6 part B (from memory, not confirmed): 5 of 11, 2 of 12, 20 of 13.5 and 3
    # of 18 kW average 13.6 kW; column C for 30 is 45 kW, raised by 10 % for 1.6 kW: 49.5 kW.
    units_va = [11_000.0] * 5 + [12_000.0] * 2 + [13_500.0] * 20 + [18_000.0] * 3
    assert cooking_demand_va(units_va).value == pytest.approx(49_500)


def test_a_small_oven_is_not_taken_above_its_nameplate():
    assert cooking_demand_va([5000]).value == 5000
    assert cooking_demand_va([]).value == 0


def test_a_unit_beyond_the_table_counts_at_its_rating():
    assert cooking_demand_va([30_000, 12_000]).value == 38_000


@given(ratings)
def test_cooking_demand_never_exceeds_the_nameplates(units_va):
    assert 0 < cooking_demand_va(units_va).value <= sum(units_va) + 1e-6


@given(ratings)
def test_cooking_demand_does_not_depend_on_the_order(units_va):
    assert cooking_demand_va(units_va).value == pytest.approx(
        cooking_demand_va(units_va[::-1]).value
    )


@pytest.mark.parametrize("edition", EDITIONS)
def test_appliances_of_nec_220_53(edition):
    assert appliance_factor(3, edition).value == 1
    assert appliance_factor(4, edition).value == 0.75
    assert appliance_factor(5, edition).value == 0.75


@pytest.mark.parametrize("edition", EDITIONS)
def test_selections_of_nec_220_82_c(edition):
    selections = {"1": 1.0, "2": 1.0, "3a": 1.0, "3b": 0.65, "4": 0.65, "5": 0.4, "6": 1.0}
    for selection, factor in selections.items():
        assert optional_heating(selection, edition).value == factor
    with pytest.raises(ValueError, match="no selection '9'"):
        optional_heating("9", edition)


@pytest.mark.parametrize("edition", EDITIONS)
def test_tiers_of_the_pool_of_nec_220_82_b(edition):
    assert optional_pool(edition).value == (10_000, 0.4)


@pytest.mark.parametrize("edition", EDITIONS)
def test_sites_of_nec_551_73_a(edition):
    assert rv_site_va("50A_120_240_or_208Y_120", edition).value == 12_000
    assert rv_site_va("30A_plus_20A", edition).value == 3600
    assert rv_site_va("20A_only", edition).value == 2400


def test_single_phase_motors_of_nec_table_430_248():
    assert motor_full_load_a(1, 120, 1).value == 16
    assert motor_full_load_a(1, 240, 1).value == 8
    assert motor_full_load_a(5, 208, 1).value == 30.8
    assert motor_full_load_a(10, 230, 1).value == 50


def test_three_phase_motors_of_nec_table_430_250():
    assert motor_full_load_a(10, 208, 3).value == 30.8
    assert motor_full_load_a(40, 480, 3).value == 52
    assert motor_full_load_a(100, 460, 3).value == 124


def test_motors_outside_the_tables():
    assert motor_full_load_a(15, 240, 1) is None
    assert motor_full_load_a(5, 120, 3) is None
    assert motor_full_load_a(1, 277, 1) is None


def test_a_power_between_rows_reads_the_larger():
    assert motor_full_load_a(4, 240, 1).value == motor_full_load_a(5, 240, 1).value
    assert motor_full_load_a(1 / 3, 120, 1).value == 7.2


def test_motor_currents_keep_the_ratio_of_their_voltages():
    # 200/230 V = 1.15, 208/230 V = 1.10, 460/230 V = 0.5, 575/460 V = 0.8, as printed to 3 digits.
    for name in ("motor_flc_1ph", "motor_flc_3ph"):
        for row in rows(name):
            base = row["flc_a_230v"]
            if not base:
                continue
            for volts, ratio in ((200, 1.15), (208, 1.10), (460, 0.5)):
                cell = row.get(f"flc_a_{volts}v")
                if cell:
                    assert float(cell) == pytest.approx(float(base) * ratio, rel=0.02, abs=0.06)
