"""Neutrals: the load of NEC 220.61, and the floors of 215.2 and 250.24(C)."""

import pytest
from rules.build import altered, branch, broken, feeder, fine, remedied, service

from ampacre.model import records as r


def lights(neutral, device_a=60):
    """A 4 AWG copper feeder for 40 A of 120 V lights on one leg."""
    site = service()
    site.add(
        r.Panel, "sub", "P",
        feeder(
            device_a, r.Conductors(size="4", material="cu", neutral=neutral), terminal_c=75
        ),
    )  # fmt: skip
    site.add(
        r.Load, "lights", "sub", branch(60, legs="A"), va=4800.0, category="lighting",
        continuous=False,
    )  # fmt: skip
    return site.project()


def test_a_neutral_carries_the_load_of_one_leg():
    # NEC 310.16, copper at 75 C: 8 AWG carries 50 A, 10 AWG 35 A
    fine(lights("8"), "neutral-carries-load")
    finding = broken(lights("10"), "neutral-carries-load", "P-sub")
    assert finding.values["neutral_a"] == pytest.approx(40)
    assert finding.values["carried_a"] == 35
    remedied(lights("10"), "neutral-carries-load", "Use an 8 AWG neutral for the run to sub")


def test_no_neutral_where_one_is_used():
    broken(lights("none"), "neutral-carries-load", "P-sub")
    two_legs = altered(lights("none"), "runs", "sub-lights", legs="AB")
    fine(two_legs, "neutral-carries-load")


def test_a_feeder_neutral_is_not_smaller_than_the_grounding_conductor():
    # NEC Table 250.122: 8 AWG copper behind 100 A, 10 AWG behind 60 A
    fine(lights("10", 60), "feeder-neutral-large-enough")
    project = lights("10", 100)
    broken(project, "feeder-neutral-large-enough", "P-sub")
    remedied(project, "feeder-neutral-large-enough", "Use an 8 AWG neutral for the run to sub")


def test_an_enlarged_feeder_has_an_enlarged_neutral_to_ask_for():
    # NEC 215.2(B), 250.122(B): 10 AWG of Table 250.122, 10,380 cmil, grows as 26,240 cmil of 6 AWG
    # to 66,360 of 2 AWG: 26,250 cmil, 4 AWG (41,740)
    def project(neutral, size="2"):
        larger = r.Conductors(size=size, material="cu", neutral=neutral)
        return altered(lights("8"), "runs", "P-sub", conductors=larger)

    finding = broken(project("6"), "feeder-neutral-enlarged", "P-sub")
    assert finding.values["least"] == "4 AWG"
    remedied(project("6"), "feeder-neutral-enlarged", "Use a 4 AWG neutral for the run to sub")
    fine(project("4"), "feeder-neutral-enlarged")
    fine(project("8", size="6"), "feeder-neutral-enlarged")


def test_neutrals_in_parallel_are_judged_together():
    # 250.122(F) does not hold for neutrals: 800 A, 3/0 aluminum of Table 250.122 (167,800 cmil) in
    # two sets is 83,900 cmil in each: 1/0 is enough
    site = service()
    wires = r.Conductors(size="600", material="al", sets=2, neutral="1/0")
    site.add(r.Panel, "sub", "P", feeder(800, wires, terminal_c=75))
    fine(site.project(), "feeder-neutral-large-enough")
    one = r.Conductors(size="600", material="al", neutral="1/0")
    project = altered(site.project(), "runs", "P-sub", conductors=one)
    broken(project, "feeder-neutral-large-enough", "P-sub")


def test_a_service_neutral_is_not_smaller_than_the_table():
    # NEC Table 250.102(C)(1): 1/0 aluminum with ungrounded aluminum over 250 to 500 kcmil
    site = service()
    project = site.project()
    fine(project, "service-neutral-large-enough")
    small = r.Conductors(size="500", material="al", neutral="1")
    project = altered(project, "runs", "T-P", conductors=small)
    broken(project, "service-neutral-large-enough", "T-P")
    remedied(project, "service-neutral-large-enough", "Use a 1/0 AWG neutral for the run to P")
