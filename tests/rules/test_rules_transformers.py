"""Transformers by kVA and by their heavier leg, never by the devices behind them."""

import pytest
from rules.build import altered, branch, broken, fine, message, remedied, service

from ampacre.model import records as r

UTILITY = "utility-transformer-over-nameplate"
OWN = "transformer-carries-load"


def on_75_kva(va, legs="AB"):
    site = service(kva=75, main_a=400, bus_a=400)
    site.add(r.Load, "load", "P", branch(400, legs=legs), va=va, continuous=False)
    return site.project()


def test_75_kva_at_240_v_is_312_amperes():
    # 75 000 / 240 = 312.5 A, whatever the 400 A main behind it says
    fine(on_75_kva(75_000.0), UTILITY)
    finding = broken(on_75_kva(75_240.0), UTILITY, "T")
    assert finding.severity == "warning"
    assert finding.values["rated_a"] == pytest.approx(312.5)
    assert finding.values["load_a"] == pytest.approx(313.5)
    assert finding.values["mains_a"] == 400


def test_the_message_asks_the_utility_and_cites_the_nameplate():
    from ampacre.rules.review import Review
    from ampacre.study.study import Study

    project = on_75_kva(90_000.0)
    assert message(project, UTILITY) == (
        "By calculation T would carry 90 kVA, 120 % of its 75 kVA nameplate: 375 A on the heavier "
        "leg, where 75 kVA at 240 V is 312.5 A; the mains below it add up to 400 A, which is not "
        "its rating. Ask the utility whether it may stay, with any measured peak."
    )
    review = Review(Study(project))
    assert {review.cite(f) for f in review.of("T")} == {"transformer nameplate"}


def test_one_leg_may_have_half_the_winding():
    # 40 kVA is little for 75 kVA, but on one leg it is 333 A on a winding of 312.5 A
    fine(on_75_kva(40_000.0), UTILITY)
    finding = broken(on_75_kva(40_000.0, legs="A"), UTILITY, "T")
    assert finding.values["share_pct"] < 60
    assert finding.values["load_a"] == pytest.approx(333.3, abs=0.1)


def test_the_next_standard_size_clears_it():
    remedied(on_75_kva(90_000.0), UTILITY, "Ask for a 100 kVA transformer for T")


def test_a_customer_transformer_over_its_nameplate_is_a_violation():
    mine = altered(on_75_kva(90_000.0), "equipment", "T", owner="customer")
    fine(mine, UTILITY)
    assert broken(mine, OWN, "T").severity == "violation"
    remedied(mine, OWN, "Fit a 100 kVA transformer for T")
    fine(altered(mine, "equipment", "T", kva=100.0), OWN)


def test_a_nameplate_that_was_not_read_says_nothing():
    fine(altered(on_75_kva(90_000.0), "equipment", "T", kva=None), UTILITY)


def test_devices_behind_a_main_that_was_not_read_are_not_taken_for_mains():
    site = service(kva=75, main_a=None, bus_a=400)
    site.add(r.Load, "load", "P", branch(400), va=90_000.0, continuous=False)
    assert "mains below" not in message(site.project(), UTILITY)
