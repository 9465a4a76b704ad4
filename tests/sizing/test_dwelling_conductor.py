"""Conductors of one dwelling's whole load, NEC 310.12, against the ordinary limits."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ampacre.codebook.conductors import SIZES, dwelling_83
from ampacre.codebook.tables import rows
from ampacre.sizing.conductor import Conditions, Needs, smallest_conductor
from ampacre.sizing.protection import dwelling_device_a

USUAL = Conditions("al", "XHHW-2", 75, 30.0, wet=True)
RATINGS = [float(row["service_amps"]) for row in rows("dwelling_service_conductors")]


def smallest(device_a, *, material="al", sizing_a=80.0, calculated_a=70.0, **more):
    needs = Needs(sizing_a, calculated_a, device_a, "2023", whole_dwelling=True, **more)
    return smallest_conductor(needs, USUAL._replace(material=material))


@pytest.mark.parametrize("material", ["cu", "al"])
@pytest.mark.parametrize("rating_a", RATINGS)
def test_the_table_of_310_12_comes_out(rating_a, material):
    # The table is exactly 83 per cent of the rating in the 75 C column.
    assert smallest(rating_a, material=material).size == dwelling_83(rating_a, material).value


def test_it_stands_for_the_terminal_check():
    # 200 A and 190 A of sizing current: 4/0 aluminum, 180 A, would fail it otherwise.
    assert smallest(200, sizing_a=190, calculated_a=160).size == "4/0"
    ordinary = Needs(190, 160, 200, "2023")
    assert smallest_conductor(ordinary, USUAL).size == "250"


def test_the_calculated_current_still_has_to_be_carried():
    # 4/0 carries 205 A corrected, 250 kcmil 230 A.
    assert smallest(200, sizing_a=250, calculated_a=210).size == "250"
    assert smallest(200, sizing_a=250, calculated_a=210).governs == "insulation"


def test_a_hot_place_counts_against_83_per_cent():
    # 205 x 0.76 at 55 C is 155.8 A, below 166; 250 kcmil: 230 x 0.76 = 174.8 A.
    needs = Needs(100, 100, 200, "2023", whole_dwelling=True)
    assert smallest_conductor(needs, USUAL._replace(ambient_c=55.0)).size == "250"


def test_outside_100_to_400_a_it_does_not_apply():
    # 90 A: 2 AWG aluminum by its 90 A, not by 75 A; 450 A: above 400 A of ampacity, so 900 kcmil.
    assert smallest(90).size == "2"
    assert smallest(450, sizing_a=300, calculated_a=300).size == "900"
    assert smallest(450, sizing_a=300, calculated_a=300).governs == "device"


def test_the_largest_device_by_the_same_rule():
    assert dwelling_device_a(180, "2023").rating_a == 200
    assert dwelling_device_a(155, "2023").rating_a == 175
    assert dwelling_device_a(80, "2023") is None
    assert dwelling_device_a(340, "2023").rating_a == 400
    assert dwelling_device_a(500, "2023").rating_a == 400


def test_the_limit_that_governs_is_named():
    assert smallest_conductor(Needs(78, 69.5, 90, "2023"), USUAL).governs == "terminations"
    assert smallest_conductor(Needs(50, 40, 90, "2023"), USUAL).governs == "device"
    assert smallest_conductor(Needs(50, 40, 50, "2023", least_a=120), USUAL).governs == "least"
    hot = USUAL._replace(ambient_c=60.0)
    assert smallest_conductor(Needs(78, 78, None, "2023"), hot).governs == "insulation"
    assert smallest_conductor(Needs(1, 1, 15, "2023"), USUAL).governs == ""


@given(st.sampled_from(RATINGS), st.sampled_from(["cu", "al"]), st.floats(20, 60))
def test_it_never_asks_for_more_than_the_ordinary_way(rating_a, material, ambient_c):
    how = USUAL._replace(material=material, ambient_c=ambient_c)
    ordinary = smallest_conductor(Needs(0.5 * rating_a, 0.5 * rating_a, rating_a, "2023"), how)
    dwelling = smallest_conductor(
        Needs(0.5 * rating_a, 0.5 * rating_a, rating_a, "2023", whole_dwelling=True), how
    )
    if ordinary is not None:
        assert SIZES.index(dwelling.size) <= SIZES.index(ordinary.size)
