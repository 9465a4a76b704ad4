"""The optional method for one dwelling: NEC 220.82."""

from ampacre.codebook.articles import cite
from ampacre.codebook.demand import Pool, optional_heating, optional_pool
from ampacre.study.charging import charger_shares
from ampacre.study.facts import Line
from ampacre.study.household import HVAC
from ampacre.study.shares import Share, block_share, listed
from ampacre.study.tally import Category, Tally, connected_va, counted, picked
from ampacre.study.terms import Case

__all__ = [
    "POOL",
    "chargers_in_pool",
    "dwelling_load",
    "optional_shares",
    "pool_lines",
    "tier",
    "why_not_optional",
]

LEAST_SET_A = 100.0
FEW_UNITS = 4
"""From so many separately controlled heating units on, less of them counts."""
POOL: tuple[tuple[str, tuple[Category, ...]], ...] = (
    ("General lighting, small-appliance and laundry circuits", ("dwelling general",)),
    ("Cooking at nameplate", ("cooking",)),
    ("Dryers at nameplate", ("dryer",)),
    ("Appliances at nameplate", ("fixed appliance", "water heater", "appliance")),
    (
        "Other loads of the dwelling",
        (
            "lighting", "receptacles", "other", "show window", "sign", "track lighting",
            "kitchen", "welder", "elevator", "pedestal", "vehicle site", "slip", "lot",
        ),
    ),
    ("Motors of the dwelling", ("motor",)),
)  # fmt: skip
"""What the pool of NEC 220.82(B) and 220.83 holds, by the lines that print it."""


def dwelling_load(tally: Tally, dwelling: str) -> Tally:
    """The loads of one dwelling, wherever they hang."""
    return {key: amount for key, amount in tally.items() if key.dwelling == dwelling}


def why_not_optional(case: Case, dwelling: str) -> str:
    """Say why the optional method does not serve here; "" where it does.

    One dwelling's whole load on one three-wire 120/240 or 120/208 V set of conductors of 100 A or
    more (NEC 220.82(A)).
    """
    if not dwelling:
        return "it is for one dwelling's whole load on one set of conductors"
    if not case.at:
        return ""
    if len(case.system.legs) != 2 or not case.system.neutral or case.system.line_v > 240:
        return "it is for a three-wire 120/240 or 120/208 V supply"
    if dwelling not in case.whole:
        return "not all load of the dwelling is on this set of conductors"
    if case.least_a is not None and case.least_a < LEAST_SET_A:
        return f"it is for a supply of 100 A or more; this one is rated {case.least_a:g} A"
    return ""


def optional_shares(case: Case, dwelling: str) -> list[Share]:
    """Demand of one dwelling by its pool, and of its chargers by the project's policy.

    The pool counts 100 % of its first 10 kVA and 40 % of the rest; heating and cooling come after
    it (NEC 220.82(B) and (C)). Chargers stand outside the pool at 100 % unless the policy says
    "inside".
    """
    rules, legs = case.rules, case.system.legs
    own = dwelling_load(case.tally, dwelling)
    article = cite("optional_dwelling", rules.edition)
    charging = charger_shares(own, rules.limits, rules.edition)
    shares = pool_lines(own, article)
    if rules.optional_chargers == "inside":
        shares += chargers_in_pool(charging, article)
        charging = []
    tiers = pool_tiers(shares, optional_pool(rules.edition).value, legs, article)
    return [*shares, *tiers, *_hvac_share(own, legs, article, rules.edition), *charging]


def pool_tiers(
    shares: list[Share], pool: Pool, legs: str, article: str, note: str = ""
) -> list[Share]:
    """The first part of a pool whole, the rest at its share; `shares` are the pool's lines."""
    pool_va = sum(share.line.quantity or 0.0 for share in shares)
    first_va = min(pool_va, pool.whole_va)
    label = f"First {pool.whole_va / 1000:g} kVA of the pool"
    return [
        tier(label, first_va, 1.0, legs, article, note),
        tier("Rest of the pool", pool_va - first_va, pool.rest, legs, article),
    ]


def pool_lines(own: Tally, article: str) -> list[Share]:
    """The lines of a dwelling's pool, apart from heating, cooling and chargers."""
    amounts = ((label, connected_va(picked(own, *categories))) for label, categories in POOL)
    return [listed(label, va, article) for label, va in amounts if va]


def chargers_in_pool(charging: list[Share], article: str) -> list[Share]:
    """The line of a dwelling's chargers where the project's policy counts them in the pool."""
    va = sum(share.va for share in charging)
    return [listed("Chargers of the dwelling", va, article)] if va else []


def tier(label: str, va: float, factor: float, legs: str, article: str, note: str = "") -> Share:
    """A part of a pool at its factor, on all legs alike."""
    share = block_share(label, factor * va, legs, article)
    return share._replace(line=Line(label, va, factor, factor * va, "VA", article, note))


def _hvac_share(own: Tally, legs: str, article: str, edition: str) -> list[Share]:
    """Take the largest of the selections of NEC 220.82(C)."""
    va = {category: connected_va(picked(own, category)) for category in HVAC}
    units = counted(picked(own, "space heat"))
    if not any(va.values()):
        return []
    space = optional_heating("4" if units < FEW_UNITS else "5", edition).value
    beside_pump = optional_heating("3b", edition).value
    both = va["heat pump"] + va["supplementary heat"]
    pump_va = va["heat pump"] + beside_pump * va["supplementary heat"]
    choices = (
        ("Cooling", va["cooling"], 1.0, va["cooling"]),
        ("Heat pump", both, pump_va / both if both else 1.0, pump_va),
        ("Space heating", va["space heat"], space, space * va["space heat"]),
        ("Storage heating", va["storage heat"], 1.0, va["storage heat"]),
    )
    label, quantity, factor, _ = max(choices, key=lambda choice: choice[3])
    note = "the largest selection of heating and cooling: " + ", ".join(
        f"{name.lower()} {counts:,.0f} VA" for name, _, _, counts in choices if counts
    )
    if label == "Heat pump" and va["supplementary heat"]:
        note += f"; supplementary heat at {100 * beside_pump:g} %"
    return [tier(label, quantity, factor, legs, article, note)]
