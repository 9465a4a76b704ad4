"""The general method: NEC Article 220 Part III applied to a whole tally, and its neutral."""

from collections.abc import Callable, Iterable, Mapping

from ampacre.codebook.articles import cite
from ampacre.codebook.demand import (
    appliance_factor,
    cooking_demand_va,
    dryer_factor,
    lighting_demand,
)
from ampacre.model.system import System
from ampacre.study.facts import Line
from ampacre.study.leaves import Limit
from ampacre.study.shares import Share
from ampacre.study.tally import Category, Key, Tally, added

__all__ = ["charger_shares", "neutral_a", "part_three"]

SMALLEST_RANGE_VA = 1750.0
LEAST_DRYER_VA = 5000.0
_PLAIN: tuple[tuple[Category, str, str], ...] = (
    ("lighting", "Lighting", "lighting_demand"),
    ("heat", "Heating", "space_heating"),
    ("appliance", "Appliances", "calculated_load"),
    ("other", "Other loads", "calculated_load"),
    ("motor", "Motors at full-load current", "motors"),
    ("pedestal", "Pedestals, no park factor", "pedestal_value"),
    ("block", "Dwelling by the optional method, as a block", "optional_dwelling"),
)


def _pick(tally: Tally, *categories: Category) -> Tally:
    return {key: amount for key, amount in tally.items() if key.category in categories}


def _va(tally: Tally) -> float:
    return sum(amount.va for amount in tally.values())


def _share(part: Tally, label: str, demand_va: float, citation: str, note: str = "") -> Share:
    """Spread the demand of one category over the legs as its connected load is."""
    connected = _va(part)
    ratio = demand_va / connected if connected else 0.0
    on_legs: dict[str, float] = {}
    continuous: dict[str, float] = {}
    for key, amount in part.items():
        on_legs[key.legs] = on_legs.get(key.legs, 0.0) + ratio * amount.va
        if key.continuous:
            continuous[key.legs] = continuous.get(key.legs, 0.0) + ratio * amount.va
    line = Line(label, connected, ratio, demand_va, "VA", citation, note)
    return Share(line, on_legs, continuous)


def charger_shares(tally: Tally, limits: Mapping[str, Limit], edition: str) -> list[Share]:
    """Chargers: unmanaged ones at 100 %, each managed group at no more than its limit.

    A group counts min(limit, sum of its members' settings and nested groups) at any point, for
    the members below that point (NEC 625.42, 750.30, 2023 220.70).
    """
    chargers = _pick(tally, "charger")
    shares = []
    free = {key: amount for key, amount in chargers.items() if key.group not in limits}
    if free:
        shares.append(
            _share(free, f"Chargers, {_count(free)}", _va(free), cite("evse_load", edition))
        )
    settings: dict[str, float] = {}
    for key, amount in chargers.items():
        if key.group in limits:
            settings[key.group] = settings.get(key.group, 0.0) + amount.va
    outermost: dict[str, Tally] = {}
    for key, amount in chargers.items():
        if key.group in limits:
            outermost.setdefault(_outermost(key.group, limits), {})[key] = amount
    for group, members in sorted(outermost.items()):
        held = _held(group, settings, limits)
        shares.append(
            _share(
                members, f"Chargers managed by {limits[group].name}, {_count(members)}", held,
                cite("managed_group", edition),
                f"limit {limits[group].limit_va:,.0f} VA",
            )
        )  # fmt: skip
    return shares


def _count(part: Tally) -> int:
    return sum(amount.pieces for amount in part.values())


def _outermost(group: str, limits: Mapping[str, Limit]) -> str:
    while limits[group].outer in limits:
        group = limits[group].outer
    return group


def _held(group: str, settings: Mapping[str, float], limits: Mapping[str, Limit]) -> float:
    own = settings.get(group, 0.0)
    nested = sum(
        _held(inner, settings, limits) for inner, limit in limits.items() if limit.outer == group
    )
    return min(limits[group].limit_va, own + nested)


def part_three(tally: Tally, limits: Mapping[str, Limit], edition: str) -> list[Share]:
    """Demand of every category of a tally by NEC Article 220 Part III, chargers included."""
    shares = [
        *_dwelling_shares(tally, edition),
        *_hvac_shares(tally, edition),
        *_receptacle_shares(tally, edition),
    ]
    for category, label, article in _PLAIN:
        part = _pick(tally, category)
        if part:
            shares.append(_share(part, label, _va(part), cite(article, edition)))
    return [*shares, *charger_shares(tally, limits, edition)]


