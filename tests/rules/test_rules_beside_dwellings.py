"""Loads that are drawn beside a dwelling's on its panel."""

from rules.build import fine, message, of_rule, remedied
from study.build import served

from ampacre.model import records as r
from ampacre.rules.review import Review
from ampacre.study.study import Study

RULE = "loads-beside-dwelling"
LOADS = (("Range", 12_000), ("Dryer", 5_000), ("Heater", 4_500), ("Washer", 1_200))


def house(basis=None, serves=None, loads=LOADS):
    """A panel "p" with a dwelling's load "h" and these appliances."""
    site = served(basis=basis)
    site.add(
        r.DwellingLoad, "h", "p", {"role": "branch", "protected_at": "none"}, floor_area_m2=150
    )
    for name, va in loads:
        circuit = {"role": "branch", "legs": "AB"}
        about = {"category": "appliance", "va": va, "volts": 240, "serves": serves}
        site.add(r.Load, name, "p", circuit, **about)
    return site.project()


def carried_a(project):
    return Study(project).equipment("p").demand.heavier_a


def test_loads_that_serve_no_dwelling_are_one_line_at_its_panel():
    assert [finding.where for finding in of_rule(house(), RULE)] == ["p"]
    assert "Dryer, Heater, Range and more on p serve no dwelling as entered" in message(
        house(), RULE
    )
    one = house(loads=LOADS[:1])
    assert "Range on p serves no dwelling as entered, and counts beside h" in message(one, RULE)
    assert f"{carried_a(one):.1f} A in all" in message(one, RULE)


def test_loads_of_the_dwelling_and_other_methods_are_fine():
    fine(house(serves="h"), RULE)
    fine(house(loads=()), RULE)
    fine(house(basis="connected"), RULE)
    assert of_rule(house(basis="optional dwelling"), RULE)


def test_a_panel_without_a_dwellings_load_or_with_two_is_fine():
    site = served()
    site.add(r.Load, "x", "p", {"role": "branch", "legs": "AB"}, category="appliance", va=5000)
    fine(site.project(), RULE)
    for key in ("h", "i"):
        site.add(r.DwellingLoad, key, "p", {"role": "branch", "protected_at": "none"})
    fine(site.project(), RULE)


def test_the_remedies_say_what_the_panel_then_carries():
    """The optional method's: all of it in the pool of NEC 220.82(B), 40 % above 10 kVA."""
    general_a = carried_a(house(serves="h"))
    general_va = 3 * 150 / 0.09290304 + 3 * 1500
    pool_va = general_va + sum(va for _, va in LOADS)
    optional_a = (10_000 + 0.4 * (pool_va - 10_000)) / 240
    remedied(
        house(), RULE,
        f"Let all of them serve h: p carries {general_a:.1f} A",
        f"Let all of them serve h and compute p by the optional method: p carries {optional_a:.1f} A",
    )  # fmt: skip


def test_a_panel_of_the_optional_method_has_the_one_remedy():
    (finding,) = of_rule(house(basis="optional dwelling"), RULE)
    project = house(basis="optional dwelling")
    (edit,) = Review(Study(project)).remedies(finding)
    after = project.apply(edit)
    assert {piece.serves for piece in after.equipment.values() if isinstance(piece, r.Load)} == {
        "h"
    }
    assert edit.label.endswith(f"{carried_a(after):.1f} A")
