"""Equipment grounding conductors and their enlargement, NEC 250.122(A) and (B)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ampacre.codebook.conductors import SIZES, area_cmil
from ampacre.sizing.grounding import grounding_size


def test_without_enlargement_it_is_the_table():
    found = grounding_size(90, "al", hot_size="2", hot_material="al", hot_needed_size="2")
    assert (found.size, found.table_size, found.ratio) == ("6", "6", 1)


def test_enlarged_hots_enlarge_it_in_proportion():
    # 90 A needs 2 AWG aluminum; 4/0 was laid: 26,240 x 211,600 / 66,360 = 83,671 circular mils,
    # just within 1 AWG (83,690).
    found = grounding_size(90, "al", hot_size="4/0", hot_material="al", hot_needed_size="2")
    assert found.needed_cmil == pytest.approx(83_671, abs=0.5)
    assert found.size == "1"
    # 100 A needs 1 AWG: 26,240 x 211,600 / 83,690 = 66,345, just within 2 AWG (66,360).
    found = grounding_size(100, "al", hot_size="4/0", hot_material="al", hot_needed_size="1")
    assert found.needed_cmil == pytest.approx(66_345, abs=0.5)
    assert found.size == "2"


def test_the_ratio_is_not_rounded():
    found = grounding_size(90, "al", hot_size="4/0", hot_material="al", hot_needed_size="2")
    assert found.ratio == 211_600 / 66_360


def test_copper_beside_enlarged_aluminum():
    # 8 AWG copper at 100 A, hots from 1 to 4/0: 16,510 x 211,600 / 83,690 = 41,743, above 4 AWG
    # (41,740) by a hair, so 3 AWG.
    found = grounding_size(100, "cu", hot_size="4/0", hot_material="al", hot_needed_size="1")
    assert found.size == "3"


def test_hots_smaller_than_needed_do_not_shrink_it():
    found = grounding_size(200, "al", hot_size="2/0", hot_material="al", hot_needed_size="4/0")
    assert (found.size, found.ratio) == ("4", 1)


def test_it_need_not_exceed_the_circuit_conductors():
    # A 20 A circuit laid in 2 AWG: the proportion asks for 2 AWG again and no more.
    found = grounding_size(20, "cu", hot_size="2", hot_material="cu", hot_needed_size="14")
    assert found.size == "2"
    # A motor's 100 A device on 10 AWG: table 8 AWG, but no more than the circuit's own 10.
    found = grounding_size(100, "cu", hot_size="10", hot_material="cu", hot_needed_size="10")
    assert found.size == "10"


def test_the_set_counts_as_one_circuit_conductor():
    # 1200 A on four sets of 350 kcmil: 3/0 copper, though in parallel each hot is larger anyway.
    found = grounding_size(
        1200, "cu", hot_size="350", hot_material="cu", hot_needed_size="350", hot_sets=4
    )
    assert found.size == "3/0"


def test_beyond_the_tables_there_is_none():
    # 1250 kcmil enlarged four times is more than 2000; the table ends at a 6000 A device.
    how = {"hot_size": "1000", "hot_material": "cu", "hot_needed_size": "250"}
    assert grounding_size(6000, "al", **how) is None
    assert grounding_size(6001, "al", **(how | {"hot_needed_size": "1000"})) is None


devices = st.sampled_from([15, 20, 30, 60, 90, 100, 150, 200, 400, 600, 800])
sizes = st.sampled_from(SIZES)
materials = st.sampled_from(["cu", "al"])


@given(devices, devices, sizes, sizes, materials)
def test_a_larger_device_never_has_a_smaller_one(one_a, other_a, hot, needed, material):
    low, high = sorted((one_a, other_a))
    smaller, larger = (
        grounding_size(amps, material, hot_size=hot, hot_material=material, hot_needed_size=needed)
        for amps in (low, high)
    )
    assert area_cmil(smaller.size) <= area_cmil(larger.size)


@given(devices, sizes, sizes, materials)
def test_it_lies_between_the_table_and_the_hots(device_a, hot, needed, material):
    found = grounding_size(
        device_a, material, hot_size=hot, hot_material=material, hot_needed_size=needed
    )
    assert area_cmil(found.size) >= min(area_cmil(found.table_size), area_cmil(hot))
    assert area_cmil(found.size) <= max(area_cmil(hot), area_cmil(found.table_size))
