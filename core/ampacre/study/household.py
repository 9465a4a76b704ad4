"""Dwelling loads by NEC Article 220 Part III, of all dwellings below a point together."""

from collections.abc import Iterator
from operator import itemgetter

from ampacre.codebook.articles import cite
from ampacre.codebook.demand import (
    appliance_factor,
    cooking_demand_va,
    cooking_on_three_phases_va,
    dryer_factor,
    lighting_demand,
)
from ampacre.codebook.tables import Cited
from ampacre.model.system import System
from ampacre.study.neutral_load import SMALLEST_RANGE_VA
from ampacre.study.shares import Share, share_of, tabled
from ampacre.study.tally import Category, Key, Tally, connected_va, counted, picked, ratings
from ampacre.study.terms import Case

__all__ = [
    "COOLING",
    "HEATING",
    "HOUSEHOLD",
    "HVAC",
    "LEAST_DRYER_VA",
    "general_note",
    "household_shares",
    "hvac_shares",
    "motor_beside",
]

LEAST_DRYER_VA = 5000.0
_COUNTED_VA = 500.0
COOLING: tuple[Category, ...] = ("cooling",)
HEATING: tuple[Category, ...] = ("supplementary heat", "space heat", "storage heat")
HVAC: tuple[Category, ...] = (*COOLING, "heat pump", *HEATING)
HOUSEHOLD: tuple[Category, ...] = (
    "dwelling general", "cooking", "dryer", "fixed appliance", "water heater", *HVAC
)  # fmt: skip
"""All categories of the shares below."""


def household_shares(case: Case) -> Iterator[Share]:
    """Lighting and circuits, ranges, dryers and fixed appliances."""
    edition = case.rules.edition
    general = picked(case.tally, "dwelling general")
    if general:
        demand = lighting_demand(connected_va(general), edition=edition)
        label = "Dwelling lighting, small-appliance and laundry circuits"
        article = cite(demand.cite_key, edition)
        yield share_of(general, label, demand.value, article, general_note(general))
    cooking = picked(case.tally, "cooking")
    ranges = {k: a for k, a in cooking.items() if k.rating_va > SMALLEST_RANGE_VA}
    if ranges:
        yield _ranges(ranges, case)
    dryers = picked(case.tally, "dryer")
    if dryers:
        yield _dryers(dryers, case)
    small = {k: a for k, a in cooking.items() if k.rating_va <= SMALLEST_RANGE_VA}
    yield from _fixed({**picked(case.tally, "fixed appliance", "water heater"), **small}, case)


def _fixed(fixed: Tally, case: Case) -> Iterator[Share]:
    """Appliances fastened in place: those that NEC 220.53 counts at its factor, the others whole."""
    edition = case.rules.edition
    counts = {key: amount for key, amount in fixed.items() if _is_counted(key, edition)}
    others = {key: amount for key, amount in fixed.items() if key not in counts}
    number = counted(counts)
    factor = appliance_factor(number, edition)
    article = cite(factor.cite_key, edition)
    if counts:
        label = f"Appliances fastened in place, {number}"
        share = share_of(counts, label, connected_va(counts) * factor.value, article)
        yield tabled(share, "fixed appliances", case.floors)
    if others:
        label = f"Small cooking units, and appliances below {_COUNTED_VA:g} VA"
        yield share_of(others, label, connected_va(others), article, "without the factor")


def general_note(general: Tally) -> str:
    """Say what a general load is made of."""
    parts: dict[str, float] = {}
    for key, amount in general.items():
        parts[key.detail] = parts.get(key.detail, 0.0) + amount.va
    return " + ".join(f"{va:,.0f} VA {what}" for what, va in parts.items() if va)


def _ranges(ranges: Tally, case: Case) -> Share:
    edition, each = case.rules.edition, ratings(ranges)
    most = _most_between_two(ranges, case.system)
    note, spread = "", ""
    if most:
        demand = cooking_on_three_phases_va(each, most)
        note = f"twice the {most} between two legs, half of the table's load on each leg"
        spread = case.system.legs
    else:
        lesser = case.rules.cooking == "lesser"
        demand = cooking_demand_va(each, note_3=lesser)
        if lesser and demand.value < cooking_demand_va(each).value:
            note = "columns A and B by note 3, project policy"
    share = share_of(
        ranges, f"Ranges, {len(each)}", demand.value, cite(demand.cite_key, edition), note
    )
    return tabled(share._replace(spread=spread), "cooking", case.floors)


def _dryers(dryers: Tally, case: Case) -> Share:
    edition, each = case.rules.edition, ratings(dryers)
    at_least = sum(max(LEAST_DRYER_VA, va) for va in each)
    most = _most_between_two(dryers, case.system)
    factor: Cited[float] = dryer_factor(2 * most or len(each))
    demand_va, note, spread = at_least * factor.value, "", ""
    if most:
        demand_va = 3 * most * at_least / len(each) * factor.value
        note = f"twice the {most} between two legs, half of the table's load on each leg"
        spread = case.system.legs
    share = share_of(
        dryers, f"Dryers, {len(each)}, at least 5,000 VA each", demand_va,
        cite(factor.cite_key, edition), note,
    )  # fmt: skip
    return tabled(share._replace(spread=spread), "dryers", case.floors)


def _most_between_two(part: Tally, system: System) -> int:
    """Most single-phase units between any two legs of a 4-wire three-phase point, else 0.

    NEC 220.54 and 220.55. One unit alone, and units whose legs are not known, go by their number.
    """
    if system.phases != 3 or not system.neutral or counted(part) < 2:
        return 0
    between: dict[str, int] = {}
    for key, amount in part.items():
        between[key.legs] = between.get(key.legs, 0) + amount.pieces
    if any(len(legs) != 2 for legs in between):
        return 0
    return max(between.values())


def _is_counted(key: Key, edition: str) -> bool:
    """Whether an appliance is of those that the factor is for.

    From 2020 on from 1/4 hp or 500 W, and no cooking (from memory, not confirmed).
    """
    return edition == "2017" or (key.category != "cooking" and key.rating_va >= _COUNTED_VA)


def hvac_shares(case: Case) -> Iterator[Share]:
    """Heating and cooling at 100 %; of each dwelling's cooling and heating the larger counts.

    From 2020 on NEC 220.60 has the motor of the side that is left out still count as the largest;
    its wording is disputed, and the project's policy says whether it does.
    """
    edition = case.rules.edition
    pumps = picked(case.tally, "heat pump")
    if pumps:
        yield share_of(pumps, "Heat pumps", connected_va(pumps), cite("space_heating", edition))
    by_dwelling: dict[str, Tally] = {}
    for key, amount in picked(case.tally, *COOLING, *HEATING).items():
        by_dwelling.setdefault(key.dwelling, {})[key] = amount
    for _, own in sorted(by_dwelling.items(), key=itemgetter(0)):
        cooling, heating = picked(own, *COOLING), picked(own, *HEATING)
        cools = connected_va(cooling) >= connected_va(heating)
        counts, left, label = (
            (cooling, heating, "Cooling") if cools else (heating, cooling, "Space heating")
        )
        note = "the larger of heating and cooling" if cooling and heating else ""
        article = cite("noncoincident" if note else "space_heating", edition)
        share = share_of(counts, label, connected_va(counts), article, note)
        yield share._replace(beside=left if motor_beside(case) else {})


def motor_beside(case: Case) -> bool:
    """Whether a motor that does not run with the others may still be the largest."""
    return case.rules.edition != "2017" and case.rules.noncoincident_motor == "added"
