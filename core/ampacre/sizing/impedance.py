"""Impedances of runs and transformers [ohm], as complex R + jX."""

import math
from typing import Final

from ampacre.codebook.conductors import impedance_75c

__all__ = [
    "centre_tap_halves",
    "run_impedance",
    "transformer_impedance",
]

METRES_PER_KFT: Final = 304.8

_TEMPERATURE_COEFFICIENT: Final = {"cu": 0.00323, "al": 0.00330}
"""Per degree C, referred to 75 C (NEC Chapter 9 Table 8, note 2)."""


def run_impedance(
    size: str, material: str, raceway: str | None, sets: int, length_m: float, temp_c: float
) -> complex:
    """Impedance [ohm] of one line conductor, one way, `sets` in parallel counted together.

    NEC Chapter 9 Table 9, its resistance taken from 75 C to the conductor temperature `temp_c`
    by R2 = R1 (1 + a (T2 - 75)); the reactance does not change.
    """
    per_kft = impedance_75c(size, material, raceway).value
    warmth = 1 + _TEMPERATURE_COEFFICIENT[material] * (temp_c - 75)
    return complex(per_kft.real * warmth, per_kft.imag) * length_m / METRES_PER_KFT / sets


def transformer_impedance(kva: float, line_v: float, pct: float, x_r: float) -> complex:
    """Impedance [ohm] of a transformer seen from its secondary.

    `pct` is the impedance on the nameplate [%], `x_r` its ratio of X to R. Single-phase: of the
    full winding, on the base V^2/kVA. Three-phase: of each phase, on the base of the voltage
    between lines, which gives the same V^2/kVA.
    """
    ohm = pct / 100 * line_v**2 / (kva * 1000)
    resistance = ohm / math.hypot(1.0, x_r)
    return complex(resistance, resistance * x_r)


def centre_tap_halves(z_ll: complex) -> tuple[complex, complex]:
    """Three-branch circuit of a centre-tapped winding [ohm]: the common branch and each half.

    Common 0.5 R + j 0.8 X and each half R + j 0.4 X on the base of half the voltage, so that
    line to line gives R + jX and line to neutral 1.5 R + j 1.2 X: the usual convention for
    interlaced secondaries in handbooks on fault calculation.
    """
    common = complex(0.5 * z_ll.real, 0.8 * z_ll.imag) / 4
    half = complex(z_ll.real, 0.4 * z_ll.imag) / 4
    return common, half
