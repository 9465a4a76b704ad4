"""New feeders by cable are cables that one can buy."""

import pytest
from study.sizing.plan import facts, feeder, lines

from ampacre.codebook.assemblies import assemblies
from ampacre.codebook.conductors import area_cmil
from ampacre.model import records as r

ON_SALE = [one.value for one in assemblies()]


def cable(amperes, length_m=9.0, place="indoors", **run):
    project = feeder(amperes * 240.0, raceway="cable", place=place, length_m=length_m, **run)
    return facts(project, "m-w")


def sizes(found):
    return found.size.value, found.neutral.value, found.grounding.value


def is_on_sale(found):
    """Small cables for dry places are made like those for the ground."""
    kinds = {"NM-B": "UF-B"}
    kind = kinds.get(found.insulation.value, found.insulation.value)
    return any(
        one.insulation == kind and (one.size, one.neutral, one.grounding) == sizes(found)
        for one in ON_SALE
    )


@pytest.mark.parametrize("place", ["indoors", "yard"])
@pytest.mark.parametrize("amperes", range(20, 180, 20))
def test_every_size_is_on_sale_and_holds_what_it_must(amperes, place):
    found = cable(amperes, place=place)
    assert is_on_sale(found)
    assert found.ampacity.allowed_a >= amperes
    assert area_cmil(found.neutral.value) >= area_cmil(found.neutral_needed)
    assert area_cmil(found.grounding.value) >= area_cmil(found.grounding_needed)
    assert {c.how for c in (found.size, found.neutral, found.grounding)} == {"chosen"}


def test_entrance_cable_comes_with_a_full_neutral_and_its_own_grounding_conductor():
    # 65 A: 4 AWG aluminum at 75 C on a 70 A device
    found = cable(65)
    assert sizes(found) == ("4", "4", "6")
    assert found.insulation.value == "SER"
    assert "4-4-4-6 as sold" in found.size.why
    assert any("4 AWG aluminum" in label for label in lines(found))


def test_a_small_cable_has_conductors_of_one_size():
    found = cable(45)
    assert found.insulation.value == "NM-B"
    assert sizes(found)[0] == sizes(found)[1]
    assert found.grounding.value == "10"


def test_between_two_on_sale_the_larger_is_taken():
    # 72 A on an 80 A device: 3 AWG aluminum, 75 A, would do and is not sold
    found = cable(72)
    assert found.needed == "3"
    assert sizes(found) == ("2", "2", "4")


def test_what_was_entered_stays():
    wires = r.Conductors(grounding="4")
    assert cable(65, conductors=wires).grounding.value == "4"
    assert cable(65, conductors=r.Conductors(size="2")).size.value == "2"


def test_long_runs_need_a_grounding_conductor_that_grew_with_the_others():
    for length_m in (60.0, 120.0, 200.0):
        found = cable(40, length_m, place="yard")
        assert area_cmil(found.grounding.value) >= area_cmil(found.grounding_needed)
        assert found.drop_pct <= 3.0


def test_where_none_is_on_sale_the_neutral_is_full_and_it_is_said():
    found = cable(40, 120.0)
    assert found.insulation.value == "NM-B"
    assert found.neutral.value == found.size.value
    assert "no usual cable has these sizes" in found.size.why
    # nor for 200 A in the ground
    assert "no usual cable has these sizes" in cable(200, place="yard").size.why


def test_wires_in_a_raceway_are_chosen_one_by_one():
    project = feeder(65 * 240.0, raceway="pvc", place="yard", length_m=9.0)
    found = facts(project, "m-w")
    assert "as sold" not in found.size.why
