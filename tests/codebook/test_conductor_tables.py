"""Conductor tables against the published ones, and against one another."""

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ampacre.codebook.conductors import (
    INSULATIONS,
    SIZES,
    ambient_factor,
    ampacity,
    ampacity_cap,
    area_cmil,
    bundling_factor,
    dwelling_83,
    impedance_75c,
    insulation_column,
    resistance_75c,
    size_of_area,
    wet_rated,
)
from ampacre.codebook.tables import rows

COLUMNS = (60, 75, 90)


@pytest.mark.parametrize(
    ("size", "material", "by_column"),
    [
        ("14", "cu", (15, 20, 25)),
        ("12", "cu", (20, 25, 30)),
        ("6", "cu", (55, 65, 75)),
        ("1/0", "cu", (125, 150, 170)),
        ("500", "cu", (320, 380, 430)),
        ("12", "al", (15, 20, 25)),
        ("2", "al", (75, 90, 100)),
        ("3/0", "al", (130, 155, 175)),
        ("4/0", "al", (150, 180, 205)),
        ("250", "al", (170, 205, 230)),
        ("350", "al", (210, 250, 280)),
    ],
)
def test_ampacities_of_nec_table_310_16(size, material, by_column):
    for column, amps in zip(COLUMNS, by_column, strict=True):
        found = ampacity(size, material, column)
        assert found is not None
        assert found.value == amps
        assert found.cite_key == "ampacity_table"


def test_there_is_no_14_awg_aluminum():
    assert ampacity("14", "al", 75) is None


@pytest.mark.parametrize("material", ["cu", "al"])
@pytest.mark.parametrize("column", COLUMNS)
def test_ampacity_rises_with_size_and_column(material, column):
    listed = [found.value for size in SIZES if (found := ampacity(size, material, column))]
    assert listed == sorted(listed)
    assert len(set(listed)) == len(listed)
    assert len(listed) == (24 if material == "cu" else 23)
    for size in SIZES[1:]:
        by_column = [ampacity(size, material, each).value for each in COLUMNS]
        assert by_column == sorted(by_column)
        assert ampacity(size, "al", column).value <= ampacity(size, "cu", column).value


def test_ambient_factors_equal_the_equation_at_the_top_of_the_band():
    # NEC 310.15(B)(1): sqrt((Tc - Ta') / (Tc - 30)), rounded to two places.
    checked = 0
    for row in rows("ambient_correction"):
        top_c = float(row["ambient_high_c"])
        for column in COLUMNS:
            cell = row[f"factor_{column}c"]
            if cell:
                exact = math.sqrt((column - top_c) / (column - 30))
                assert float(cell) == pytest.approx(exact, abs=0.0051)
                checked += 1
            else:
                assert top_c >= column - 1
    assert checked == 39


def test_ambient_between_bands_belongs_to_the_hotter():
    assert ambient_factor(30, 75).value == 1.0
    assert ambient_factor(30.5, 75).value == 0.94
    assert ambient_factor(-20, 90).value == 1.15
    assert ambient_factor(55, 60).value == 0.41
    assert ambient_factor(55.1, 60) is None
    assert ambient_factor(86, 90) is None


def test_bundling_factors_of_nec_table_310_15_c_1():
    counts = (1, 3, 4, 6, 7, 9, 10, 20, 21, 30, 31, 40, 41, 200)
    factors = (1, 1, 0.8, 0.8, 0.7, 0.7, 0.5, 0.5, 0.45, 0.45, 0.4, 0.4, 0.35, 0.35)
    assert tuple(bundling_factor(count).value for count in counts) == factors


def test_areas_of_nec_chapter_9_table_8():
    expected = {"14": 4110, "12": 6530, "6": 26240, "2": 66360, "1": 83690, "4/0": 211600}
    assert {size: area_cmil(size) for size in expected} == expected
    assert area_cmil("750") == 750_000
    areas = [area_cmil(size) for size in SIZES]
    assert areas == sorted(areas)


@given(st.floats(min_value=1, max_value=2_000_000))
def test_size_of_area_is_the_smallest_that_covers(needed_cmil):
    size = size_of_area(needed_cmil)
    assert size is not None
    assert area_cmil(size) >= needed_cmil
    smaller = [other for other in SIZES if area_cmil(other) < area_cmil(size)]
    assert all(area_cmil(other) < needed_cmil for other in smaller)


def test_nothing_is_larger_than_2000_kcmil():
    assert size_of_area(2_000_001) is None


def test_table_8_resistance_times_area_is_a_constant_of_the_metal():
    for row in rows("conductor_properties"):
        kcmil = float(row["area_cmil"]) / 1000
        copper = float(row["dc_ohm_per_kft_cu_uncoated"])
        assert 12.55 <= copper * kcmil <= 12.94
        assert 20.76 <= float(row["dc_ohm_per_kft_al"]) * kcmil <= 21.26
        assert 1.022 <= float(row["dc_ohm_per_kft_cu_coated"]) / copper <= 1.045


def test_table_8_diameters_follow_from_the_strands():
    across = {"solid": 1, "7": 3, "19": 5, "37": 7, "61": 9, "91": 11, "127": 13}
    for row in rows("conductor_properties"):
        count = 1 if row["stranding"] == "solid" else int(row["stranding"])
        strand_in = math.sqrt(float(row["area_cmil"]) / count) / 1000
        diameter_in = float(row["overall_diameter_in"])
        assert strand_in * across[row["stranding"]] == pytest.approx(diameter_in, abs=0.0011)
        area_in2 = math.pi / 4 * diameter_in**2
        assert area_in2 == pytest.approx(float(row["overall_area_in2"]), abs=0.0011)


