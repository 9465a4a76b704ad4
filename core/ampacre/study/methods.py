"""Methods by which the load of a point is computed, by the basis that the point has."""

from collections.abc import Callable, Mapping
from typing import NamedTuple

from ampacre.codebook.articles import cite
from ampacre.model import records as r
from ampacre.study.dwelling import sole_dwelling
from ampacre.study.existing_dwelling import existing_shares, is_new
from ampacre.study.facts import Line
from ampacre.study.farm import (
    building_shares,
    buildings,
    farm_loads,
    farm_shares,
    why_not_building,
)
from ampacre.study.household import HEATING
from ampacre.study.mixed import block_va, kept_dwellings
from ampacre.study.mobile_home import mobile_home_shares
from ampacre.study.multifamily import (
    flats_of,
    multifamily_shares,
    two_dwelling_shares,
    why_not_multifamily,
)
from ampacre.study.optional_dwelling import dwelling_load, optional_shares, why_not_optional
from ampacre.study.shares import Share, block_share, share_of
from ampacre.study.tally import Category, Tally, added, connected_va, picked
from ampacre.study.terms import Case

__all__ = ["Worked", "worked"]


class Worked(NamedTuple):
    """What a method says of a point.

    Its name, the shares of the loads that it counts, the loads that it leaves to Part III, and what
    the worksheet says besides.
    """

    method: str
    shares: list[Share]
    rest: Tally
    notes: tuple[Line, ...] = ()


def worked(basis: r.Basis | None, case: Case) -> Worked:
    """Apply the method of a basis (None: general); where it does not serve, general with a note."""
    return _METHODS[basis](case) if basis in _METHODS else _general(case)


def _general(case: Case) -> Worked:
    return Worked("general", [], case.tally)


def _refused(case: Case, what: str, key: str, why: str) -> Worked:
    note = Line(f"{what} not used", cite=cite(key, case.rules.edition), note=why)
    return Worked("general", [], case.tally, (note,))


def _measured(case: Case) -> Worked:
    """The record already stands in the tally, beside the load that is new."""
    found = _general(case)
    return found._replace(method="measured") if picked(case.tally, "measured") else found


def _connected(case: Case) -> Worked:
    """Everything at nameplate, one line a category; no demand factor, no adder."""
    shares = []
    for category in sorted({key.category for key in case.tally}):
        part = picked(case.tally, category)
        share = share_of(part, category.capitalize(), connected_va(part), "connected load")
        shares.append(share._replace(motors=False))
    return Worked("connected", shares, {})


def _standard(case: Case) -> Worked:
    """Part III for every dwelling, whatever method its own point has."""
    return Worked("standard dwelling", [], _by_part_three(case.tally))


def _by_part_three(tally: Tally) -> Tally:
    """Let dwellings' loads stand by themselves, whatever method their own point has."""
    return added(*({key._replace(unit="") if key.dwelling else key: a} for key, a in tally.items()))


def _apart(case: Case, dwelling: str) -> Tally:
    return {key: amount for key, amount in case.tally.items() if key.dwelling != dwelling}


def _optional(case: Case) -> Worked:
    dwelling = sole_dwelling(case.tally)
    why = why_not_optional(case, dwelling)
    if why:
        return _refused(case, "Optional method", "optional_dwelling", why)
    return Worked("optional dwelling", optional_shares(case, dwelling), _apart(case, dwelling))


def _existing(case: Case) -> Worked:
    dwelling = sole_dwelling(case.tally)
    why = "" if dwelling else "it is for one existing dwelling"
    if dwelling and is_new(case, dwelling):
        why = "it is for a dwelling that stands; this one comes with the work"
    if dwelling and case.at and (len(case.system.legs) != 2 or not case.system.neutral):
        why = "it is for a three-wire 120/240 or 120/208 V supply"
    if why:
        return _refused(case, "Method for an existing dwelling", "existing_dwelling", why)
    return Worked("existing dwelling", existing_shares(case, dwelling), _apart(case, dwelling))


