"""Outside dimensions of conductors, for raceway fill.

In inches and square inches, as NEC Chapter 9 prints them; the same in the 2017, 2020 and 2023
editions.
"""

from functools import cache
from typing import Final, NamedTuple

from ampacre.codebook.tables import Cited, Row, rows

__all__ = ["Outside", "insulated_wire"]


class Outside(NamedTuple):
    """The outside of a conductor: diameter [in] and area [in2]."""

    diameter_in: float
    area_in2: float


_TABLE_5: Final = {
    "TW": "TW/THW",
    "THW": "TW/THW",
    "THWN": "THHN/THWN-2",
    "THWN-2": "THHN/THWN-2",
    "THHN": "THHN/THWN-2",
    "XHHW": "XHHW-2",
    "XHHW-2": "XHHW-2",
    "RHW": "RHW-2 with covering",
    "RHW-2": "RHW-2 without covering",
    "USE": "USE-2",
    "USE-2": "USE-2",
}
_TABLE_5A: Final = {
    "TW": "thw_thhw",
    "THW": "thw_thhw",
    "THWN": "thhn",
    "THWN-2": "thhn",
    "THHN": "thhn",
    "XHHW": "xhhw",
    "XHHW-2": "xhhw",
    "RHW-2": "rhh_rhw_use_no_covering",
    "USE": "rhh_rhw_use_no_covering",
    "USE-2": "rhh_rhw_use_no_covering",
}
"""Columns of the tables by insulation; cables have an outside of their own, which no table lists."""


@cache
def _concentric() -> dict[tuple[str, str], Row]:
    return {(row["insulation"], row["size"]): row for row in rows("insulated_dimensions")}


@cache
def _compact() -> dict[str, Row]:
    return {row["size"]: row for row in rows("compact_dimensions")}


@cache
def insulated_wire(size: str, material: str, insulation: str) -> Cited[Outside] | None:
    """Outside of an insulated conductor; None for cables and for what no table lists.

    Copper by NEC Chapter 9 Table 5. Aluminum building wire is compact: Table 5A, and Table 5 for
    the sizes that it leaves out.
    """
    column = _TABLE_5A.get(insulation)
    if material == "al" and column is not None:
        row = _compact().get(size)
        if row is not None and row[f"{column}_area_in2"]:
            found = Outside(float(row[f"{column}_diameter_in"]), float(row[f"{column}_area_in2"]))
            return Cited(found, "compact_table", int(row["verified"]))
    row = _concentric().get((_TABLE_5.get(insulation, ""), size))
    if row is None:
        return None
    found = Outside(float(row["diameter_in"]), float(row["area_in2"]))
    return Cited(found, "insulated_table", int(row["verified"]))
