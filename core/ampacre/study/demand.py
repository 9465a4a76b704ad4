"""Upward: the demand of a point by its basis, from the tally below it."""

import itertools
import math
from collections.abc import Mapping
from typing import NamedTuple

import msgspec

from ampacre.codebook.articles import cite
from ampacre.model import records as r
from ampacre.model.system import System
from ampacre.study.facts import Demand, Line, Worksheet
from ampacre.study.general import neutral_a, part_three
from ampacre.study.leaves import Limit
from ampacre.study.optional_dwelling import optional_shares, sole_dwelling
from ampacre.study.shares import Motor, Share, close, largest_motor
from ampacre.study.tally import Key, Tally, connected_va

__all__ = ["Below", "Rules", "demand_of"]

MOST_COMBINATIONS = 64


class Rules(NamedTuple):
    """What demand depends on besides the tally: edition, policies, managed limits."""

    edition: str
    mixed_optional: str
    optional_chargers: str
    limits: Mapping[str, Limit]
    noncoincident: frozenset[str]
    why_not_farm: str = ""


class Below(NamedTuple):
    """What a point has below it: the tally, and the same with optional-method blocks in it."""

    tally: Tally
    with_blocks: Tally


def demand_of(basis: r.Basis | None, below: Below, system: System, rules: Rules) -> Demand:
    """Demand at a point by its basis (None: general), for a system.

    At a general point above an optional-method dwelling the policy says whether its loads or its
    block are taken; the total by the other reading is printed beside it.
    """
    if basis == "optional dwelling" and sole_dwelling(below.tally):
        return _optional(below.tally, system, rules)
    notes: list[Line] = []
    taken = below.tally
    if basis in (None, "general") and below.with_blocks != below.tally:
        if rules.mixed_optional == "block":
            taken = below.with_blocks
        notes.append(_other_reading(below, system, rules))
    if basis == "optional dwelling":
        notes.append(
            Line(
                "Optional method not used", cite=cite("optional_dwelling", rules.edition),
                note="it is for one dwelling's whole load on one set of conductors",
            )
        )  # fmt: skip
    return _largest(basis, taken, below.tally, system, rules, notes)


def _other_reading(below: Below, system: System, rules: Rules) -> Line:
    block = rules.mixed_optional == "block"
    other = below.tally if block else below.with_blocks
    found = _largest(None, other, below.tally, system, rules, [])
    label = (
        "Alternative: every load of the dwelling under Part III"
        if block
        else "Alternative: the dwelling as a block of its optional-method load"
    )
    note = f"{found.heavier_a:.1f} A calculated, {found.heavier_sizing_a:.1f} A sizing"
    return Line(
        label, None, None, found.calculated_va, "VA", "project policy; the code does not say", note
    )


def _optional(tally: Tally, system: System, rules: Rules) -> Demand:
    dwelling = sole_dwelling(tally)
    inside = rules.optional_chargers == "inside"
    choice = _largest_members(tally, _alternatives(tally, rules.noncoincident))
    kept = _without(tally, choice)
    shares = optional_shares(
        kept, dwelling, rules.limits, chargers_inside=inside, system=system, edition=rules.edition
    )
    others = {key: amount for key, amount in kept.items() if key.dwelling != dwelling}
    other = optional_shares(
        kept, dwelling, rules.limits, chargers_inside=not inside, system=system,
        edition=rules.edition,
    )  # fmt: skip
    notes = _dropped(tally, choice, rules.edition)
    if any(key.category == "charger" and key.dwelling == dwelling for key in tally):
        va = sum(share.va for share in other)
        notes.append(
            Line(
                f"Alternative: chargers {'outside' if inside else 'inside'} the pool",
                None, None, va, "VA", "project policy; readings differ",
                f"{va / system.line_v:.1f} A calculated" if system.phases == 1 else "",
            )
        )  # fmt: skip
    neutral = neutral_a(tally, system)
    return close(
        "optional dwelling", tally, shares, largest_motor(others), neutral, system,
        rules.edition, notes,
    )  # fmt: skip


