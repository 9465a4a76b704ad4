"""One mobile home by the rules of its own article: NEC 550.18."""

import math

from ampacre.codebook.articles import cite
from ampacre.codebook.demand import lighting_demand
from ampacre.study.household import COOLING, HEATING, HVAC, general_note
from ampacre.study.optional_dwelling import dwelling_load
from ampacre.study.shares import Share, share_of
from ampacre.study.tally import connected_va, counted, picked
from ampacre.study.terms import Case

__all__ = ["mobile_home_shares", "range_va"]

MANY_APPLIANCES = 4
MANY_FACTOR = 0.75


def range_va(rating_va: float) -> float:
    """Load of a free-standing range by its rating [VA] (NEC 550.18(B)(5))."""
    if rating_va <= 10_000:
        return 0.8 * rating_va
    if rating_va <= 12_500:
        return 8_000.0
    return 8_000.0 + 400.0 * math.ceil((rating_va - 12_500) / 1_000)


def mobile_home_shares(case: Case, dwelling: str) -> list[Share]:
    """Load of a mobile home but its chargers: tiers of lighting, then nameplates on their legs.

    Motors and heaters count whole, the smaller of heating and cooling left out; appliances whole,
    from four on 75 %. The largest motor's 25 % comes with the total.
    """
    edition = case.rules.edition
    article = cite("mobile_home", edition)
    own = dwelling_load(case.tally, dwelling)
    general = picked(own, "dwelling general")
    demand = lighting_demand(connected_va(general), edition=edition)
    label = "Lighting, small-appliance and laundry circuits"
    shares = [share_of(general, label, demand.value, article, general_note(general))]
    cooling, heating = picked(own, *COOLING), picked(own, *HEATING, "heat pump")
    cools = connected_va(cooling) > connected_va(heating)
    air = cooling if cools else heating
    if air:
        label = "Cooling" if cools else "Heating"
        note = "the larger of heating and cooling" if cooling and heating else ""
        shares.append(share_of(air, label, connected_va(air), article, note))
    for what, part in (("Motors", picked(own, "motor")), ("Range", picked(own, "cooking"))):
        va = connected_va(part)
        if what == "Range":
            va = sum(a.pieces * range_va(k.rating_va) for k, a in part.items())
        if part:
            shares.append(share_of(part, what, va, article))
    done = {"dwelling general", "motor", "cooking", "charger", *HVAC}
    rest = {key: amount for key, amount in own.items() if key.category not in done}
    if rest:
        number = counted(rest)
        factor = MANY_FACTOR if number >= MANY_APPLIANCES else 1.0
        shares.append(share_of(rest, f"Appliances, {number}", factor * connected_va(rest), article))
    return [share._replace(steady=False) for share in shares]
