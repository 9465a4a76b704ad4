"""Electrode conductors and bonding jumpers, NEC 250.66 and 250.102(C)(1)."""

from hypothesis import given
from hypothesis import strategies as st

from ampacre.codebook.conductors import SIZES, area_cmil
from ampacre.sizing.bonding import bonding_jumper, electrode_conductor
from ampacre.sizing.grounding import grounding_size, shared_grounding


def cmil(size, sets=1):
    return area_cmil(size) * sets


def test_two_sets_of_250_aluminum():
    # 500 kcmil of aluminum: 2 AWG copper or 1/0 aluminum, the jumper the same.
    assert electrode_conductor(cmil("250", 2), "al", "cu").size == "2"
    assert electrode_conductor(cmil("250", 2), "al", "al").size == "1/0"
    assert bonding_jumper(cmil("250", 2), "al", "cu").size == "2"


def test_four_sets_of_500_copper():
    # 2000 kcmil: the electrode conductor stops at 3/0, the jumper goes on with 12.5 %: 250 kcmil.
    assert electrode_conductor(cmil("500", 4), "cu", "cu").size == "3/0"
    assert bonding_jumper(cmil("500", 4), "cu", "cu").size == "250"


def test_beyond_the_table_an_aluminum_jumper_of_copper_is_larger():
    # 12.5 % of 2000 kcmil, times 1750 over 1100: 397.7 kcmil, so 400.
    assert bonding_jumper(cmil("500", 4), "cu", "al").size == "400"


def test_rods_and_footings_never_need_more():
    hot = cmil("500")
    assert electrode_conductor(hot, "cu", "cu", ["rod"]).size == "6"
    assert electrode_conductor(hot, "cu", "cu", ["rod", "plate"]).size == "6"
    assert electrode_conductor(hot, "cu", "cu", ["rod", "concrete-encased"]).size == "4"
    # A water pipe takes the table in full, whatever else there is.
    assert electrode_conductor(hot, "cu", "cu", ["rod", "metal water pipe"]).size == "1/0"
    # The table is smaller than the limit for small conductors.
    assert electrode_conductor(cmil("4"), "cu", "cu", ["rod"]).size == "8"


@given(
    st.sampled_from(SIZES), st.integers(1, 6), st.sampled_from(["cu", "al"]),
    st.sampled_from(["cu", "al"]),
)  # fmt: skip
def test_more_conductor_never_needs_less_bonding(size, sets, hot, metal):
    one = bonding_jumper(cmil(size, sets), hot, metal)
    more = bonding_jumper(cmil(size, sets + 1), hot, metal)
    assert area_cmil(one.size) <= area_cmil(more.size)
    at_electrode = electrode_conductor(cmil(size, sets), hot, metal)
    assert area_cmil(at_electrode.size) <= area_cmil(one.size)


def grounding(device_a, hot, needed, **more):
    return grounding_size(
        device_a, "cu", hot_size=hot, hot_material="cu", hot_needed_size=needed, **more
    )


def test_one_conductor_for_three_circuits():
    # 100, 60 and 20 A in one raceway: 8 AWG by the largest device (NEC 250.122(C)).
    circuits = [grounding(100, "3", "3"), grounding(60, "6", "6"), grounding(20, "12", "12")]
    assert shared_grounding(circuits).size == "8"
    # The 60 A circuit laid in 2 AWG for its drop: 10,380 x 66,360 / 26,240 = 26,251, so 4 AWG.
    circuits[1] = grounding(60, "2", "6")
    assert shared_grounding(circuits).size == "4"
    assert shared_grounding([]) is None


def test_sets_made_for_the_drop_are_measured_from_the_one_that_would_do():
    # 90 A on 2 AWG; laid in two sets of 1/0: 8 AWG x 211,200 / 66,360 = 52,545, so 3 AWG.
    found = grounding(90, "1/0", "2", hot_sets=2, hot_needed_sets=1)
    assert found.size == "3"
