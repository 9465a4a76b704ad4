"""Assemblies picked whole, and places that need ground-fault protection."""

import pytest

from ampacre.codebook.articles import EDITIONS
from ampacre.codebook.assemblies import assemblies
from ampacre.codebook.conductors import INSULATIONS, SIZES, ampacity
from ampacre.codebook.ground_fault import ground_fault_protection
from ampacre.codebook.tables import rows

BY_NAME = {cited.value.name: cited.value for cited in assemblies()}


def test_the_usual_feeder_cable():
    found = BY_NAME["4/0-4/0-2/0-4"]
    assert (found.size, found.hot_count, found.neutral, found.grounding) == ("4/0", 2, "2/0", "4")
    assert (found.material, found.insulation, found.direct_burial) == ("al", "USE-2", True)
    assert found.grounding_serves_a == 200


def test_a_service_lateral_has_no_grounding_conductor():
    assert BY_NAME["350-350-4/0"].grounding == "none"


def test_entrance_cable_stays_indoors():
    cable = BY_NAME["4/0-4/0-4/0-2/0 SER"]
    assert (cable.insulation, cable.indoors, cable.direct_burial) == ("SER", True, False)


@pytest.mark.parametrize("name", BY_NAME)
def test_each_can_be_a_runs_conductors(name):
    found = BY_NAME[name]
    assert found.size in SIZES
    assert found.neutral in (*SIZES, "none")
    assert found.grounding in (*SIZES, "none")
    assert found.insulation in INSULATIONS


def test_their_ampacities_are_those_of_table_310_16():
    for row in rows("common_assemblies"):
        for column in (60, 75):
            printed = row[f"hot_amps_{column}c"]
            if printed:
                carried = ampacity(row["hot_size"], row["material"], column)
                assert carried.value == float(printed)


def test_outdoor_outlets_came_with_2020():
    assert ground_fault_protection("outdoor_outlets", "2017") is None
    found = ground_fault_protection("outdoor_outlets", "2020")
    assert "50 A" in found.value
    assert found.cite_key == "NEC 2020 210.8(F)"


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("key", [row["key"] for row in rows("gfci_requirements")])
def test_each_place_has_a_section_where_it_has_a_requirement(key, edition):
    found = ground_fault_protection(key, edition)
    assert found is None or found.cite_key.startswith(f"NEC {edition} ")
