"""Demand factors by number, least loads of outlets, and usual nameplate values."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ampacre.codebook.articles import EDITIONS
from ampacre.codebook.counts import WELDER_RANKS, count_factor, welder_duty_factor
from ampacre.codebook.demand import (
    cooking_demand_va,
    cooking_on_three_phases_va,
    existing_pool,
    farm_building_factors,
    farm_total_factors,
    receptacle_demand,
)
from ampacre.codebook.outlets import lighting_unit_load, outlet_va, service_minimum_a
from ampacre.codebook.typical import typical_loads
from ampacre.model import records as r

# first and last number of a band and its factor, as NFPA 70-2017 prints them
BANDS = {
    "kitchen": ((1, 2, 1.0), (3, 3, 0.9), (4, 4, 0.8), (5, 5, 0.7), (6, 99, 0.65)),
    "elevators": ((1, 1, 1.0), (2, 2, 0.95), (6, 6, 0.79), (9, 9, 0.73), (10, 40, 0.72)),
    "vehicle_park": ((1, 1, 1.0), (4, 4, 0.75), (7, 9, 0.55), (10, 12, 0.5), (36, 400, 0.41)),
    "shore_power": ((1, 4, 1.0), (5, 8, 0.9), (9, 14, 0.8), (15, 30, 0.7), (31, 40, 0.6), (71, 200, 0.3)),
    "mobile_home_park": ((1, 1, 1.0), (2, 2, 0.55), (16, 21, 0.25), (61, 300, 0.22)),
    "multifamily": ((3, 5, 0.45), (8, 10, 0.43), (18, 20, 0.38), (32, 33, 0.31), (39, 42, 0.28), (62, 500, 0.23)),
}  # fmt: skip


@pytest.mark.parametrize("table", BANDS)
def test_bands_of_the_tables_by_number(table):
    for first, last, factor in BANDS[table]:
        assert count_factor(table, first).value == pytest.approx(factor)
        assert count_factor(table, last).value == pytest.approx(factor)


@given(st.sampled_from(sorted(BANDS)), st.integers(3, 300))
def test_factors_never_rise_with_the_number(table, number):
    assert count_factor(table, number + 1).value <= count_factor(table, number).value


def test_a_number_below_the_table_is_refused():
    with pytest.raises(ValueError, match="multifamily has no row for 2"):
        count_factor("multifamily", 2)


def test_arc_welders_of_nec_630_11():
    assert welder_duty_factor(100, motor_generator=False).value == 1
    assert welder_duty_factor(20, motor_generator=False).value == 0.45
    assert welder_duty_factor(20, motor_generator=True).value == 0.55
    assert WELDER_RANKS == (1.0, 1.0, 0.85, 0.70, 0.60)
    with pytest.raises(ValueError, match="25 %"):
        welder_duty_factor(25, motor_generator=False)


def test_farm_tables():
    assert farm_building_factors() == (1.0, 0.5, 0.25)
    assert farm_total_factors() == (1.0, 0.75, 0.65, 0.5)


@pytest.mark.parametrize("edition", EDITIONS)
def test_first_tier_of_an_existing_dwelling(edition):
    assert existing_pool(edition).value == (8_000, 0.4)


def test_receptacles_of_table_220_44():
    # Annex D, Example D3: 14,400 VA count 12,200
    assert receptacle_demand(14_400).value == 12_200
    assert receptacle_demand(9_000).value == 9_000


def test_columns_a_and_b_by_note_3():
    # Annex D, Example D4(b): one range of 8 kW by column B, 6,400 VA
    assert cooking_demand_va([8_000], note_3=True).value == 6_400
    assert cooking_demand_va([8_000]).value == 8_000
    # 3 kW by column A (80 %), 6 kW by column B (80 %), 12 kW by column C: 2.4 + 4.8 + 8 against
    # column C for three, 14 kW
    assert cooking_demand_va([3_000, 6_000, 12_000], note_3=True).value == 14_000
    assert cooking_demand_va([3_000, 3_000], note_3=True).value == pytest.approx(0.75 * 6_000)


def test_ranges_on_three_phases():
    # Annex D, Example D5(a) (from memory, not confirmed): 40 ranges on 120/208 V, 14 between two
    # legs at most: column C for 28 is 43 kW, 21.5 on a leg, 64.5 in all
    assert cooking_on_three_phases_va([12_000] * 40, 14).value == pytest.approx(64_500)


def test_lighting_by_area_changed_in_2020():
    old, new = lighting_unit_load("office", "2017"), lighting_unit_load("office", "2023")
    assert (old.va_per_ft2, old.adds_continuous) == (3.5, True)
    assert (new.va_per_ft2, new.adds_continuous) == (1.3, False)
    assert lighting_unit_load("gymnasium", "2017") is None
    assert lighting_unit_load("corridor or stairs", "2017").va_per_ft2 == 0.5


def test_each_occupancy_has_a_load_in_some_edition():
    for occupancy in r.Occupancy.__args__:
        assert any(lighting_unit_load(occupancy, edition) for edition in EDITIONS), occupancy


def test_least_loads_of_outlets():
    assert outlet_va("receptacle_yoke").value == 180
    assert outlet_va("show_window").value == 200
    with pytest.raises(ValueError, match="no least load"):
        outlet_va("fountain")


def test_least_services():
    assert service_minimum_a("service_one_family_dwelling").value == 100
    assert service_minimum_a("building_disconnect_all_others").value == 60


def test_usual_values_lie_in_their_range():
    loads = typical_loads()
    assert len(loads) > 90
    for load in loads:
        assert load.low_va <= load.va <= load.high_va, load.name
        assert 0 < load.power_factor <= 1
    assert len({load.name for load in loads}) == len(loads)
