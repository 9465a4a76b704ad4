"""Loads that a table counts by their number: kitchens, welders, elevators, sites, slips and lots."""

from collections.abc import Iterator, Mapping

from ampacre.codebook.articles import cite
from ampacre.codebook.counts import WELDER_RANKS, CountTable, count_factor
from ampacre.study.shares import Share, share_of, tabled
from ampacre.study.tally import Category, Tally, connected_va, counted, ratings
from ampacre.study.terms import Case

__all__ = ["counted_shares"]

_SUBMETERED = 0.9
_TABLES: tuple[tuple[Category, str, CountTable], ...] = (
    ("elevator", "Elevators", "elevators"),
    ("vehicle site", "Recreational-vehicle sites", "vehicle_park"),
    ("slip", "Receptacles of shore power", "shore_power"),
    ("lot", "Mobile-home lots", "mobile_home_park"),
)


def counted_shares(parts: Mapping[Category, Tally], case: Case) -> Iterator[Share]:
    """Shares of every such category of a tally, each entered in its table by number at this point.

    `parts` is the tally by categories. Results of the park and marina tables are used as
    calculated, without 25 % of continuous load.
    """
    if "kitchen" in parts:
        yield _kitchen(parts["kitchen"], case)
    if "welder" in parts:
        yield _welders(parts["welder"], case)
    for category, label, table in _TABLES:
        if category in parts:
            share = _by_number(parts[category], label, table, case)
            yield share._replace(steady=category == "elevator")


def _by_number(part: Tally, label: str, table: CountTable, case: Case) -> Share:
    number = counted(part)
    factor = count_factor(table, number)
    ratio, note = factor.value, f"{number} at {100 * factor.value:g} %"
    if table == "shore_power" and all(key.detail == "submetered" for key in part):
        ratio *= _SUBMETERED
        note += ", 90 % with a meter at every slip"
    article = cite(factor.cite_key, case.rules.edition)
    share = share_of(part, f"{label}, {number}", ratio * connected_va(part), article, note)
    return tabled(share, table, case.floors)


def _kitchen(part: Tally, case: Case) -> Share:
    """Commercial kitchen equipment, never less than its two largest pieces (NEC 220.56)."""
    number = counted(part)
    factor = count_factor("kitchen", number)
    by_table_va = factor.value * connected_va(part)
    two_largest_va = sum(sorted(ratings(part), reverse=True)[:2])
    note = f"{100 * factor.value:g} % of {number} pieces is {by_table_va:,.0f} VA"
    if two_largest_va > by_table_va:
        note += "; not below the two largest"
    share = share_of(
        part, f"Kitchen equipment, {number}", max(by_table_va, two_largest_va),
        cite(factor.cite_key, case.rules.edition), note,
    )  # fmt: skip
    return tabled(share, "kitchen", case.floors)


def _welders(part: Tally, case: Case) -> Share:
    """Arc welders, ranked by the load that each has for its duty cycle (NEC 630.11(B))."""
    ranked = sorted(ratings(part), reverse=True)
    last = len(WELDER_RANKS) - 1
    demand_va = sum(WELDER_RANKS[min(at, last)] * va for at, va in enumerate(ranked))
    first = sum(ranked[:2])
    third, fourth = (WELDER_RANKS[at] * sum(ranked[at : at + 1]) for at in (2, 3))
    rest = WELDER_RANKS[last] * sum(ranked[4:])
    note = (
        f"two largest {first:,.0f} VA, third at 85 % {third:,.0f}, fourth at 70 % {fourth:,.0f}, "
        f"rest at 60 % {rest:,.0f}"
    )
    share = share_of(
        part,
        f"Arc welders, {len(ranked)}",
        demand_va,
        cite("welder_group", case.rules.edition),
        note,
    )
    return tabled(share, "welders", case.floors)
