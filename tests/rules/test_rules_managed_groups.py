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
