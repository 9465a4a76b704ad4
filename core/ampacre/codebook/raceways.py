"""Raceways: inside dimensions, how far they may be filled, bends.

Areas and diameters are in square inches and inches, as NEC Chapter 9 prints them; the tables have
the same numbers in the 2017, 2020 and 2023 editions.
"""

from functools import cache
from typing import Final, NamedTuple

from ampacre.codebook.tables import Cited, Row, rows

__all__ = [
    "JAM_RATIOS",
    "METAL",
    "NIPPLE_M",
    "PLASTIC",
    "RACEWAYS",
    "TRADE_SIZES",
    "Bore",
    "bend_limit_deg",
    "bore",
    "fill_limit",
    "stocked_sizes",
]

TRADE_SIZES: Final = (
    "1/2", "3/4", "1", "1-1/4", "1-1/2", "2", "2-1/2", "3", "3-1/2", "4", "5", "6",
)  # fmt: skip
"""Trade sizes in ascending order [in]."""

NIPPLE_M: Final = 0.6096
"""A raceway of 24 in or less between enclosures is a nipple (NEC Chapter 9 note 4)."""

JAM_RATIOS: Final = (2.8, 3.2)
"""Inside diameter over conductor diameter at which three conductors may jam side by side.

NEC Chapter 9 Table 1, informational note 2.
"""

METAL: Final = ("steel", "aluminum", "imc", "emt", "fmc", "lfmc")
PLASTIC: Final = ("pvc", "pvc 80", "ent", "lfnc")
RACEWAYS: Final = (*PLASTIC, *METAL)
"""Kinds of raceway by what they are made of; "steel" and "aluminum" are rigid conduit."""

_TABLES: Final = {
    "pvc": "PVC_SCH40",
    "pvc 80": "PVC_SCH80",
    "steel": "RMC",
    "aluminum": "RMC",
    "imc": "IMC",
    "emt": "EMT",
    "fmc": "FMC",
    "lfmc": "LFMC",
    "lfnc": "LFNC-B",
    # of the two sets of dimensions that editions print the smaller
    "ent": "ENT_LEGACY",
}


class Bore(NamedTuple):
    """The inside of a raceway: diameter [in] and area [in2]."""

    diameter_in: float
    area_in2: float


@cache
def _dimensions() -> dict[tuple[str, str], Row]:
    return {(row["raceway"], row["trade_size_in"]): row for row in rows("raceway_areas")}


@cache
def bore(kind: str, trade_size: str) -> Cited[Bore] | None:
    """Inside of a raceway by NEC Chapter 9 Table 4; None where it is not made or not a raceway.

    `kind` is one of `RACEWAYS`; "pvc" is Schedule 40.
    """
    row = _dimensions().get((_TABLES.get(kind, ""), trade_size))
    if row is None:
        return None
    inside = Bore(float(row["internal_diameter_in"]), float(row["total_area_in2"]))
    return Cited(inside, "raceway_table", int(row["verified"]))


@cache
def stocked_sizes(kind: str) -> tuple[str, ...]:
    """Trade sizes that a raceway kind is made in, ascending; none for what is no raceway."""
    return tuple(size for size in TRADE_SIZES if bore(kind, size) is not None)


@cache
def fill_limit(count: int, *, nipple: bool = False) -> Cited[float]:
    """Part of a raceway's area that `count` conductors or cables may fill [per cent].

    NEC Chapter 9 Table 1: 53 for one, 31 for two, 40 for more; 60 for any number in a nipple of
    24 in or less (note 4).
    """
    item, cite_key = {1: "fill_1", 2: "fill_2"}.get(count, "fill_over_2"), "fill_table"
    if nipple:
        item, cite_key = "fill_nipple", "nipple_fill"
    row = next(row for row in rows("percent_fill") if row["item_id"] == item)
    return Cited(float(row["max_fill_percent"]), cite_key, int(row["verified"]))


_BENDABLE: Final = {
    "pvc": "PVC", "pvc 80": "PVC", "steel": "RMC", "aluminum": "RMC", "imc": "IMC", "emt": "EMT",
    "fmc": "FMC", "lfmc": "LFMC", "lfnc": "LFNC", "ent": "ENT",
}  # fmt: skip


def bend_limit_deg(kind: str) -> Cited[float] | None:
    """Most bends between two pull points, in all [degree]; None for what is no raceway.

    NEC 344.26, 352.26, 358.26 and their like (2023: 352.24(B)). `kind` as for `bore`.
    """
    name = _BENDABLE.get(kind)
    for row in rows("bend_limits"):
        if row["raceway"] == name:
            limit = float(row["max_total_bend_deg_between_pull_points"])
            return Cited(limit, "bend_limit", int(row["verified"]))
    return None