def test_table_9_effective_impedance_follows_from_its_resistance_and_reactance():
    # Note 2 of the table: Z = R cos + X sin, here at a power factor of 0.85. Two digits are
    # printed, which is worth up to 5.4 % at 1 AWG.
    checked = 0
    for row in rows("ac_impedance"):
        for material in ("cu", "al"):
            for conduit in ("pvc", "al_conduit", "steel"):
                resistance = row[f"r_ohm_per_kft_{material}_{conduit}"]
                if not resistance:
                    continue
                reactance = row[f"xl_ohm_per_kft_{'steel' if conduit == 'steel' else 'pvc_al'}"]
                z = float(resistance) * 0.85 + float(reactance) * 0.527
                assert z == pytest.approx(
                    float(row[f"z085_ohm_per_kft_{material}_{conduit}"]), rel=0.055
                )
                checked += 1
    assert checked == 123


@pytest.mark.parametrize("material", ["cu", "al"])
@pytest.mark.parametrize("raceway", ["pvc", "steel", "aluminum", None])
def test_resistance_falls_with_size_and_is_not_below_direct_current(material, raceway):
    resistances = [impedance_75c(size, material, raceway).value.real for size in SIZES]
    assert all(larger < smaller for smaller, larger in itertools.pairwise(resistances))
    for size, resistance in zip(SIZES, resistances, strict=True):
        assert resistance >= resistance_75c(size, material).value * 0.955  # two digits are printed


@pytest.mark.parametrize(
    ("size", "material", "raceway", "expected"),
    [
        ("4/0", "al", "pvc", 0.10 + 0.041j),
        ("4/0", "al", "steel", 0.10 + 0.051j),
        ("1/0", "cu", "aluminum", 0.13 + 0.044j),
        ("2", "al", "direct burial", 0.32 + 0.045j),
        ("250", "cu", "steel", 0.054 + 0.052j),
        ("350", "al", "cable", 0.061 + 0.040j),
    ],
)
def test_impedances_of_nec_chapter_9_table_9(size, material, raceway, expected):
    assert impedance_75c(size, material, raceway).value == expected


def test_sizes_that_table_9_omits_read_table_8():
    # Alternating over direct current, copper in PVC: 0.023/0.0214 at 600 and 0.019/0.0171 at 750
    # kcmil; 700 stands two thirds of the way, with 0.0184 ohm direct.
    found = impedance_75c("700", "cu", "pvc")
    low, high = 0.023 / 0.0214, 0.019 / 0.0171
    assert found.value.real == pytest.approx(0.0184 * (low + (high - low) * 2 / 3))
    assert found.value.imag == pytest.approx(0.039 - 0.001 * 2 / 3)
    assert found.cite_key == "resistance_table"
    # 14 AWG aluminum: its own reactance is listed, its resistance is that of the stranded wire.
    assert impedance_75c("14", "al", None).value == 5.17 + 0.058j


def test_dwelling_table_follows_from_83_per_cent_in_the_75_c_column():
    for row in rows("dwelling_service_conductors"):
        rating_a = float(row["service_amps"])
        for material in ("cu", "al"):
            fitting = [
                size
                for size in SIZES
                if (found := ampacity(size, material, 75)) and found.value >= 0.83 * rating_a
            ]
            assert dwelling_83(rating_a, material).value == fitting[0]


def test_dwelling_table_values_of_nec_table_310_12_a():
    assert dwelling_83(200, "al").value == "4/0"
    assert dwelling_83(200, "cu").value == "2/0"
    assert dwelling_83(100, "cu").value == "4"
    assert dwelling_83(400, "al").value == "600"
    assert dwelling_83(90, "cu") is None
    assert dwelling_83(600, "cu") is None


def test_insulation_columns_of_nec_table_310_4_1():
    assert insulation_column("XHHW", wet=False) == 90
    assert insulation_column("XHHW", wet=True) == 75
    assert insulation_column("XHHW-2", wet=True) == 90
    assert insulation_column("THWN", wet=True) == 75
    assert insulation_column("TW", wet=False) == 60
    assert insulation_column("UF-B", wet=True) == 60
    assert insulation_column("NM-B", wet=False) == 90
    assert ampacity_cap("NM-B") == 60
    assert ampacity_cap("XHHW-2") is None


def test_types_without_a_wet_rating_are_read_cautiously():
    assert not wet_rated("THHN")
    assert not wet_rated("NM-B")
    assert insulation_column("THHN", wet=True) == 60
    assert wet_rated("USE-2")


@pytest.mark.parametrize("kind", INSULATIONS)
def test_each_insulation_has_columns(kind):
    assert insulation_column(kind, wet=True) <= insulation_column(kind, wet=False)


def test_an_unknown_insulation_is_named():
    with pytest.raises(ValueError, match=r"XLPE-9.*known are TW"):
        insulation_column("XLPE-9", wet=False)


def test_assemblies_carry_what_their_conductors_do():
    for row in rows("common_assemblies"):
        for column in (60, 75):
            stated = row[f"hot_amps_{column}c"]
            if stated:
                assert float(stated) == ampacity(row["hot_size"], row["material"], column).value
