"""Farm loads: one building by NEC 220.102, and all of them at the common service by 220.103."""

from typing import NamedTuple

from ampacre.codebook.articles import cite
from ampacre.codebook.demand import farm_building_factors, farm_total_factors
from ampacre.study.facts import Line
from ampacre.study.shares import Share, share_of
from ampacre.study.tally import Tally, connected_va, counted
from ampacre.study.terms import Case, Unit

__all__ = [
    "building_share",
    "building_shares",
    "buildings",
    "farm_loads",
    "farm_shares",
    "why_not_building",
]

FARM_V = 240.0
"""Voltage at which the farm tables count amperes."""
TIER_VA = 60.0 * FARM_V
FEWEST_CIRCUITS = 2


class _Tiers(NamedTuple):
    """Load of a building in the three tiers of Table 220.102 [VA], and what the first rests on."""

    first: float
    second: float
    rest: float
    why: str

    @property
    def va(self) -> float:
        """Demand of the building [VA]."""
        return sum(f * va for f, va in zip(farm_building_factors(), self[:3], strict=True))


def farm_loads(tally: Tally) -> Tally:
    """Loads that the farm method counts: neither a dwelling's nor chargers, sites or records."""
    outside = ("charger", "pedestal", "vehicle site", "slip", "lot", "measured", "block")
    return {
        key: amount
        for key, amount in tally.items()
        if not key.dwelling and key.category not in outside
    }


def _tiers(part: Tally, simultaneous_va: float | None, *, motor_whole: float) -> _Tiers:
    """Split a building's load; its largest motor counts `motor_whole` times in the first tier."""
    connected = connected_va(part)
    together = connected if simultaneous_va is None else min(simultaneous_va, connected)
    motor = max((amount.motor_va for amount in part.values()), default=0.0)
    choices = {
        "all that runs together": together,
        f"the largest motor at {100 * motor_whole:g} %": motor_whole * motor,
        "the first 60 A": min(TIER_VA, connected),
    }
    why = max(choices, key=lambda each: choices[each])
    first = choices[why]
    other = max(0.0, connected - first)
    second = min(TIER_VA, other)
    return _Tiers(first, second, other - second, why)


def building_shares(case: Case) -> list[Share]:
    """Demand of one farm building in its three tiers (NEC Table 220.102)."""
    part = farm_loads(case.tally)
    edition = case.rules.edition
    article = cite("farm_building", edition)
    together_va = case.farm.simultaneous_va
    tiers = _tiers(part, together_va, motor_whole=1.25)
    connected = connected_va(part)
    note = tiers.why
    if together_va is None:
        note += "; what runs together is not entered: taken as all of it"
    labels = (
        "First tier of the building",
        "Next 60 A of its other loads",
        "Rest of its other loads",
    )
    shares = []
    for label, va, factor in zip(labels, tiers[:3], farm_building_factors(), strict=True):
        line = Line(f"{label}, {va / FARM_V:,.1f} A at 240 V", va, factor, factor * va, "VA", article,
                    note if label == labels[0] else "")  # fmt: skip
        ratio = factor * va / connected if connected else 0.0
        shares.append(Share(line, part, ratio, steady=False, motors=False))
    return shares


def buildings(case: Case) -> dict[str, Tally]:
    """Loads of each farm building below a point, by the building's id."""
    found: dict[str, Tally] = {}
    for key, amount in case.tally.items():
        unit = case.rules.units.get(key.unit)
        if unit is not None and unit.basis == "farm building":
            found.setdefault(key.unit, {})[key] = amount
    return found


def building_share(unit: Unit, part: Tally, edition: str) -> Share:
    """A building as a block at a point that is no farm's: without its own motor's 25 %."""
    tiers = _tiers(part, unit.farm.simultaneous_va, motor_whole=1.0)
    article = cite("farm_building", edition)
    note = f"by 220.102, as a block: {tiers.va / FARM_V:,.1f} A at 240 V"
    return share_of(part, unit.name, tiers.va, article, note)._replace(steady=False)


def farm_shares(case: Case) -> list[Share]:
    """Demand of all farm buildings below a point, ranked by their loads (NEC Table 220.103).

    Buildings of one function are run through 220.102 as one load first.
    """
    units = case.rules.units
    merged: dict[str, list[str]] = {}
    parts = buildings(case)
    for key in parts:
        function = units[key].farm.function
        merged.setdefault(f"function {function}" if function else f"building {key}", []).append(key)
    loads: list[tuple[float, str, Tally]] = []
    for keys in merged.values():
        part = {key: amount for each in keys for key, amount in parts[each].items()}
        together = [units[each].farm.simultaneous_va for each in keys]
        known = [va for va in together if va is not None]
        simultaneous = sum(known) if len(known) == len(together) else None
        name = " and ".join(units[each].name for each in keys)
        tiers = _tiers(part, simultaneous, motor_whole=1.25)
        loads.append((tiers.va, name, part))
    loads.sort(key=lambda load: (-load[0], load[1]))
    factors = farm_total_factors()
    article = cite("farm_total", case.rules.edition)
    shares = []
    for rank, (va, name, part) in enumerate(loads):
        factor = factors[min(rank, len(factors) - 1)]
        ratio = factor * va / connected_va(part) if connected_va(part) else 0.0
        line = Line(
            f"{name}, {va / FARM_V:,.1f} A at 240 V", va, factor, factor * va, "VA", article
        )
        shares.append(Share(line, part, ratio, steady=False, motors=False))
    return shares


def why_not_building(case: Case) -> str:
    """Say why a point is no farm building of its own; "" where it is (NEC 220.102(B))."""
    if counted(farm_loads(case.tally)) < FEWEST_CIRCUITS:
        return "it is for a building or load with two or more branch circuits"
    return ""
