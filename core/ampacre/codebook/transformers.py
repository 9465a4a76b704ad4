"""Standard transformer sizes and the impedances that are usual for them."""

from typing import NamedTuple

from ampacre.codebook.tables import rows

__all__ = ["TypicalImpedance", "standard_kva", "typical_impedance"]

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
