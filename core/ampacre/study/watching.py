"""Managed groups that hold all load at a place: what their members may take at a point.

Such a system measures the current where it stands and turns its members down. So the place counts
as the limit where the load that it does not control stays below it, and at the points above the
load behind the place counts for no more than that limit.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from ampacre.study.facts import Demand
from ampacre.study.terms import Case, Limit, enclosing

__all__ = ["Held", "held_limits"]

_CLOSE_A = 1e-9
_MOST_STEPS = 60
Work = Callable[[Case], Demand]


class Held(NamedTuple):
    """What a system holds at a point above the place where it measures, or at that place [A].

    `load_a` is the load behind the place with its members at their settings, `uncontrolled_a` the
    same without them, both as they count at the point. `part` of what they may take is left.
    """

    limit_a: float
    load_a: float
    uncontrolled_a: float
    part: float


def held_limits(case: Case, work: Work) -> tuple[dict[str, Limit], dict[str, Held]]:
    """Limits of a point with what its load leaves to each group that measures at or below it.

    `work` gives the demand of a case as its limits stand. Groups inside others come first.
    """
    limits = dict(case.rules.limits)
    found: dict[str, Held] = {}
    depth = {group: len([*enclosing(group, limits)]) for group in case.apart}
    for group in sorted(case.apart, key=lambda each: (-depth[each], each)):
        held, lasting = _held(case, group, limits, work)
        found[group] = held
        limits[group] = limits[group]._replace(part=held.part, lasting=lasting)
    return limits, found


def _held(case: Case, group: str, limits: Mapping[str, Limit], work: Work) -> tuple[Held, float]:
    """Find the part of a group's members that fits under its limit, and the part that may last."""
    limit_a, beyond, floors = case.apart[group]

    def at(part: float) -> Demand:
        changed = {**limits, group: limits[group]._replace(part=part, lasting=part)}
        return work(case._replace(rules=case.rules._replace(limits=changed)))

    whole, without = at(1.0), at(0.0)
    other = work(case._replace(tally=beyond, floors=floors)) if beyond else None
    moved = [
        index
        for index, (more, less) in enumerate(
            zip(whole.calculated_a, without.calculated_a, strict=True)
        )
        if more - less > _CLOSE_A
    ]

    def behind(demand: Demand) -> list[float]:
        return _less(demand.calculated_a, other.calculated_a if other else None, moved)

    load_a, uncontrolled_a = (max(behind(each), default=0.0) for each in (whole, without))
    part = _part(lambda part: max(behind(at(part)), default=0.0), limit_a, uncontrolled_a, load_a)
    steady_a, never_a = (
        _less(_continuous(each), _continuous(other) if other else None, moved)
        for each in (whole, without)
    )
    lasting = min(
        (
            (limit_a - least) / (most - least)
            for most, least in zip(steady_a, never_a, strict=True)
            if most - least > _CLOSE_A
        ),
        default=1.0,
    )
    return Held(limit_a, load_a, uncontrolled_a, part), min(1.0, max(part, lasting))


def _less(
    amperes: Sequence[float], other: Sequence[float] | None, legs: Sequence[int]
) -> list[float]:
    return [amperes[leg] - (other[leg] if other else 0.0) for leg in legs]


def _continuous(demand: Demand) -> list[float]:
    """Continuous current of each leg: sizing adds a quarter of it [A]."""
    pairs = zip(demand.sizing_a, demand.calculated_a, strict=True)
    return [4 * (sizing - calculated) for sizing, calculated in pairs]


def _part(
    load_of: Callable[[float], float], limit_a: float, uncontrolled_a: float, load_a: float
) -> float:
    """The largest part of the members' load with which the load stays at the limit.

    By false position: one step where load grows evenly with the part, as it nearly always does.
    """
    if load_a <= limit_a:
        return 1.0
    if uncontrolled_a >= limit_a:
        return 0.0
    low, high = (0.0, uncontrolled_a), (1.0, load_a)
    for _ in range(_MOST_STEPS):
        part = low[0] + (high[0] - low[0]) * (limit_a - low[1]) / (high[1] - low[1])
        load_a = load_of(part)
        if abs(load_a - limit_a) < _CLOSE_A:
            return part
        if load_a < limit_a:
            low = part, load_a
        else:
            high = part, load_a
    return low[0]