def _shares(
    basis: r.Basis | None, tally: Tally, rules: Rules
) -> tuple[str, list[Share], Motor | None]:
    if basis == "connected":
        return "connected", _connected(tally), None
    name = "standard dwelling" if basis == "standard dwelling" else "general"
    return name, part_three(tally, rules.limits, rules.edition), largest_motor(tally)


def _connected(tally: Tally) -> list[Share]:
    """Everything at nameplate, one line a category; no demand factor, no adder."""
    shares = []
    for category in sorted({key.category for key in tally}):
        part = {key: amount for key, amount in tally.items() if key.category == category}
        va = connected_va(part)
        on_legs: dict[str, float] = {}
        continuous: dict[str, float] = {}
        for key, amount in part.items():
            on_legs[key.legs] = on_legs.get(key.legs, 0.0) + amount.va
            if key.continuous:
                continuous[key.legs] = continuous.get(key.legs, 0.0) + amount.va
        line = Line(category.capitalize(), va, 1.0, va, "VA", "connected load")
        shares.append(Share(line, on_legs, continuous))
    return shares


def _largest(
    basis: r.Basis | None,
    tally: Tally,
    whole: Tally,
    system: System,
    rules: Rules,
    notes: list[Line],
) -> Demand:
    """Compute the point for every choice of noncoincident loads and keep the largest (NEC 220.60).

    Another choice may have the larger sizing current, or the larger neutral: those are kept too.
    Beyond 64 combinations each group is settled by its largest member alone.
    """
    demands = []
    for choice in _choices(tally, rules.noncoincident):
        name, shares, motor = _shares(basis, _without(tally, choice), rules)
        neutral = neutral_a(_without(whole, choice), system)
        lines = [*notes, *_dropped(tally, choice, rules.edition)]
        demands.append(close(name, whole, shares, motor, neutral, system, rules.edition, lines))
    largest = max(demands, key=lambda demand: (demand.heavier_a, demand.calculated_va))
    return _not_below(largest, demands, rules.edition)


def _not_below(largest: Demand, demands: list[Demand], edition: str) -> Demand:
    """Raise sizing current and neutral of the chosen demand to the largest of any choice."""
    sizing = max(demands, key=lambda demand: demand.heavier_sizing_a)
    neutral_a = max(demand.neutral_a for demand in demands)
    article = cite("noncoincident", edition)
    note = "with another of the loads that do not run together"
    lines = list(largest.worksheet.lines)
    if sizing.heavier_sizing_a > largest.heavier_sizing_a:
        lines.append(Line("Sizing current", None, None, sizing.heavier_sizing_a, "A", article, note))
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
    alternatives = _alternatives(tally, groups)
    if math.prod(len(members) for members in alternatives.values()) > MOST_COMBINATIONS:
        return [_largest_members(tally, alternatives)]
    return [
        dict(zip(alternatives, combination, strict=True))
        for combination in itertools.product(*alternatives.values())
    ]


def _largest_members(tally: Tally, alternatives: Mapping[str, list[str]]) -> dict[str, str]:
    """Choose the member of each group with the most volt-amperes."""
    return {
        group: max(members, key=lambda member: _member_va(tally, group, member))
        for group, members in alternatives.items()
    }


def _alternatives(tally: Tally, groups: frozenset[str]) -> dict[str, list[str]]:
    found: dict[str, set[str]] = {}
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


def _dropped(tally: Tally, choice: Mapping[str, str], edition: str) -> list[Line]:
    va = sum(amount.va for key, amount in tally.items() if _is_out(key, choice))
    if not va:
        return []
    article = cite("noncoincident", edition)
    return [Line("Left out: does not run with the others", va, 0.0, 0.0, "VA", article)]