def _without(case: Case, taken: Tally) -> Tally:
    return {key: amount for key, amount in case.tally.items() if key not in taken}


def _multifamily(case: Case) -> Worked:
    why = why_not_multifamily(case.tally)
    if why:
        return _refused(case, "Optional method of a multifamily dwelling", "multifamily", why)
    rest = _without(case, flats_of(case.tally))
    return Worked("multifamily optional", multifamily_shares(case), rest)


def _two_dwellings(case: Case) -> Worked:
    flats = flats_of(case.tally)
    if len({key.dwelling for key in flats if key.category == "dwelling general"}) != 2:
        return _refused(
            case, "Method for two dwellings", "two_dwellings", "it is for two dwellings"
        )
    shares, notes = two_dwelling_shares(case)
    return Worked("two dwellings", shares, _without(case, flats), tuple(notes))


def _farm_building(case: Case) -> Worked:
    # above the building's own point its loads come as a block of that point
    if not case.at:
        return _general(case)
    why = why_not_building(case)
    if why:
        return _refused(case, "Farm building method", "farm_building", why)
    return Worked("farm building", building_shares(case), _without(case, farm_loads(case.tally)))


def _farm(case: Case) -> Worked:
    """All farm buildings by rank, and on top of them the dwelling and what is in no building.

    A dwelling counts by its own method, but not by one of Part IV where it has electric heat and
    the farm dries grain electrically (NEC 220.102(A)).
    """
    edition = case.rules.edition
    if not buildings(case):
        return _refused(case, "Farm method", "farm_total", "there is no farm building below")
    shares = farm_shares(case)
    rest = {
        key: amount
        for key, amount in case.tally.items()
        if not any(key in part for part in buildings(case).values())
    }
    notes = []
    for dwelling, method in kept_dwellings(case).items():
        heated = picked(dwelling_load(case.tally, dwelling), *HEATING, "heat pump")
        if heated and case.farm.electric_grain_drying is not False:
            why = "the dwelling has electric heat and the farm electric grain drying"
            if case.farm.electric_grain_drying is None:
                why += ", as nobody said it has none"
            notes.append(
                Line(
                    "Optional method of the dwelling not used",
                    cite=cite("farm_total", edition),
                    note=why,
                )
            )
            continue
        va = block_va(case, dwelling, method)
        article = cite("farm_total", edition)
        shares.append(block_share("Farm dwelling by its own method", va, case.system.legs, article))
        rest = {k: a for k, a in rest.items() if k.dwelling != dwelling or k.category == "charger"}
    return Worked("farm", shares, _by_part_three(rest), tuple(notes))


def _park(method: str, category: Category, key: str) -> Callable[[Case], Worked]:
    """A park or marina: its sites are in their table at any point; here it is said by name."""

    def work(case: Case) -> Worked:
        if not picked(case.tally, category):
            return _refused(
                case, f"Table of the {method}", key, "nothing below is let to the public"
            )
        return Worked(method, [], case.tally)

    return work


def _mobile_home(case: Case) -> Worked:
    dwelling = sole_dwelling(case.tally)
    if not dwelling:
        why = "it is for one mobile home"
        return _refused(case, "Mobile-home method", "mobile_home", why)
    rest = {
        k: a for k, a in case.tally.items() if k.dwelling != dwelling or k.category == "charger"
    }
    return Worked("mobile home", mobile_home_shares(case, dwelling), rest)


_METHODS: Mapping[r.Basis | None, Callable[[Case], Worked]] = {
    "connected": _connected,
    "measured": _measured,
    "standard dwelling": _standard,
    "optional dwelling": _optional,
    "existing dwelling": _existing,
    "multifamily optional": _multifamily,
    "two dwellings": _two_dwellings,
    "farm building": _farm_building,
    "farm": _farm,
    "recreational-vehicle park": _park("recreational-vehicle park", "vehicle site", "vehicle_park"),
    "marina": _park("marina", "slip", "shore_power"),
    "mobile-home park": _park("mobile-home park", "lot", "mobile_home_park"),
    "mobile home": _mobile_home,
}
