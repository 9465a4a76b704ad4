"""Article 547 is named as not checked where there is livestock or corrosive dust."""

import dataclasses

import pytest
from rules.build import altered, broken, fine, message, service

from ampacre.codebook.articles import EDITIONS, cite
from ampacre.model import records as r
from ampacre.rules.rule import RULES

RULE = "agricultural-building"


def barn(use="farm building", holds=None):
    """A panel in a barn."""
    structures = {"barn": r.Structure(id="barn", name="Barn", use=use, livestock_or_dust=holds)}
    project = dataclasses.replace(service().project(), structures=structures)
    return altered(project, "equipment", "P", structure="barn")


@pytest.mark.parametrize("use", ["farm building", "accessory", None])
def test_livestock_is_named_as_not_checked(use):
    project = barn(use, holds=True)
    assert broken(project, RULE, "project").severity == "ask"
    assert message(project, RULE) == (
        "Barn holds livestock or corrosive dust: what Article 547 asks of its wiring, grounding "
        "and bonding is not checked."
    )


def test_a_farm_building_of_which_nobody_said():
    assert broken(barn(), RULE, "project").severity == "advice"
    assert message(barn(), RULE).startswith("Say whether Barn holds livestock or corrosive dust")


def test_where_it_does_not_hold_nothing_is_said():
    fine(barn(holds=False), RULE)
    fine(barn("accessory"), RULE)
    fine(altered(barn(holds=True), "equipment", "P", structure=None), RULE)


@pytest.mark.parametrize("edition", EDITIONS)
def test_the_article_is_cited_from_memory(edition):
    assert cite(RULES[RULE].cite, edition) == f"NEC {edition} Article 547 (number not confirmed)"
