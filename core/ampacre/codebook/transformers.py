"""Transformers: standard sizes, usual impedances, and how they have to be protected."""

from typing import Literal, NamedTuple

from ampacre.codebook.tables import Cited, rows

__all__ = [
    "ProtectionLimit",
    "TypicalImpedance",
    "protection_limit",
    "standard_kva",
    "typical_impedance",
]

_LOW_PCT, _HIGH_PCT, _X_R = 1.5, 3.0, 1.5
"""Where the table has no range: the span of the neighbouring sizes, X/R from memory."""


class TypicalImpedance(NamedTuple):
    """Range of impedance [%] and X/R ratio of a size, for units whose nameplate was not read."""

    low_pct: float
    high_pct: float
    x_r: float


def standard_kva(phases: int) -> tuple[float, ...]:
    """Standard ratings [kVA] of single-phase (1) or three-phase (3) units."""
    return tuple(
        float(row["kva"])
        for row in rows("transformer_standard_sizes")
        if row["phases"] == str(phases)
    )


def typical_impedance(kva: float, phases: int) -> TypicalImpedance:
    """Impedance range of the listed size nearest to `kva`."""
    listed = [row for row in rows("transformer_standard_sizes") if row["phases"] == str(phases)]
    row = min(listed, key=lambda row: abs(float(row["kva"]) - kva))
    return TypicalImpedance(
        float(row["z_pct_low"] or _LOW_PCT),
        float(row["z_pct_high"] or _HIGH_PCT),
        float(row["xr_low"] or _X_R),
    )


class ProtectionLimit(NamedTuple):
    """Largest device in per cent of a winding's rated current, and whether it may be rounded up."""

    pct: float
    next_size_up: bool


def protection_limit(
    side: Literal["primary", "secondary"], rated_a: float, *, with_secondary: bool
) -> Cited[ProtectionLimit] | None:
    """Protection of a transformer of 1000 V or less (NEC Table 450.3(B)).

    `rated_a` is the rated current of that side's winding [A]; `with_secondary` tells that both
    sides are protected. None for the secondary where the primary alone is. Units with thermal
    protection by their maker, which may have larger devices, are not in it.
    """
    method = "primary_and_secondary" if with_secondary else "primary_only"
    for row in rows("transformer_protection"):
        if (row["method"], row["side"]) != (method, side):
            continue
        least, below = row["rated_current_min_a"], row["rated_current_below_a"]
        if (least and rated_a < float(least)) or (below and rated_a >= float(below)):
            continue
        pct = float(row["max_ocpd_pct_of_rated_current"])
        limit = ProtectionLimit(pct, row["next_size_up_permitted"] == "yes")
        return Cited(limit, "transformer_protection", int(row["verified"]))
    return None
