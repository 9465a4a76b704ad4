"""What a conductor is and carries: sizes, ampacity, correction, impedance, insulation.

Sizes are the trade's text ("4/0", "250"), materials "cu" and "al". Tables are those of the
NEC named in each function; their numbers are the same in the 2017, 2020 and 2023 editions.
"""

from functools import cache, lru_cache
from typing import Final

import numpy as np

from ampacre.codebook.tables import Cited, Row, rows

__all__ = [
    "INSULATIONS",
    "SIZES",
    "ambient_factor",
    "ampacity",
    "ampacity_cap",
    "area_cmil",
    "bundling_factor",
    "direct_burial_rated",
    "dwelling_83",
    "impedance_75c",
    "insulation_column",
    "resistance_75c",
    "roof_adder_c",
    "size_of_area",
    "size_word",
    "wet_rated",
]

SIZES: Final = (
    "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0",
    "250", "300", "350", "400", "500", "600", "700", "750", "800", "900", "1000",
)  # fmt: skip
"""Trade sizes in ascending order: AWG to 4/0, kcmil from 250."""

INSULATIONS: Final = (
    "TW", "THW", "THWN", "THWN-2", "THHN", "XHHW", "XHHW-2", "RHW", "RHW-2", "USE", "USE-2",
    "NM-B", "UF-B", "SER", "SEU",
)  # fmt: skip


@cache
def _properties() -> dict[str, Row]:
    """Give one row of Chapter 9 Table 8 per size; where solid and stranded are listed, stranded."""
    return {row["size"]: row for row in rows("conductor_properties")}


@cache
def area_cmil(size: str) -> float:
    """Area of a conductor [circular mils] (NEC Chapter 9 Table 8)."""
    return float(_properties()[size]["area_cmil"])


def size_of_area(needed_cmil: float) -> str | None:
    """Smallest size of at least this area [circular mils]; None above 2000 kcmil."""
    for size, row in _properties().items():
        if float(row["area_cmil"]) >= needed_cmil:
            return size
    return None


def size_word(size: str) -> str:
    """Say a conductor size with its unit: 4/0 AWG, 250 kcmil."""
    return f"{size} kcmil" if size.isdigit() and int(size) >= 250 else f"{size} AWG"


@cache
def _ampacities() -> dict[tuple[str, str], Row]:
    return {(row["size"], row["material"]): row for row in rows("ampacity_raceway")}


def ampacity(size: str, material: str, column: int) -> Cited[float] | None:
    """Ampacity [A] at 30 C of up to three current-carrying conductors in raceway, cable or earth.

    NEC Table 310.16 (2017: Table 310.15(B)(16)), `column` 60, 75 or 90 C. None where the table
    has no such conductor.
    """
    row = _ampacities().get((size, material))
    if row is None:
        return None
    return Cited(float(row[f"amps_{column}c"]), "ampacity_table", int(row["verified"]))


@lru_cache(maxsize=4096)
def ambient_factor(ambient_c: float, column: int) -> Cited[float] | None:
    """Correction for an ambient other than 30 C; None where the conductor may carry nothing.

    NEC Table 310.15(B)(1)(1) (2020: 310.15(B)(1); 2017: 310.15(B)(2)(a)). A temperature between
    two bands belongs to the hotter one.
    """
    for row in rows("ambient_correction"):
        if ambient_c <= float(row["ambient_high_c"]):
            factor = row[f"factor_{column}c"]
            return Cited(float(factor), "ambient_table", int(row["verified"])) if factor else None
    return None


@cache
def bundling_factor(count: int) -> Cited[float]:
    """Adjustment for more than three current-carrying conductors together.

    NEC Table 310.15(C)(1) (2017: 310.15(B)(3)(a)).
    """
    for row in rows("bundling_adjustment"):
        if not row["conductors_high"] or count <= int(row["conductors_high"]):
            return Cited(float(row["factor"]), "bundling_table", int(row["verified"]))
    raise AssertionError("the last row of the table has no upper end")


@cache
def _impedances() -> dict[str, Row]:
    return {row["size"]: row for row in rows("ac_impedance")}


def resistance_75c(size: str, material: str) -> Cited[float]:
    """Direct-current resistance [ohm per 1000 ft] at 75 C (NEC Chapter 9 Table 8), uncoated."""
    row = _properties()[size]
    column = "dc_ohm_per_kft_al" if material == "al" else "dc_ohm_per_kft_cu_uncoated"
    return Cited(float(row[column]), "resistance_table", int(row["verified"]))


