"""Ampacity of a run: the termination column and the corrected insulation column."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ampacre.codebook.conductors import INSULATIONS, SIZES, area_cmil
from ampacre.sizing.ampacity import conductor_ampacity

USUAL = {"insulation": "XHHW-2", "terminal_c": 75, "ambient_c": 30.0, "wet": True}


def test_terminations_govern_the_usual_feeder():
    # 4/0 aluminum XHHW-2: 205 A at 90 C, 180 A at its 75 C terminations (NEC Table 310.16).
    found = conductor_ampacity("4/0", "al", **USUAL)
    assert (found.terminal_a, found.corrected_a) == (180, 205)
    assert found.allowed_a == 180
    assert found.governs == "terminations at 75 C"


def test_heat_and_company_govern_when_they_bring_it_lower():
    # 205 x 0.87 at 43 C x 0.8 for six conductors.
    found = conductor_ampacity("4/0", "al", **(USUAL | {"ambient_c": 43.0}), current_carrying=6)
    assert found.corrected_a == pytest.approx(205 * 0.87 * 0.8)
    assert found.allowed_a == found.corrected_a
    assert found.governs == "XHHW-2 at 90 C, ambient factor 0.87 and bundling factor 0.8"


def test_insulation_governs_where_it_is_rated_lower_than_the_terminations():
    found = conductor_ampacity("2", "al", **(USUAL | {"insulation": "TW"}))
    assert (found.terminal_a, found.corrected_a, found.column) == (75, 75, 60)
    assert found.governs == "TW at 60 C"


def test_wet_places_lower_the_column_of_xhhw():
    assert conductor_ampacity("2", "al", **(USUAL | {"insulation": "XHHW"})).column == 75
    dry = USUAL | {"insulation": "XHHW", "wet": False}
    assert conductor_ampacity("2", "al", **dry).column == 90


def test_nm_cable_starts_at_90_c_and_ends_at_60_c():
    # NEC 334.80: 12 AWG starts at 30 A, and 20 A is the most that remains.
    nm = {"insulation": "NM-B", "terminal_c": 75, "wet": False}
    cool = conductor_ampacity("12", "cu", ambient_c=30.0, **nm)
    assert (cool.terminal_a, cool.corrected_a) == (20, 20)
    assert cool.governs == "60 C limit of NM-B"
    # Nine conductors: 30 x 0.7 = 21 A still leaves 20; twenty: 30 x 0.5 = 15 A.
    assert (
        conductor_ampacity("12", "cu", ambient_c=30.0, current_carrying=9, **nm).corrected_a == 20
    )
    assert (
        conductor_ampacity("12", "cu", ambient_c=30.0, current_carrying=20, **nm).corrected_a == 15
    )


@pytest.mark.parametrize(
    ("insulation", "wet", "uncorrected_a"),
    # NEC Table 310.16, 6 AWG copper: 55 A at 60 C, 65 A at 75 C. Cables of 334.80 and 340.80 and TW
    # are of the 60 C column whatever they end in.
    [("NM-B", False, 55), ("UF-B", True, 55), ("UF-B", False, 55), ("TW", True, 55),
     ("THWN", True, 65), ("THHN", False, 65), ("SER", False, 65), ("USE-2", True, 65)],
)  # fmt: skip
def test_no_conductor_carries_more_than_its_own_column_before_the_factors(
    insulation, wet, uncorrected_a
):
    how = {"insulation": insulation, "terminal_c": 75, "ambient_c": 30.0, "wet": wet}
    assert conductor_ampacity("6", "cu", **how).terminal_a == uncorrected_a
    assert conductor_ampacity("6", "cu", **(how | {"terminal_c": 60})).terminal_a == 55


def test_uf_cable_stays_in_the_60_c_column():
    uf = USUAL | {"insulation": "UF-B", "ambient_c": 38.0}
    assert conductor_ampacity("10", "cu", **uf).corrected_a == pytest.approx(30 * 0.82)


def test_nothing_stated_is_a_90_c_wet_rated_wire():
    assert conductor_ampacity("2", "al", **(USUAL | {"insulation": None})) == conductor_ampacity(
        "2", "al", **USUAL
    )


def test_sets_add():
    one = conductor_ampacity("350", "al", **USUAL)
    three = conductor_ampacity("350", "al", sets=3, **USUAL)
    assert three.terminal_a == 3 * one.terminal_a
    assert three.corrected_a == 3 * one.corrected_a


def test_too_hot_for_the_insulation_is_no_ampacity():
    found = conductor_ampacity("2", "al", **(USUAL | {"insulation": "TW", "ambient_c": 58.0}))
    assert found.allowed_a == 0
    assert found.governs == "ambient 58 C, too hot for TW"


def test_a_conductor_that_no_table_lists():
    assert conductor_ampacity("14", "al", **USUAL) is None


conditions = st.fixed_dictionaries(
    {
        "insulation": st.sampled_from([*INSULATIONS, None]),
        "terminal_c": st.sampled_from([60, 75, 90]),
        "ambient_c": st.floats(min_value=-30, max_value=89),
        "wet": st.booleans(),
        "sets": st.integers(min_value=1, max_value=4),
        "current_carrying": st.integers(min_value=1, max_value=45),
    }
)
sizes = st.sampled_from(SIZES[1:])
materials = st.sampled_from(["cu", "al"])


@given(sizes, sizes, materials, conditions)
def test_a_larger_conductor_never_carries_less(one, other, material, how):
    small, large = sorted((one, other), key=area_cmil)
    lesser = conductor_ampacity(small, material, **how)
    greater = conductor_ampacity(large, material, **how)
    assert lesser.terminal_a <= greater.terminal_a
    assert lesser.corrected_a <= greater.corrected_a


@given(sizes, materials, conditions, st.floats(min_value=0, max_value=40))
def test_heat_never_adds_ampacity(size, material, how, warmer_by):
    hotter = how | {"ambient_c": min(89.0, how["ambient_c"] + warmer_by)}
    assert (
        conductor_ampacity(size, material, **hotter).corrected_a
        <= conductor_ampacity(size, material, **how).corrected_a
    )


@given(sizes, conditions)
def test_aluminum_never_carries_more_than_copper(size, how):
    aluminum = conductor_ampacity(size, "al", **how)
    assert aluminum.allowed_a <= conductor_ampacity(size, "cu", **how).allowed_a
