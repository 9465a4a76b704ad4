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


def test_a_service_neutral_is_not_smaller_than_the_table():
    # NEC Table 250.102(C)(1): 1/0 aluminum with ungrounded aluminum over 250 to 500 kcmil
    site = service()
    project = site.project()
    fine(project, "service-neutral-large-enough")
    small = r.Conductors(size="500", material="al", neutral="1")
    project = altered(project, "runs", "T-P", conductors=small)
    broken(project, "service-neutral-large-enough", "T-P")
    remedied(project, "service-neutral-large-enough", "Use a 1/0 AWG neutral for the run to P")