def _dwelling_shares(tally: Tally, edition: str) -> Iterable[Share]:
    general = _pick(tally, "dwelling general")
    if general:
        demand = lighting_demand(_va(general))
        yield _share(
            general, "Dwelling lighting, small-appliance and laundry circuits", demand.value,
            cite(demand.cite_key, edition),
        )  # fmt: skip
    cooking = _pick(tally, "cooking")
    ranges = {k: a for k, a in cooking.items() if k.rating_va > SMALLEST_RANGE_VA}
    if ranges:
        demand = cooking_demand_va(_ratings(ranges))
        yield _share(
            ranges, f"Ranges, {_count(ranges)}", demand.value, cite(demand.cite_key, edition)
        )
    dryers = _pick(tally, "dryer")
    if dryers:
        factor = dryer_factor(_count(dryers))
        at_least = sum(max(LEAST_DRYER_VA, va) for va in _ratings(dryers))
        yield _share(
            dryers, f"Dryers, {_count(dryers)}, at least 5,000 VA each", at_least * factor.value,
            cite(factor.cite_key, edition),
        )  # fmt: skip
    small = {k: a for k, a in cooking.items() if k.rating_va <= SMALLEST_RANGE_VA}
    fixed = {**_pick(tally, "fixed appliance", "water heater"), **small}
    if fixed:
        counted = sum(amount.pieces for key, amount in fixed.items() if _counts(key, edition))
        factor = appliance_factor(counted, edition)
        yield _share(
            fixed, f"Appliances fastened in place, {counted}", _va(fixed) * factor.value,
            cite(factor.cite_key, edition),
        )  # fmt: skip


def _counts(key: Key, edition: str) -> bool:
    """From 2020 on an appliance counts from 1/4 hp or 500 W (from memory, not confirmed)."""
    return edition == "2017" or key.rating_va >= 500.0


def _ratings(part: Tally) -> list[float]:
    return [key.rating_va for key, amount in part.items() for _ in range(amount.pieces)]


def _hvac_shares(tally: Tally, edition: str) -> Iterable[Share]:
    """Heating and cooling at 100 %; of each dwelling's cooling and heating the larger counts."""
    pumps = _pick(tally, "heat pump")
    if pumps:
        yield _share(pumps, "Heat pumps", _va(pumps), cite("space_heating", edition))
    sides: tuple[tuple[str, tuple[Category, ...]], ...] = (
        ("Cooling", ("cooling",)),
        ("Space heating", ("supplementary heat", "space heat", "storage heat")),
    )
    for dwelling in sorted({key.dwelling for key in _pick(tally, *sides[0][1], *sides[1][1])}):
        own = [
            {k: a for k, a in _pick(tally, *categories).items() if k.dwelling == dwelling}
            for _, categories in sides
        ]
        larger = 0 if _va(own[0]) >= _va(own[1]) else 1
        note = "the larger of heating and cooling" if own[0] and own[1] else ""
        article = cite("noncoincident" if note else "space_heating", edition)
        yield _share(own[larger], sides[larger][0], _va(own[larger]), article, note)


def _receptacle_shares(tally: Tally, edition: str) -> Iterable[Share]:
    part = _pick(tally, "receptacles")
    if part:
        connected = _va(part)
        demand = min(connected, 10_000.0) + 0.5 * max(0.0, connected - 10_000.0)
        yield _share(
            part, "Receptacles, 10 kVA at 100 %, rest at 50 %", demand,
            cite("receptacle_demand", edition),
        )  # fmt: skip


def neutral_a(tally: Tally, system: System) -> float:
    """Sizing neutral by NEC 220.61: the greatest load between the neutral and one leg [A].

    Household cooking and dryer demand count 70 %; what exceeds 200 A counts 70 %, on 3-wire
    single-phase and 4-wire three-phase systems. Loads on one leg that nobody named are all taken
    on the same leg. Three-wire circuits taken from a wye get neither reduction (220.61(C)), nor do
    two-wire circuits, whose neutral carries all of their current.
    """
    if not system.neutral:
        return 0.0
    reduced = len(system.legs) > 1 and (system.phases == 3 or abs(sum(system.leg_v)) < 1)
    cut = 0.7 if reduced else 1.0
    shares: dict[Category, Callable[[Tally], float]] = {
        "dwelling general": lambda part: lighting_demand(_va(part)).value,
        "cooking": lambda part: cut * cooking_demand_va(_ratings(part)).value,
        "dryer": lambda part: (
            cut
            * sum(max(LEAST_DRYER_VA, va) for va in _ratings(part))
            * dryer_factor(_count(part)).value
        ),
        "receptacles": lambda part: min(_va(part), 5_000.0 + 0.5 * _va(part)),
    }
    parts: list[Tally] = []
    for key, amount in tally.items():
        if key.neutral:
            small = key.category == "cooking" and key.rating_va <= SMALLEST_RANGE_VA
            parts.append({key._replace(category="other") if small else key: amount})
    using = added(*parts)
    leg_a = dict.fromkeys(system.legs, 0.0)
    shared_a = 0.0
    motor_a = 0.0
    by_leg_v = {leg: abs(volt) for leg, volt in zip(system.legs, system.leg_v, strict=True)}
    leg_v = min(by_leg_v.values())
    for category in sorted({key.category for key in using}):
        part = _pick(using, category)
        demand = shares[category](part) if category in shares else _va(part)
        ratio = demand / _va(part) if _va(part) else 0.0
        for key, amount in part.items():
            va = ratio * amount.va
            if key.one_leg:
                shared_a += va / leg_v
            elif len(key.legs) == 1:
                leg_a[key.legs] += va / by_leg_v[key.legs]
                motor_a = max(motor_a, amount.motor_a)
            else:
                # the high leg of a delta has no 120 V loads
                shared_a += va / (leg_v * sum(by_leg_v[leg] < leg_v + 1 for leg in key.legs))
    total = max(leg_a.values()) + shared_a + 0.25 * motor_a
    if total > 200.0 and reduced:
        total = 200.0 + 0.7 * (total - 200.0)
    return total
