"""An existing dwelling that gets more load: NEC 220.83."""

from ampacre.codebook.articles import cite
from ampacre.codebook.demand import existing_pool
from ampacre.study.charging import charger_shares
from ampacre.study.household import COOLING, HVAC
from ampacre.study.optional_dwelling import (
    chargers_in_pool,
    dwelling_load,
    pool_lines,
    pool_tiers,
    tier,
)
from ampacre.study.shares import Share, listed
from ampacre.study.tally import Tally, connected_va, counted, picked
from ampacre.study.terms import Case

__all__ = ["existing_shares", "is_new"]

MOST_AT_WHOLE = 3
"""Separately controlled heating units that count whole; more of them go with the other loads."""


def is_new(case: Case, dwelling: str) -> bool:
    """Whether a dwelling comes with the work; one that was only fed from elsewhere does not."""
    general = picked(dwelling_load(case.tally, dwelling), "dwelling general")
    return dwelling not in case.rules.moved and all(key.new for key in general)


def existing_shares(case: Case, dwelling: str) -> list[Share]:
    """Demand of an existing dwelling with its new loads, chargers by the project's policy.

    (A) without new heating or cooling: 8 kVA of all load at 100 %, the rest at 40 %. (B) with new
    heating or cooling: the larger of heating and cooling at 100 %, and the other loads so. Part (A)
    does not name existing heating and cooling; the policy keeps them in the pool or leaves them
    out.
    """
    rules, legs = case.rules, case.system.legs
    own = dwelling_load(case.tally, dwelling)
    article = cite("existing_dwelling", rules.edition)
    hvac = picked(own, *HVAC)
    new_hvac = any(key.new for key in hvac)
    charging = charger_shares(own, rules.limits, rules.edition)
    shares = pool_lines(own, article)
    inside, whole = _hvac(hvac, legs, article) if new_hvac else (hvac, [])
    if connected_va(inside):
        if new_hvac or rules.existing_hvac == "in the pool":
            shares.append(listed("Heating and cooling", connected_va(inside), article))
        else:
            note = "left out by project policy"
            line = listed("Existing heating and cooling", 0.0, article, note).line
            shares.append(Share(line))
    if rules.optional_chargers == "inside":
        shares += chargers_in_pool(charging, article)
        charging = []
    part = "(B), new heating or cooling" if new_hvac else "(A), no new heating or cooling"
    pool = existing_pool(rules.edition).value
    tiers = pool_tiers(shares, pool, legs, article, f"220.83{part}")
    return [*shares, *tiers, *whole, *charging]


def _hvac(hvac: Tally, legs: str, article: str) -> tuple[Tally, list[Share]]:
    """Split heating and cooling by 220.83(B): what goes into the pool, and what counts whole."""
    units = picked(hvac, "space heat", "storage heat")
    in_pool = units if counted(units) > MOST_AT_WHOLE else {}
    sides = {
        "Cooling": picked(hvac, *COOLING),
        "Heat pump with supplementary heat": picked(hvac, "heat pump", "supplementary heat"),
        "Space heating": {} if in_pool else units,
    }
    label = max(sides, key=lambda side: connected_va(sides[side]))
    va = connected_va(sides[label])
    note = "the larger of heating and cooling"
    return in_pool, [tier(label, va, 1.0, legs, article, note)] if va else []
