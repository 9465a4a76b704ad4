"""Raceways, outsides of conductors, cover, boxes: NEC Chapter 9 and articles 300, 110, 314."""

import math

import pytest

from ampacre.codebook.burial import DUG_DEEPER_M, least_cover_m, underground
from ampacre.codebook.conductors import SIZES, area_cmil
from ampacre.codebook.dimensions import insulated_wire
from ampacre.codebook.raceways import (
    RACEWAYS,
    TRADE_SIZES,
    bend_limit_deg,
    bore,
    fill_limit,
    stocked_sizes,
)
from ampacre.codebook.tables import rows
from ampacre.codebook.working_space import working_depths_ft

INCH = 0.0254


@pytest.mark.parametrize(
    ("kind", "size", "area_in2"),
    # Chapter 9 Table 4, total areas
    [
        ("emt", "1-1/4", 1.496),
        ("emt", "2", 3.356),
        ("steel", "2-1/2", 4.866),
        ("pvc", "2", 3.291),
        ("pvc 80", "2", 2.874),
        ("pvc", "4", 12.554),
    ],
)
def test_areas_of_table_4(kind, size, area_in2):
    assert bore(kind, size).value.area_in2 == area_in2


def test_each_area_is_a_circle_of_its_diameter():
    for row in rows("raceway_areas"):
        circle = math.pi / 4 * float(row["internal_diameter_in"]) ** 2
        assert float(row["total_area_in2"]) == pytest.approx(circle, rel=0.002)


def test_the_printed_percentages_follow_from_the_areas():
    for row in rows("raceway_areas"):
        for pct in (31, 40, 53, 60):
            printed = float(row[f"area_{pct}pct_in2"])
            assert printed == pytest.approx(float(row["total_area_in2"]) * pct / 100, abs=0.002)


@pytest.mark.parametrize(
    ("kind", "size", "area_in2"),
    # Chapter 9 Table 4
    [
        ("steel", "1", 0.887),
        ("aluminum", "1", 0.887),
        ("imc", "1", 0.959),
        ("emt", "1", 0.864),
        ("emt", "2-1/2", 5.858),
        ("fmc", "1", 0.817),
        ("lfmc", "1", 0.873),
        ("lfnc", "1", 0.873),
        ("ent", "1", 0.785),
        ("pvc", "1", 0.832),
        ("pvc 80", "1", 0.688),
    ],
)
def test_each_kind_has_its_own_inside(kind, size, area_in2):
    assert bore(kind, size).value.area_in2 == area_in2


def test_thin_wall_is_made_up_to_4_in_and_rigid_up_to_6():
    assert stocked_sizes("emt")[-1] == stocked_sizes("imc")[-1] == "4"
    assert stocked_sizes("steel")[-1] == stocked_sizes("pvc 80")[-1] == "6"
    assert stocked_sizes("ent")[-1] == stocked_sizes("lfnc")[-1] == "2"


@pytest.mark.parametrize("kind", RACEWAYS)
def test_larger_trade_sizes_are_larger(kind):
    sizes = stocked_sizes(kind)
    assert sizes == TRADE_SIZES[: len(sizes)]
    areas = [bore(kind, size).value.area_in2 for size in sizes]
    assert areas == sorted(areas)


@pytest.mark.parametrize("kind", ["direct burial", "cable"])
def test_what_is_no_raceway_has_no_inside(kind):
    assert stocked_sizes(kind) == ()
    assert bore(kind, "2") is None
    assert bend_limit_deg(kind) is None


def test_fill_of_table_1_and_note_4():
    assert [fill_limit(count).value for count in (1, 2, 3, 9)] == [53, 31, 40, 40]
    assert [fill_limit(count, nipple=True).value for count in (1, 2, 3)] == [60, 60, 60]
    assert fill_limit(3, nipple=True).cite_key == "nipple_fill"


def test_bends():
    # 360 degrees between pull points
    assert {bend_limit_deg(kind).value for kind in RACEWAYS} == {360}


