"""Demand tables of NEC Article 220 and motor currents of Article 430."""

import math
from collections.abc import Sequence
from typing import Final, NamedTuple

from ampacre.codebook.tables import Cited, Row, rows

__all__ = [
    "Pool",
    "appliance_factor",
    "col_a",
    "col_b",
    "col_c_kw",
    "cooking_demand_va",
    "cooking_on_three_phases_va",
    "dryer_factor",
    "existing_pool",
    "farm_building_factors",
    "farm_total_factors",
    "lighting_demand",
    "motor_full_load_a",
    "optional_heating",
    "optional_pool",
    "receptacle_demand",
    "rv_site_va",
]


def lighting_demand(
    va: float, occupancy: str = "dwelling_unit", edition: str = "2023"
) -> Cited[float]:
    """Demand [VA] of general lighting, in tiers (NEC Table 220.45; 2017 and 2020: Table 220.42).

    For dwellings `va` includes the small-appliance and laundry circuits of all units together.
    """
    tiers = [
        row
        for row in rows("demand_lighting")
        if row["occupancy"] == occupancy and _in_edition(row, edition)
    ]
    if not tiers:
        raise ValueError(f"no lighting demand factors for occupancy {occupancy!r} in {edition}")
    total = 0.0
    for tier in tiers:
        low = float(tier["from_va_exclusive"])
        high = float(tier["to_va_inclusive"] or math.inf)
        total += max(0.0, min(va, high) - low) * float(tier["demand_pct"]) / 100
    return Cited(total, "lighting_demand", min(int(tier["verified"]) for tier in tiers))


def _in_edition(row: Row, edition: str) -> bool:
    return row["edition_from"] <= edition <= row["edition_to"]


def dryer_factor(count: int) -> Cited[float]:
    """Demand factor for `count` household clothes dryers (NEC Table 220.54), as a fraction."""
    last: Row | None = None
    for row in rows("demand_dryers"):
        if int(row["dryers"]) > count:
            break
        last = row
    if last is None:
        return Cited(1.0, "dryers", 2)
    return Cited(float(last["demand_pct"]) / 100, "dryers", int(last["verified"]))


def _cooking(count: int) -> Row:
    for row in rows("demand_ranges"):
        if not row["appliances_max"] or count <= int(row["appliances_max"]):
            return row
    raise AssertionError("the last row of the table has no upper end")


def col_a(count: int) -> Cited[float]:
    """Demand factor of cooking units below 3.5 kW (NEC Table 220.55 column A), as a fraction."""
    row = _cooking(count)
    return Cited(float(row["col_a_pct_under_3_5_kw"]) / 100, "cooking", int(row["verified"]))


def col_b(count: int) -> Cited[float]:
    """Demand factor of cooking units of 3.5 to 8.75 kW (column B), as a fraction."""
    row = _cooking(count)
    return Cited(float(row["col_b_pct_3_5_to_8_75_kw"]) / 100, "cooking", int(row["verified"]))


def col_c_kw(count: int) -> Cited[float]:
    """Greatest demand [kW] of `count` cooking units of up to 12 kW (column C)."""
    row = _cooking(count)
    verified = int(row["verified"])
    if row["col_c_kw_fixed"]:
        return Cited(float(row["col_c_kw_fixed"]), "cooking", verified)
    kw = float(row["col_c_kw_base"]) + float(row["col_c_kw_per_range"]) * count
    return Cited(kw, "cooking", verified)


_TABLE_LIMIT_VA: Final = 27_000.0


def cooking_demand_va(ratings_va: Sequence[float], *, note_3: bool = False) -> Cited[float]:
    """Demand [VA] of household cooking units, each above 1.75 kW (NEC Table 220.55 column C).

    Notes 1 and 2: the column is raised by 5 per cent for each kilowatt, or major fraction, by
    which the average rating exceeds 12 kW, units below 12 kW counting as 12 kW. `note_3` allows
    columns A and B for the units of up to 8.75 kW, where that comes out lower. Never above the
    nameplates together. Units above 27 kW are beyond the table and count at their rating.
    """
    covered = [rating for rating in ratings_va if rating <= _TABLE_LIMIT_VA]
    beyond_va = sum(rating for rating in ratings_va if rating > _TABLE_LIMIT_VA)
    if not covered:
        return Cited(beyond_va, "cooking", 2)
    column_va = _column_c_va(covered, len(covered))
    demand_va = min(column_va.value, sum(covered))
    if note_3:
        demand_va = min(demand_va, _columns_a_and_b_va(covered))
    return Cited(demand_va + beyond_va, "cooking", column_va.verified)


def _column_c_va(ratings_va: Sequence[float], count: int) -> Cited[float]:
    """Column C for a count of units, raised for their average rating by notes 1 and 2 [VA]."""
    column = col_c_kw(count)
    average_kw = sum(max(12.0, rating / 1000) for rating in ratings_va) / len(ratings_va)
    steps = math.floor(average_kw - 12 + 0.5)
    return Cited(column.value * 1000 * (1 + 0.05 * steps), "cooking", column.verified)


def _columns_a_and_b_va(ratings_va: Sequence[float]) -> float:
    """Note 3: units below 3.5 kW by column A, up to 8.75 kW by column B, the rest by column C."""
    small = [rating for rating in ratings_va if rating < 3_500]
    middle = [rating for rating in ratings_va if 3_500 <= rating <= 8_750]
    large = [rating for rating in ratings_va if rating > 8_750]
    total = sum(small) * col_a(len(small)).value if small else 0.0
    total += sum(middle) * col_b(len(middle)).value if middle else 0.0
    return total + (_column_c_va(large, len(large)).value if large else 0.0)


