"""The optional method for one dwelling: NEC 220.82."""

from collections.abc import Mapping

from ampacre.codebook.articles import cite
from ampacre.model.system import System
from ampacre.study.facts import Line
from ampacre.study.general import charger_shares, part_three
from ampacre.study.leaves import Limit
from ampacre.study.shares import Share
from ampacre.study.tally import Amount, Category, Key, Tally

__all__ = ["as_block", "optional_shares", "sole_dwelling"]

FIRST_TIER_VA = 10_000.0
_HVAC: tuple[Category, ...] = (
    "cooling",
    "heat pump",
    "supplementary heat",
    "space heat",
    "storage heat",
)
_PARTS: tuple[tuple[str, tuple[Category, ...]], ...] = (
    ("General lighting, small-appliance and laundry circuits", ("dwelling general",)),
    ("Cooking at nameplate", ("cooking",)),
    ("Dryers at nameplate", ("dryer",)),
    ("Appliances at nameplate", ("fixed appliance", "water heater", "appliance")),
    ("Other loads of the dwelling", ("lighting", "receptacles", "heat", "other")),
    ("Motors of the dwelling", ("motor",)),
)


def sole_dwelling(tally: Tally) -> str:
    """Give the one dwelling of a tally, or "" where there is none or more than one."""
    dwellings = {key.dwelling for key in tally if key.category == "dwelling general"}
    return dwellings.pop() if len(dwellings) == 1 else ""


def optional_shares(
    tally: Tally,
    dwelling: str,
    limits: Mapping[str, Limit],
    *,
    chargers_inside: bool,
    system: System,
    edition: str,
) -> list[Share]:
    """Demand of one dwelling by its pool, of its chargers by policy, and of the rest by Part III.

    The pool counts 100 % of its first 10 kVA and 40 % of the rest; heating and cooling come after
    it (NEC 220.82(B) and (C)). Chargers stand outside the pool at 100 % unless `chargers_inside`.
    """
    own = {k: a for k, a in tally.items() if k.dwelling == dwelling}
    rest = {k: a for k, a in tally.items() if k.dwelling != dwelling}
    chargers = {k: a for k, a in own.items() if k.category == "charger"}
    article = cite("optional_dwelling", edition)
    legs = system.legs
    shares: list[Share] = []
    pool_va = 0.0
    for label, categories in _PARTS:
        va = sum(a.va for k, a in own.items() if k.category in categories)
        if va:
            pool_va += va
            shares.append(Share(Line(label, va, None, None, "VA", article, "in the pool"), {}, {}))
    charging: list[Share] = []
    if chargers_inside:
        va = sum(share.va for share in charger_shares(chargers, limits, edition))
        if va:
            pool_va += va
            line = Line("Chargers of the dwelling", va, None, None, "VA", article, "in the pool")
            shares.append(Share(line, {}, {}))
    else:
        charging = charger_shares(chargers, limits, edition)
    first = min(pool_va, FIRST_TIER_VA)
    second = 0.40 * (pool_va - first)
    shares += [
        Share(Line("First 10 kVA of the pool", first, 1.0, first, "VA", article), {legs: first}, {}),
        Share(
            Line("Rest of the pool", pool_va - first, 0.40, second, "VA", article),
            {legs: second}, {},
        ),
    ]  # fmt: skip
    shares += _hvac_share(own, legs, article)
    others = part_three(rest, limits, edition)
    return shares + charging + others


def _hvac_share(own: Tally, legs: str, article: str) -> list[Share]:
    """Take the largest of the selections of NEC 220.82(C)."""
    va = {c: sum(a.va for k, a in own.items() if k.category == c) for c in _HVAC}
    units = sum(a.pieces for k, a in own.items() if k.category == "space heat")
    if not any(va.values()):
        return []
    space = 0.65 if units < 4 else 0.40
    choices = (
        ("Cooling", va["cooling"], 1.0, va["cooling"]),
        (
            "Heat pump, with supplementary heat at 65 %",
            va["heat pump"] + va["supplementary heat"],
            None,
            va["heat pump"] + 0.65 * va["supplementary heat"],
        ),
        ("Space heating", va["space heat"], space, space * va["space heat"]),
        ("Storage heating", va["storage heat"], 1.0, va["storage heat"]),
    )
    label, quantity, factor, result = max(choices, key=lambda choice: choice[3])
    if not va["supplementary heat"]:
        label = label.partition(",")[0]
    note = "the largest selection of heating and cooling"
    return [Share(Line(label, quantity, factor, result, "VA", article, note), {legs: result}, {})]


def as_block(
    tally: Tally, dwelling: str, limits: Mapping[str, Limit], *, system: System, edition: str
) -> Tally:
    """Replace a dwelling's loads by one block of its optional-method demand.

    Its chargers stay what they are, so that a point above can count them with the others.
    """
    own = {
        key: amount
        for key, amount in tally.items()
        if key.dwelling == dwelling and key.category != "charger"
    }
    shares = optional_shares(
        own, dwelling, limits, chargers_inside=False, system=system, edition=edition
    )
    block = Key("block", system.legs, dwelling=dwelling)
    rest = {key: amount for key, amount in tally.items() if key not in own}
    return {block: Amount(sum(share.va for share in shares)), **rest}
