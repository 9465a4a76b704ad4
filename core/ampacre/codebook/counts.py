"""Demand factors by number of units: kitchens, parks, docks, apartments, elevators, welders."""

from collections.abc import Sequence
from typing import Literal

from ampacre.codebook.tables import Cited, rows

__all__ = [
    "WELDER_RANKS",
    "CountTable",
    "count_factor",
    "welder_duty_factor",
]

CountTable = Literal[
    "kitchen", "elevators", "vehicle_park", "shore_power", "mobile_home_park", "multifamily"
]

_TABLES: dict[CountTable, tuple[str, str]] = {
    "kitchen": ("demand_kitchen", "units"),
    "elevators": ("demand_elevators", "elevators"),
    "vehicle_park": ("demand_vehicle_sites", "sites"),
    "shore_power": ("demand_shore_power", "receptacles"),
    "mobile_home_park": ("demand_mobile_home_lots", "lots"),
    "multifamily": ("demand_multifamily", "units"),
}

WELDER_RANKS: Sequence[float] = (1.0, 1.0, 0.85, 0.70, 0.60)
"""Part that each arc welder of a group counts, largest first, the last for all further ones.

NEC 630.11(B).
"""


def count_factor(table: CountTable, count: int) -> Cited[float]:
    """Demand factor for so many units as a fraction; the key of the table is its citation.

    NEC Tables 220.56, 620.14, 551.73(A), 555.12 (2020: 555.6; 2023: 220.120), 550.31 and 220.84.
    Raises ValueError below the first row of a table.
    """
    name, unit = _TABLES[table]
    for row in rows(name):
        least, most = int(row[f"{unit}_min"]), row[f"{unit}_max"]
        if least <= count and (not most or count <= int(most)):
            factor = row.get("demand_factor") or str(float(row["demand_pct"]) / 100)
            return Cited(float(factor), table, int(row["verified"]))
    raise ValueError(f"table {table} has no row for {count}")


def welder_duty_factor(duty_pct: int, *, motor_generator: bool) -> Cited[float]:
    """Part of its primary current that an arc welder counts for its duty cycle (NEC 630.11(A))."""
    column = "factor_motor_generator" if motor_generator else "factor_nonmotor_generator"
    for row in rows("welder_duty"):
        if int(row["duty_cycle_pct"]) == duty_pct:
            return Cited(float(row[column]), "welder_duty", int(row["verified"]))
    raise ValueError(f"no duty cycle of {duty_pct} % in NEC Table 630.11(A)")
