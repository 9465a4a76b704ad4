"""The demand of a point by its basis, from the tally below it."""

import itertools
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

import msgspec

from ampacre.codebook.articles import cite
from ampacre.model import records as r
from ampacre.study.closing import close
from ampacre.study.facts import Demand, Line, Worksheet
from ampacre.study.general import part_three
from ampacre.study.household import motor_beside
from ampacre.study.methods import Worked, worked
from ampacre.study.mixed import kept_dwellings, mixed_shares
from ampacre.study.neutral_load import neutral_load
from ampacre.study.shares import Share
from ampacre.study.tally import Key, Tally, connected_va
from ampacre.study.terms import Case
from ampacre.study.watching import Held, held_limits

__all__ = ["Figure", "demand_of"]

MOST_COMBINATIONS = 64


class Figure(NamedTuple):
    """Demand of a point, and what each table gave for it [VA], for the points above.

    `held` is what managed groups that measure at the point or below it hold here.
    """

    demand: Demand
    tables: Mapping[str, float]
    held: Mapping[str, Held] = {}


def demand_of(
    basis: r.Basis | None, case: Case, connected: float, notes: Sequence[Line] = ()
) -> Figure:
    """Demand at a point by its basis (None: general).

    `connected` is all that is connected below [VA], `notes` what the worksheet says first. Where
    the project's policy decided, the total by the other reading is printed beside it.
    """
    found = _largest(basis, case, connected)
    others = tuple(_alternatives(basis, case, connected, found.demand))
    if not notes and not others:
        return found
    worksheet = found.demand.worksheet
    worksheet = Worksheet(worksheet.title, (*notes, *worksheet.lines, *others))
    return found._replace(demand=msgspec.structs.replace(found.demand, worksheet=worksheet))


def _alternatives(
    basis: r.Basis | None, case: Case, connected: float, demand: Demand
) -> Iterator[Line]:
    """Totals by the other reading of each policy that had a say here."""
    rules = case.rules
    if basis in (None, "general") and kept_dwellings(case):
        block = rules.mixed_optional == "block"
        other = rules._replace(mixed_optional="tally" if block else "block")
        label = (
            "every load of the dwelling under Part III"
            if block
            else "the dwelling as a block of its own method's load"
        )
        yield _other_reading(basis, case._replace(rules=other), connected, label)
    by_pool = demand.method in ("optional dwelling", "existing dwelling")
    if by_pool and any(key.category == "charger" and key.dwelling for key in case.tally):
        inside = rules.optional_chargers == "inside"
        other = rules._replace(optional_chargers="outside" if inside else "inside")
        label = f"chargers {'outside' if inside else 'inside'} the pool"
        yield _other_reading(basis, case._replace(rules=other), connected, label)
    if demand.method == "existing dwelling" and _is_hvac_old(case):
        kept = rules.existing_hvac == "in the pool"
        other = rules._replace(existing_hvac="left out" if kept else "in the pool")
        label = f"existing heating and cooling {'left out' if kept else 'in the pool'}"
        yield _other_reading(basis, case._replace(rules=other), connected, label)


def _is_hvac_old(case: Case) -> bool:
    hvac = ("cooling", "heat pump", "supplementary heat", "space heat", "storage heat")
    found = [key for key in case.tally if key.category in hvac]
    return bool(found) and not any(key.new for key in found)


def _other_reading(basis: r.Basis | None, case: Case, connected: float, label: str) -> Line:
    found = _largest(basis, case, connected).demand
    note = f"{found.heavier_a:.1f} A calculated"
    if found.heavier_sizing_a > found.heavier_a:
        note += f", {found.heavier_sizing_a:.1f} A sizing"
    return Line(
        f"Alternative: {label}", None, None, found.calculated_va, "VA",
        "project policy; the code leaves it open", note,
    )  # fmt: skip


def _largest(basis: r.Basis | None, case: Case, connected: float) -> Figure:
    """Compute the point with managed groups held to what its load leaves to them."""
    if not case.apart:
        return _of_choices(basis, case, connected)
    limits, held = held_limits(case, lambda each: _of_choices(basis, each, connected).demand)
    rules = case.rules._replace(limits=limits)
    return _of_choices(basis, case._replace(rules=rules), connected)._replace(held=held)