@pytest.mark.parametrize(
    ("size", "material", "insulation", "area_in2", "table"),
    [
        # Chapter 9 Table 5: 4 AWG and 1/0 THHN, 4/0 XHHW copper
        ("4", "cu", "THWN-2", 0.0824, "insulated_table"),
        ("1/0", "cu", "THHN", 0.1855, "insulated_table"),
        ("4/0", "cu", "XHHW-2", 0.3197, "insulated_table"),
        # Table 5A: compact aluminum
        ("4/0", "al", "XHHW-2", 0.2733, "compact_table"),
        ("1/0", "al", "XHHW-2", 0.1590, "compact_table"),
        ("4/0", "al", "USE-2", 0.3217, "compact_table"),
        # Table 5A leaves out 3 AWG
        ("3", "al", "XHHW-2", 0.0962, "insulated_table"),
    ],
)
def test_outsides_of_conductors(size, material, insulation, area_in2, table):
    found = insulated_wire(size, material, insulation)
    assert (found.value.area_in2, found.cite_key) == (area_in2, table)


def test_compact_xhhw_diameters_quoted_from_the_table():
    # Mike Holt forum, "Conduit fill": 6 AWG 0.260 in and 2 AWG 0.360 in.
    assert insulated_wire("6", "al", "XHHW-2").value.diameter_in == 0.260
    assert insulated_wire("2", "al", "XHHW-2").value.diameter_in == 0.360


@pytest.mark.parametrize("material", ["cu", "al"])
@pytest.mark.parametrize("insulation", ["TW", "THWN-2", "XHHW-2", "RHW-2", "USE-2"])
def test_a_larger_conductor_is_thicker(material, insulation):
    found = [insulated_wire(size, material, insulation) for size in SIZES]
    areas = [wire.value.area_in2 for wire in found if wire is not None]
    # Compact and concentric stranding alternate where Table 5A has gaps.
    if material == "cu":
        assert areas == sorted(areas)
    for wire in found:
        if wire is not None:
            circle = math.pi / 4 * wire.value.diameter_in**2
            assert wire.value.area_in2 == pytest.approx(circle, abs=0.0004)


@pytest.mark.parametrize("size", SIZES)
def test_insulation_adds_to_the_bare_conductor(size):
    insulated = insulated_wire(size, "cu", "XHHW-2")
    assert insulated.value.area_in2 > area_cmil(size) * math.pi / 4 / 1e6


@pytest.mark.parametrize("insulation", ["NM-B", "UF-B", "SER", "SEU"])
def test_cables_have_no_outside_in_the_tables(insulation):
    assert insulated_wire("10", "cu", insulation) is None


@pytest.mark.parametrize(
    ("place", "raceway", "inches"),
    # Table 300.5(A): direct burial, rigid metal, plastic
    [
        ("yard", "direct burial", 24),
        ("yard", "steel", 6),
        ("yard", "imc", 6),
        ("yard", "aluminum", 6),
        # thin-wall and flexible metal is no rigid metal conduit: "other approved raceway"
        ("yard", "emt", 18),
        ("yard", "lfmc", 18),
        ("yard", "pvc", 18),
        ("yard", "pvc 80", 18),
        ("under driveway", "direct burial", 18),
        ("under driveway", "steel", 18),
        ("under driveway", "pvc", 18),
        ("under road", "steel", 24),
        ("under road", "pvc", 24),
        ("under building", "pvc", 0),
    ],
)
def test_cover_of_table_300_5(place, raceway, inches):
    found = least_cover_m(place, raceway)
    assert found.value == pytest.approx(inches * INCH)
    assert found.verified == 2
    assert underground(place)


def test_small_protected_branch_circuits_lie_higher():
    assert least_cover_m("yard", "pvc", small_branch=True).value == pytest.approx(12 * INCH)
    assert least_cover_m("under road", "pvc", small_branch=True).value == pytest.approx(24 * INCH)
    # Note 4: the shallower of the two columns; steel has 6 in anyway.
    assert least_cover_m("yard", "steel", small_branch=True).value == pytest.approx(6 * INCH)


@pytest.mark.parametrize("place", ["indoors", "outdoors", "on roof", "overhead"])
def test_there_is_no_cover_above_ground(place):
    assert least_cover_m(place, "pvc") is None
    assert not underground(place)


def test_a_foot_deeper():
    assert pytest.approx(0.3048) == DUG_DEEPER_M


def test_working_space_of_table_110_26():
    assert working_depths_ft(120).value == (3, 3, 3)
    assert working_depths_ft(277).value == (3, 3.5, 4)
    assert working_depths_ft(1200) is None
