"""Multi-conductor assemblies as they are sold: cables and plexed sets, picked whole."""

from functools import cache
from typing import NamedTuple

from ampacre.codebook.tables import Cited, rows

__all__ = ["Assembly", "assemblies"]


class Assembly(NamedTuple):
    """One assembly: `hot_count` conductors of `size`, a neutral, and mostly a grounding conductor.

    `neutral` and `grounding` are "none" where it has none. `insulation` is the type that such
    stock is usually marked with. `grounding_serves_a` is the largest device [A] that the grounding
    conductor serves while the others are not larger than ampacity asks for (NEC Table 250.122).
    """

    name: str
    family: str
    material: str
    size: str
    hot_count: int
    neutral: str
    grounding: str
    insulation: str
    direct_burial: bool
    underground_raceway: bool
    indoors: bool
    grounding_serves_a: float | None
    note: str


_INSULATION = {"XHHW-2 inside a PVC jacket": "SER", "UF-B": "UF-B"}


@cache
def assemblies() -> tuple[Cited[Assembly], ...]:
    """Common assemblies in the order of the table (common practice, maker data sheets).

    Two-wire cables with ground serve either one leg and the neutral or two legs; the table has
    their second conductor as neutral.
    """
    found = []
    for row in rows("common_assemblies"):
        assembly = Assembly(
            name=row["assembly"],
            family=row["family"],
            material=row["material"],
            size=row["hot_size"],
            hot_count=int(row["hot_count"]),
            neutral=row["neutral_size"] or "none",
            grounding=row["egc_size"] or "none",
            insulation=_INSULATION.get(row["insulation"], "USE-2"),
            direct_burial=row["ok_direct_burial"] == "yes",
            underground_raceway=row["ok_underground_raceway"] == "yes",
            indoors=row["ok_interior_wiring"] == "yes",
            grounding_serves_a=float(row["egc_max_ocpd_amps"])
            if row["egc_max_ocpd_amps"]
            else None,
            note=row["note"],
        )
        found.append(Cited(assembly, "common practice", int(row["verified"])))
    return tuple(found)