def cooking_on_three_phases_va(ratings_va: Sequence[float], most_between_two: int) -> Cited[float]:
    """Demand [VA] of single-phase cooking units on a 4-wire three-phase feeder (NEC 220.55).

    The table is entered with twice the most units between any two legs; half of what it gives is
    the load of a leg.
    """
    found = _column_c_va(ratings_va, 2 * most_between_two)
    return Cited(1.5 * found.value, "cooking", found.verified)


def appliance_factor(count: int, edition: str) -> Cited[float]:
    """Demand factor for `count` appliances fastened in place (NEC 220.53), as a fraction.

    Cooking, dryers, space heating, air conditioning and, from 2023, vehicle supply equipment
    are not counted. From 2020 only units of 1/4 hp or 500 W and more are.
    """
    for row in rows("demand_appliances"):
        if _in_edition(row, edition):
            enough = count >= int(row["min_appliances"])
            factor = float(row["demand_pct"]) / 100 if enough else 1.0
            return Cited(factor, "appliances_75", int(row["verified"]))
    raise ValueError(f"no appliance factor for edition {edition!r}")


class Pool(NamedTuple):
    """How a dwelling's pool of loads counts: `whole_va` of it whole, and `rest` of the others."""

    whole_va: float
    rest: float


def optional_pool(edition: str) -> Cited[Pool]:
    """Give the tiers of one dwelling's pool by the optional method (NEC 220.82(B))."""
    return _pool("optional_dwelling", edition)


def existing_pool(edition: str) -> Cited[Pool]:
    """Give the tiers of an existing dwelling's pool (NEC 220.83)."""
    return _pool("existing_dwelling", edition)


def _pool(table: str, edition: str) -> Cited[Pool]:
    held = [row for row in rows(table) if _in_edition(row, edition)]
    whole = next((row for row in held if row["tier_to_va"]), None)
    if whole is None:
        raise ValueError(f"no tiers of table {table!r} in {edition}")
    whole_va = float(whole["tier_to_va"])
    rest = next(
        row for row in held if row["tier_from_va"] and float(row["tier_from_va"]) == whole_va
    )
    verified = min(int(whole["verified"]), int(rest["verified"]))
    return Cited(Pool(whole_va, float(rest["pct"]) / 100), table, verified)


def optional_heating(selection: str, edition: str) -> Cited[float]:
    """Part of heating or cooling that counts by a selection of NEC 220.82(C), such as "4"."""
    for row in rows("optional_dwelling"):
        if row["part"] == "C" and row["selection"] == selection and _in_edition(row, edition):
            return Cited(float(row["pct"]) / 100, "optional_dwelling", int(row["verified"]))
    raise ValueError(f"NEC 220.82(C) has no selection {selection!r} in {edition}")


def rv_site_va(site: str, edition: str) -> Cited[float]:
    """Load of one recreational-vehicle site [VA] by its receptacles (NEC 551.73(A))."""
    for row in rows("rv_site_va"):
        if row["site_type"] == site and _in_edition(row, edition):
            return Cited(float(row["va_per_site"]), "rv_site", int(row["verified"]))
    raise ValueError(f"no load for sites of type {site!r} in {edition}")


_TABLE_V: Final = {
    110: 115, 115: 115, 120: 115, 200: 200, 208: 208, 220: 230, 230: 230, 240: 230,
    440: 460, 460: 460, 480: 460, 550: 575, 575: 575, 600: 575,
}  # fmt: skip
"""Columns of the motor tables by system voltage: each stands for a range (notes of the tables)."""


def motor_full_load_a(hp: float, volts: float, phases: int) -> Cited[float] | None:
    """Full-load current [A] of a motor by its horsepower (NEC Tables 430.248 and 430.250).

    A power between two rows reads the larger. None where the table has no such motor.
    """
    table_v = _TABLE_V.get(round(volts))
    name, key = (
        ("motor_flc_3ph", "motor_table_3ph")
        if phases == 3
        else ("motor_flc_1ph", "motor_table_1ph")
    )
    for row in rows(name):
        if float(row["hp"]) >= hp - 0.001:
            amps = row.get(f"flc_a_{table_v}v")
            return Cited(float(amps), key, int(row["verified"])) if amps else None
    return None


def receptacle_demand(va: float) -> Cited[float]:
    """Demand [VA] of receptacles in other than dwellings (NEC Table 220.44; 2023: 220.47)."""
    total, verified = 0.0, 2
    for tier in rows("demand_receptacles"):
        low = float(tier["from_va_exclusive"])
        high = float(tier["to_va_inclusive"] or math.inf)
        total += max(0.0, min(va, high) - low) * float(tier["demand_pct"]) / 100
        verified = min(verified, int(tier["verified"]))
    return Cited(total, "receptacle_demand", verified)


def _farm(table: str) -> tuple[float, ...]:
    return tuple(
        float(row["demand_pct"]) / 100
        for row in rows("farm_loads")
        if row["table"] == table
        and row["demand_pct"]
        and not row["what"].startswith("farm dwelling")
    )


def farm_building_factors() -> tuple[float, ...]:
    """Factors of a farm building's three tiers of load (NEC Table 220.102), as fractions."""
    return _farm("220.102")


def farm_total_factors() -> tuple[float, ...]:
    """Factors of a farm's loads, largest first; the last for all further ones (Table 220.103)."""
    return _farm("220.103")