_RACEWAY_COLUMN: Final = {
    "aluminum": "al_conduit",
    **dict.fromkeys(("steel", "imc", "emt", "fmc", "lfmc"), "steel"),
}
"""Columns of Table 9 by raceway; everything that is not metal reads the PVC columns."""


@cache
def impedance_75c(size: str, material: str, raceway: str | None) -> Cited[complex]:
    """R + jX of one conductor to neutral [ohm per 1000 ft] at 75 C, 60 Hz.

    NEC Chapter 9 Table 9 for a raceway of plastic, steel or aluminum; "direct burial", "cable" and
    None read the PVC columns. Where Table 9 lists no resistance (14 AWG aluminum; 700, 800 and
    900 kcmil) it is that of Table 8 times the ratio of alternating- to direct-current resistance
    of the listed sizes on either side, interpolated by area, and so is the reactance.
    """
    raceway_column = _RACEWAY_COLUMN.get(raceway or "", "pvc")
    r_column = f"r_ohm_per_kft_{material}_{raceway_column}"
    x_column = "xl_ohm_per_kft_steel" if raceway_column == "steel" else "xl_ohm_per_kft_pvc_al"
    row = _impedances().get(size)
    if row is not None and row[r_column]:
        value = complex(float(row[r_column]), float(row[x_column]))
        return Cited(value, "impedance_table", int(row["verified"]))
    direct = resistance_75c(size, material)
    skin = {
        other: float(cells[r_column]) / resistance_75c(other, material).value
        for other, cells in _impedances().items()
        if cells[r_column]
    }
    reactance = {other: float(cells[x_column]) for other, cells in _impedances().items()}
    raised = direct.value * max(1.0, _between(skin, size))
    return Cited(complex(raised, _between(reactance, size)), "resistance_table", direct.verified)


def _between(by_size: dict[str, float], size: str) -> float:
    """Value at a size's area, between those of the listed sizes around it."""
    areas = [area_cmil(other) for other in by_size]
    return float(np.interp(area_cmil(size), areas, list(by_size.values())))


@cache
def _insulation(kind: str) -> Row:
    for row in rows("insulations"):
        if row["type_letter"] == kind:
            return row
    raise ValueError(
        f"insulation type {kind!r} is not in the table; known are {', '.join(INSULATIONS)}"
    )


@cache
def wet_rated(kind: str) -> bool:
    """Whether an insulation or cable type may lie in a wet place (NEC Table 310.4(1), 300.5(B))."""
    return bool(_insulation(kind)["ampacity_column_wet_c"])


def direct_burial_rated(kind: str) -> bool:
    """Whether a type may lie in the ground without a raceway, at least where it is marked for it.

    NEC 310.10 and the articles of cables.
    """
    return _insulation(kind)["ok_direct_burial"] != "no"


@cache
def insulation_column(kind: str, wet: bool) -> int:
    """Column of the ampacity table [C] that an insulation may start from, dry or wet.

    NEC Table 310.4(1) (2020: 310.4(A); 2017: 310.104(A)) and the cable articles. A type that has
    no wet rating but lies in a wet place is read at 60 C as a cautious assumption.
    """
    row = _insulation(kind)
    return int(row["ampacity_column_wet_c" if wet else "ampacity_column_dry_c"] or 60)


@cache
def ampacity_cap(kind: str) -> int | None:
    """Column [C] that the final ampacity of a cable type may not exceed (NEC 334.80, 340.80)."""
    cap = _insulation(kind)["final_ampacity_cap_c"]
    return int(cap) if cap else None


_ROOF_C: Final = 33.0
_ROOF_EXEMPT: Final = ("XHHW-2",)


def roof_adder_c(kind: str) -> Cited[float]:
    """Degrees added to the ambient of conductors in sun close to a roof [C] (NEC 310.15(B)(2)).

    33 C (60 F) within 7/8 in of the roof (2023: 3/4 in); XHHW-2 is exempt.
    """
    return Cited(0.0 if kind in _ROOF_EXEMPT else _ROOF_C, "roof_adder", 1)


def dwelling_83(rating_a: float, material: str) -> Cited[str] | None:
    """Smallest conductor for the whole load of one dwelling, by the rating of its service [A].

    NEC Table 310.12(A): ampacity of 83 per cent of the rating in the 75 C column. None for a
    rating that the table does not list.
    """
    for row in rows("dwelling_service_conductors"):
        if float(row["service_amps"]) == rating_a:
            return Cited(row[f"{material}_size"], "dwelling_83", int(row["verified"]))
    return None
