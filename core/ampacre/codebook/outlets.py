"""Least loads of outlets and lighting in other than dwellings, and least services."""

from typing import Final, NamedTuple

from ampacre.codebook.tables import Cited, rows

__all__ = [
    "DWELLING_A",
    "ONE_CIRCUIT_A",
    "OTHER_A",
    "TWO_CIRCUITS_A",
    "UnitLoad",
    "lighting_unit_load",
    "outlet_va",
    "service_minimum_a",
]


class UnitLoad(NamedTuple):
    """Lighting load by floor area [VA per square foot], and whether 125 % is still to be added."""

    va_per_ft2: float
    adds_continuous: bool
    verified: int


def lighting_unit_load(occupancy: str, edition: str) -> UnitLoad | None:
    """Lighting load of an occupancy (NEC Table 220.12; 2023: Table 220.42(A)).

    From 2020 on the values hold the 125 per cent of continuous load. None where the edition has no
    value for the occupancy.
    """
    for row in rows("lighting_unit_loads"):
        if row["occupancy"] == occupancy and row["edition_from"] <= edition <= row["edition_to"]:
            return UnitLoad(
                float(row["unit_load_va_per_ft2"]), row["adds_continuous"] == "yes",
                int(row["verified"]),
            )  # fmt: skip
    return None


def outlet_va(item: str) -> Cited[float]:
    """Least load of an outlet [VA], per piece or length as the rule has it (NEC 220.14, 220.43)."""
    keys = {
        "receptacle_yoke": "outlet_load",
        "multioutlet_assembly_not_simultaneous": "multioutlet_load",
        "multioutlet_assembly_simultaneous": "multioutlet_load",
        "sign_outlet": "sign_load",
        "show_window": "window_load",
        "track_lighting": "track_load",
        "bank_office_receptacle": "office_receptacles",
    }
    for row in rows("outlet_loads"):
        if row["item"] == item:
            return Cited(float(row["value"]), keys[item], int(row["verified"]))
    raise ValueError(f"no least load for {item!r}")


def service_minimum_a(item: str) -> Cited[float]:
    """Least rating of a service or building disconnecting means [A] (NEC 230.79, 225.39)."""
    for row in rows("service_minimums"):
        if row["item"] == item:
            key = "service_disconnect_dwelling" if "dwelling" in item else "service_disconnect_size"
            return Cited(float(row["minimum_a"]), key, int(row["verified"]))
    raise ValueError(f"no least service for {item!r}")


DWELLING_A: Final = service_minimum_a("service_one_family_dwelling").value
OTHER_A: Final = service_minimum_a("service_all_others").value
TWO_CIRCUITS_A: Final = service_minimum_a("service_two_circuits").value
ONE_CIRCUIT_A: Final = service_minimum_a("service_one_circuit").value
"""Least ratings of a disconnecting means: NEC 230.79, and 225.39 alike for a structure."""
