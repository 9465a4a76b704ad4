"""How the connected load of circuits lies on the legs of the panel that they leave."""

from collections.abc import Iterable, Mapping

from ampacre.study.facts import RunFacts

__all__ = ["leg_share", "leg_totals", "unevenness_pct"]


def leg_share(facts: RunFacts) -> dict[str, float]:
    """Connected volt-amperes of a circuit, shared equally by its legs.

    What feeds back through it (an inverter's output) is no load and counts for nothing.
    """
    if facts.demand is None or not facts.legs:
        return {}
    va = 0.0 if facts.demand.method == "source output" else facts.demand.connected_va
    return dict.fromkeys(facts.legs, va / len(facts.legs))


def leg_totals(circuits: Iterable[RunFacts], legs: str) -> dict[str, float]:
    """Connected volt-amperes on each leg, of all circuits."""
    totals = dict.fromkeys(legs, 0.0)
    for facts in circuits:
        for leg, va in leg_share(facts).items():
            totals[leg] = totals.get(leg, 0.0) + va
    return totals


def unevenness_pct(totals: Mapping[str, float]) -> float:
    """How far the lightest leg is below the heaviest [per cent of the heaviest]."""
    heaviest, lightest = max(totals.values(), default=0.0), min(totals.values(), default=0.0)
    return 100 * (heaviest - lightest) / heaviest if heaviest else 0.0
