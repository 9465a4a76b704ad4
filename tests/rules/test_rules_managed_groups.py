"""Managed groups: what has to be confirmed, and limits that make sense."""

import pytest
from rules.build import altered, branch, broken, fine, message, remedied, service

from ampacre.model import records as r

CONFIRMED = {"listed": True, "access_restricted": True, "fail_safe_a": 6.0}


def pair(limit_a=60.0, **confirmed):
    """Two chargers of 48 A and 32 A under one limit."""
    site = service()
    for name, amperes in (("C1", 48.0), ("C2", 32.0)):
        site.add(r.Charger, name, "P", branch(60), nameplate_a=amperes)
    site.group(r.ManagedGroup, "G", "C1", "C2", limit_a=limit_a, **confirmed)
    return site


def test_an_unconfirmed_limit_is_not_counted():
    project = pair().project()
    assert broken(project, "group-limit-confirmed", "project").about == "G"
    assert message(project, "group-limit-confirmed") == (
        "The limit of G, 60 A, is not counted: confirm its listing, that its setting is kept from "
        "users and its fail-safe current."
    )
    fine(pair(**CONFIRMED).project(), "group-limit-confirmed")


@pytest.mark.parametrize("lacking", CONFIRMED)
def test_each_condition_matters(lacking):
    some = {name: value for name, value in CONFIRMED.items() if name != lacking}
    broken(pair(**some).project(), "group-limit-confirmed", "project")


def test_a_limit_that_never_acts():
    # 48 + 32 = 80 A
    broken(pair(80.0, **CONFIRMED).project(), "group-limit-has-effect", "project")
    fine(pair(79.0, **CONFIRMED).project(), "group-limit-has-effect")


def test_a_nested_limit_above_the_outer_one():
    site = pair(60.0, **CONFIRMED)
    site.add(r.Charger, "C3", "P", branch(60), nameplate_a=48.0)
    site.group(r.ManagedGroup, "all", "G", "C3", limit_a=50.0, **CONFIRMED)
    project = site.project()
    assert broken(project, "group-nested-limit-lower", "project").about == "G"
    fine(altered(project, "groups", "G", limit_a=40.0), "group-nested-limit-lower")


def test_a_fail_safe_above_the_limit():
    project = pair(60.0, **CONFIRMED | {"fail_safe_a": 70.0}).project()
    broken(project, "group-fail-safe-within-limit", "project")
    remedied(project, "group-fail-safe-within-limit", "Let G fall back to 60 A")


def watching(limit_a=100.0, other_a=60.0, fail_safe_a=12.0):
    """A panel P with other load, and chargers of 48 A and 32 A, held to a limit where it is fed."""
    site = service()
    site.add(r.Load, "heater", "P", branch(100), va=240 * other_a, continuous=False)
    for name, amperes in (("C1", 48.0), ("C2", 32.0)):
        site.add(r.Charger, name, "P", branch(60), nameplate_a=amperes)
    site.group(
        r.ManagedGroup, "G", "C1", "C2", limit_a=limit_a, holds="all load", measured_at="P",
        **CONFIRMED | {"fail_safe_a": fail_safe_a},
    )  # fmt: skip
    return site


def test_a_system_that_holds_all_load_says_where_it_measures():
    project = altered(watching().project(), "groups", "G", measured_at=None)
    assert message(project, "group-limit-confirmed") == (
        "The limit of G, 100 A, is not counted: confirm where it measures."
    )


def test_load_that_is_not_controlled_stays_below_the_limit():
    project = watching(other_a=110.0, fail_safe_a=0.0).project()
    found = broken(project, "group-uncontrolled-load-within-limit", "P")
    assert found.severity == "violation"
    assert message(project, "group-uncontrolled-load-within-limit") == (
        "G can't hold P to 100 A: the load that it does not control is 110 A."
    )
    fine(watching(other_a=100.0).project(), "group-uncontrolled-load-within-limit")


def test_a_charger_that_is_not_fed_through_the_measuring_point():
    site = watching()
    site.add(r.Panel, "sub", "P", branch(100, role="feeder", legs=""))
    project = altered(site.project(), "groups", "G", measured_at="sub")
    broken(project, "group-members-measured", "project")
    assert message(project, "group-members-measured") == (
        "The limit of G, 100 A, is not counted: it measures at sub, and C1 and C2 are not fed "
        "through there."
    )
    fine(watching().project(), "group-members-measured")


def test_a_limit_above_all_load_at_its_place_never_acts():
    # 60 + 48 + 32 = 140 A
    project = watching(140.0).project()
    assert message(project, "group-limit-has-effect") == (
        "The limit of G, 140 A, never acts: the load at P is 140 A with its members at their "
        "settings."
    )
    fine(watching(139.0).project(), "group-limit-has-effect")


def test_a_fail_safe_beside_load_that_is_not_controlled():
    # 60 A and 41 A are above 100 A; 40 A fit
    project = watching(fail_safe_a=41.0).project()
    assert message(project, "group-fail-safe-within-limit") == (
        "G falls back to 41 A when its manager fails; with the 60 A at P that it does not "
        "control, that is above its limit of 100 A."
    )
    remedied(project, "group-fail-safe-within-limit", "Let G fall back to 40 A")
    fine(watching(fail_safe_a=40.0).project(), "group-fail-safe-within-limit")


def test_a_limit_on_all_load_is_not_compared_with_one_on_chargers():
    site = watching(150.0)
    site.group(r.ManagedGroup, "all", "G", limit_a=50.0, **CONFIRMED)
    fine(site.project(), "group-nested-limit-lower")
