"""Appliances that by their names are a household's ranges, ovens or dryers."""

import pytest
from rules.build import fine, message, of_rule, remedied
from study.build import served, with_piece, with_run

from ampacre.model import records as r
from ampacre.rules.review import Review
from ampacre.study.study import Study

RULE = "household-appliance"


def house(name, serves=None, **fields):
    site = served()
    site.add(r.DwellingLoad, "h", "p", {"role": "branch", "protected_at": "none"})
    about = {"category": "appliance", "va": 6_000, "volts": 240, "serves": serves}
    site.add(r.Load, "x", "p", {"role": "branch", "legs": "AB"}, **about | fields)
    return with_piece(site.project(), "x", name=name)


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("Range", "range"), ("Kitchen stove", "range"), ("Wall oven", "oven or cooktop"),
        ("Cook-top", "oven or cooktop"), ("Cooktops", "oven or cooktop"),
        ("Clothes dryer", "clothes dryer"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("serves", [None, "h"])
def test_what_its_name_says_is_offered(name, kind, serves):
    project = house(name, serves)
    assert f"If it is a household's {kind}, enter it as one" in message(project, RULE)
    assert "and as continuous" in message(project, RULE)
    assert "continuous" not in message(house(name, serves, continuous=False), RULE)
    remedied(project, RULE, f"Enter {name} as the {kind} of h")
    (finding,) = of_rule(project, RULE)
    (edit,) = Review(Study(project)).remedies(finding)
    after = project.apply(edit)
    assert (after.equipment["x"].category, after.equipment["x"].serves) == (kind, "h")


@pytest.mark.parametrize("name", ["Range hood", "Water heater", "Orange press", "x"])
def test_other_names_say_nothing(name):
    fine(house(name), RULE)


def test_what_is_entered_as_one_or_stands_in_no_household_is_fine():
    fine(house("Range", category="range"), RULE)
    site = served()
    site.add(r.Load, "Grain dryer", "p", {"role": "branch"}, category="appliance", va=9_000)
    fine(site.project(), RULE)


def test_beside_two_dwellings_nobody_can_tell_whose_it_is():
    site = served()
    for key in ("h", "i"):
        site.add(r.DwellingLoad, key, "p", {"role": "branch", "protected_at": "none"})
    site.add(r.Load, "Range", "p", {"role": "branch", "legs": "AB"}, category="appliance", va=9_000)
    assert of_rule(site.project(), RULE)
    remedied(site.project(), RULE)


def test_a_range_on_a_device_that_suits_it_is_offered_to_be_one():
    project = house("Range", va=12_000)
    project = with_run(project, "p-x", device=r.Device(rating_a=50))
    remedied(
        project, "run-device-carries-load",
        "Enter Range as the range of h", "Fit the run to Range with a 70 A device",
    )  # fmt: skip