def _of_choices(basis: r.Basis | None, case: Case, connected: float) -> Figure:
    """Compute the point for every choice of noncoincident loads and keep the largest (NEC 220.60).

    Another choice may have the larger sizing current, or the larger neutral: those are kept too.
    Beyond 64 combinations each group is settled by its largest member alone.
    """
    figures = [
        _figure(basis, case, choice, connected)
        for choice in _choices(case.tally, case.rules.noncoincident)
    ]
    if len(figures) == 1:
        return figures[0]
    largest = max(figures, key=lambda each: (each.demand.heavier_a, each.demand.calculated_va))
    demands = [figure.demand for figure in figures]
    return largest._replace(demand=_not_below(largest.demand, demands, case.rules.edition))


def _figure(
    basis: r.Basis | None, case: Case, choice: Mapping[str, str], connected: float
) -> Figure:
    """Demand with one member of each noncoincident group running."""
    rules = case.rules
    kept = _without(case.tally, choice)
    now = case._replace(tally=kept)
    found = worked(basis, now)
    shares = [*_counted(found, now), *_left_out(case, choice, found)]
    plain = shares
    if found.shares or any(key.unit in rules.units for key in kept):
        plain = part_three(now)
    demand = close(
        found.method,
        connected,
        shares,
        neutral_load(plain, case.system, rules.edition, rules.unnamed_leg),
        case.system,
        rules.edition,
        balanced=all(len(key.legs) == len(case.system.legs) for key in case.tally),
        notes=found.notes,
    )
    return Figure(demand, {share.table: share.va for share in shares if share.table})


def _counted(found: Worked, case: Case) -> list[Share]:
    """The shares of a method, and of what it leaves to Part III."""
    if not found.rest:
        return found.shares
    return [*found.shares, *mixed_shares(case._replace(tally=found.rest))]


def _left_out(case: Case, choice: Mapping[str, str], found: Worked) -> list[Share]:
    """Say what does not run; from 2020 on its motor may still be the largest, by policy."""
    out = {key: amount for key, amount in case.tally.items() if _is_out(key, choice)}
    va = connected_va(out)
    if not va:
        return []
    article = cite("noncoincident", case.rules.edition)
    line = Line("Left out: does not run with the others", va, 0.0, 0.0, "VA", article)
    return [Share(line, beside=out if motor_beside(case) and not found.shares else {})]


def _not_below(largest: Demand, demands: Iterable[Demand], edition: str) -> Demand:
    """Raise sizing current and neutral of the chosen demand to the largest of any choice."""
    demands = list(demands)
    sizing = max(demands, key=lambda demand: demand.heavier_sizing_a)
    neutral_a = max(demand.neutral_a for demand in demands)
    article = cite("noncoincident", edition)
    note = "with another of the loads that do not run together"
    lines = list(largest.worksheet.lines)
    if sizing.heavier_sizing_a > largest.heavier_sizing_a:
        lines.append(
            Line("Sizing current", None, None, sizing.heavier_sizing_a, "A", article, note)
        )
    else:
        sizing = largest
    if neutral_a > largest.neutral_a:
        lines.append(Line("Neutral, sizing", None, None, neutral_a, "A", article, note))
    return msgspec.structs.replace(
        largest,
        worksheet=Worksheet(largest.worksheet.title, tuple(lines)),
        sizing_va=sizing.sizing_va,
        sizing_a=sizing.sizing_a,
        neutral_a=neutral_a,
    )


def _choices(tally: Tally, groups: frozenset[str]) -> list[dict[str, str]]:
    """Which member of each noncoincident group runs, for every combination worth computing."""
    alternatives = _members(tally, groups)
    if math.prod(len(members) for members in alternatives.values()) > MOST_COMBINATIONS:
        return [
            {
                group: max(members, key=lambda member: _member_va(tally, group, member))
                for group, members in alternatives.items()
            }
        ]
    return [
        dict(zip(alternatives, combination, strict=True))
        for combination in itertools.product(*alternatives.values())
    ]


def _members(tally: Tally, groups: frozenset[str]) -> dict[str, list[str]]:
    found: dict[str, set[str]] = {}
    if not groups:
        return {}
    for key in tally:
        if key.group in groups and key.member:
            found.setdefault(key.group, set()).add(key.member)
    return {group: sorted(found[group]) for group in sorted(found)}


def _member_va(tally: Tally, group: str, member: str) -> float:
    return sum(a.va for k, a in tally.items() if k.group == group and k.member == member)


def _is_out(key: Key, choice: Mapping[str, str]) -> bool:
    return key.group in choice and key.member != choice[key.group]


def _without(tally: Tally, choice: Mapping[str, str]) -> Tally:
    if not choice:
        return tally
    return {key: amount for key, amount in tally.items() if not _is_out(key, choice)}
