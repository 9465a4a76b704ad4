"""The general method: NEC Article 220 Part III applied to a whole tally."""

from collections.abc import Iterator

from ampacre.codebook.articles import cite
from ampacre.codebook.demand import lighting_demand, receptacle_demand
from ampacre.study.charging import charger_shares
from ampacre.study.counted_loads import counted_shares
from ampacre.study.household import HOUSEHOLD, household_shares, hvac_shares
from ampacre.study.shares import Share, share_of, tabled
from ampacre.study.tally import Category, Tally, connected_va, picked, sorted_out
from ampacre.study.terms import Case

__all__ = ["part_three"]

_PLAIN: tuple[tuple[Category, str, str], ...] = (
    ("show window", "Show windows", "window_load"),
    ("sign", "Signs", "sign_load"),
    ("track lighting", "Track lighting", "track_load"),
    ("heat", "Heating", "space_heating"),
    ("appliance", "Appliances", "calculated_load"),
    ("other", "Other loads", "calculated_load"),
    ("motor", "Motors at full-load current", "motors"),
    ("pedestal", "Pedestals, no park factor", "pedestal_value"),
)
_LIGHTING_FACTORS = {
    "hospital": "hospital",
    "hotel or motel": "hotel_motel_no_tenant_cooking",
    "warehouse": "warehouse_storage",
}
MEASURED_FACTOR = 1.25
"""Of a measured demand: NEC 220.87(2)."""


def part_three(case: Case) -> list[Share]:
    """Demand of every category of a tally by NEC Article 220 Part III, chargers included."""
    edition = case.rules.edition
    parts = sorted_out(case.tally)
    shares = [*_measured(parts.get("measured", {}), case)]
    if any(key.dwelling for key in case.tally):
        household = case._replace(tally=picked(case.tally, *HOUSEHOLD))
        shares += [*household_shares(household), *hvac_shares(household)]
    shares += _receptacles(parts.get("receptacles", {}), case)
    shares += _lighting(parts.get("lighting", {}), case)
    for category, label, article in _PLAIN:
        if category in parts:
            part = parts[category]
            shares.append(share_of(part, label, connected_va(part), cite(article, edition)))
    shares += counted_shares(parts, case)
    return [*shares, *charger_shares(parts.get("charger", {}), case.rules.limits, edition)]


def _measured(part: Tally, case: Case) -> Iterator[Share]:
    """Existing load by its measured records, used as calculated."""
    if part:
        share = share_of(
            part, "Measured load of what is there, 125 %", MEASURED_FACTOR * connected_va(part),
            cite("metered_load", case.rules.edition),
        )  # fmt: skip
        yield share._replace(steady=False)


def _lighting(lights: Tally, case: Case) -> Iterator[Share]:
    """Lighting: whole, but for the occupancies that have demand factors for it."""
    edition = case.rules.edition
    by_occupancy: dict[str, Tally] = {}
    for key, amount in lights.items():
        occupancy = _LIGHTING_FACTORS.get(key.detail, "all_others")
        if occupancy == "hospital" and edition != "2017":
            occupancy = "all_others"
        by_occupancy.setdefault(occupancy, {})[key] = amount
    for occupancy, part in sorted(by_occupancy.items()):
        demand = lighting_demand(connected_va(part), occupancy, edition)
        label = "Lighting" if occupancy == "all_others" else f"Lighting, {occupancy.split('_')[0]}"
        article = cite(demand.cite_key, edition)
        yield tabled(
            share_of(part, label, demand.value, article), f"lighting, {occupancy}", case.floors
        )


def _receptacles(part: Tally, case: Case) -> Iterator[Share]:
    if part:
        demand = receptacle_demand(connected_va(part))
        share = share_of(
            part, "Receptacles, 10 kVA at 100 %, rest at 50 %", demand.value,
            cite(demand.cite_key, case.rules.edition),
        )  # fmt: skip
        yield tabled(share, "receptacles", case.floors)
