"""Dwellings of one building by the optional methods: NEC 220.84 and, for two of them, 220.85."""

from collections.abc import Iterable
from typing import NamedTuple

from ampacre.codebook.articles import cite
from ampacre.codebook.counts import count_factor
from ampacre.study.facts import Line
from ampacre.study.general import part_three
from ampacre.study.household import COOLING, HEATING, HVAC
from ampacre.study.shares import Share, listed, tabled
from ampacre.study.tally import Category, Tally, connected_va, picked
from ampacre.study.terms import Case

__all__ = ["flats_of", "multifamily_shares", "two_dwelling_shares", "why_not_multifamily"]

FEWEST = 3
ASSUMED_COOKING_VA = 8_000.0
"""For a unit without electric cooking: NEC 220.84(A)(2) exception."""
_LISTED: tuple[tuple[str, tuple[Category, ...]], ...] = (
    ("Cooking at nameplate", ("cooking",)),
    ("Dryers at nameplate", ("dryer",)),
    ("Appliances at nameplate", ("fixed appliance", "water heater", "appliance")),
    ("Motors", ("motor",)),
    ("Heating or cooling, the larger of each dwelling", HVAC),
)


class _Units(NamedTuple):
    """Dwellings with the loads that NEC 220.84(C) counts, and how many have no electric cooking."""

    number: int
    part: Tally
    without_cooking: int

    @property
    def connected_va(self) -> float:
        """Connected load with the cooking that is assumed [VA]."""
        return connected_va(self.part) + ASSUMED_COOKING_VA * self.without_cooking


def flats_of(tally: Tally) -> Tally:
    """Loads that the method counts for its dwellings; chargers stay outside, undiminished."""
    return {
        key: amount for key, amount in tally.items() if key.dwelling and key.category != "charger"
    }


def _units(tally: Tally) -> _Units:
    """Take of each dwelling all load, of its heating and cooling the larger (NEC 220.84(C))."""
    by_dwelling: dict[str, Tally] = {}
    for key, amount in flats_of(tally).items():
        by_dwelling.setdefault(key.dwelling, {})[key] = amount
    part: Tally = {}
    without = 0
    for own in by_dwelling.values():
        cooling, heating = picked(own, *COOLING), picked(own, *HEATING, "heat pump")
        left = heating if connected_va(cooling) > connected_va(heating) else cooling
        part.update({key: amount for key, amount in own.items() if key not in left})
        without += not picked(own, "cooking")
    return _Units(len(by_dwelling), part, without)


def why_not_multifamily(tally: Tally) -> str:
    """Say why the method does not serve here; "" where it does (NEC 220.84(A))."""
    flats = flats_of(tally)
    dwellings = {key.dwelling for key in flats if key.category == "dwelling general"}
    if len(dwellings) < FEWEST:
        return "it is for three dwellings or more of one building"
    heated = {key.dwelling for key in picked(flats, *HVAC)}
    if dwellings - heated:
        return "each dwelling must have electric heating or cooling"
    return ""


def multifamily_shares(case: Case) -> list[Share]:
    """Demand of the dwellings of a tally by their number (NEC Table 220.84).

    Dwellings without electric cooking are taken with 8 kVA of it; the lesser of that and Part III
    then counts.
    """
    edition = case.rules.edition
    units = _units(case.tally)
    share = tabled(_by_number(units, units.number, edition), "multifamily", case.floors)
    if units.without_cooking:
        plain = part_three(case._replace(tally=flats_of(case.tally)))
        if sum(each.va for each in plain) < share.va:
            return plain
    return [*_listed(units, edition), share]


def _by_number(units: _Units, number: int, edition: str) -> Share:
    factor = count_factor("multifamily", number)
    connected = units.connected_va
    demand_va = factor.value * connected
    ratio = demand_va / connected_va(units.part) if connected_va(units.part) else 0.0
    line = Line(
        f"{units.number} dwellings by the optional method", connected, factor.value, demand_va,
        "VA", cite(factor.cite_key, edition),
    )  # fmt: skip
    return Share(line, units.part, ratio, steady=False, motors=False)


def _listed(units: _Units, edition: str) -> Iterable[Share]:
    article = cite("multifamily", edition)
    general: dict[str, float] = {}
    for key, amount in picked(units.part, "dwelling general").items():
        general[key.detail] = general.get(key.detail, 0.0) + amount.va
    note = "in the connected load"
    for what, va in general.items():
        if va:
            yield listed(f"Dwellings' {what}", va, article, note)
    counted = {"dwelling general"}
    for label, categories in _LISTED:
        va = connected_va(picked(units.part, *categories))
        counted |= set(categories)
        if va:
            yield listed(label, va, article, note)
    other = sum(amount.va for key, amount in units.part.items() if key.category not in counted)
    if other:
        yield listed("Other loads of the dwellings", other, article, note)
    if units.without_cooking:
        va = ASSUMED_COOKING_VA * units.without_cooking
        label = f"Cooking assumed for {units.without_cooking} dwellings, 8 kVA each"
        yield listed(label, va, article, note)


def two_dwelling_shares(case: Case) -> tuple[list[Share], list[Line]]:
    """Demand of two dwellings: the lesser of Part III and NEC 220.84 for three like the larger.

    Gives the shares that count, and a line with the other reading (NEC 220.85).
    """
    edition = case.rules.edition
    flats = flats_of(case.tally)
    plain = part_three(case._replace(tally=flats))
    motor = max((found for found in (share.motor() for share in plain) if found), default=None)
    plain_va = sum(share.va for share in plain) + (0.25 * motor.va if motor else 0.0)
    each = [
        _units({key: amount for key, amount in flats.items() if key.dwelling == dwelling})
        for dwelling in sorted({key.dwelling for key in flats})
    ]
    larger = max(each, key=lambda units: units.connected_va)
    factor = count_factor("multifamily", FEWEST)
    connected = FEWEST * larger.connected_va
    three_va = factor.value * connected
    article = cite("two_dwellings", edition)
    both = _units(flats).part
    three = Share(
        Line("Three dwellings like the larger", connected, factor.value, three_va, "VA", article),
        both, three_va / connected_va(both) if connected_va(both) else 0.0,
        steady=False, motors=False,
    )  # fmt: skip
    if three_va < plain_va:
        return [three], [Line("By Part III, more", None, None, plain_va, "VA", article)]
    other = Line(
        "Three dwellings like the larger, more", connected, factor.value, three_va, "VA", article
    )
    return plain, [other]
