"""The design drop of a run: from its calculated current at nominal voltage, conductors at 75 C."""

import math
from typing import Final

from ampacre.model.system import System

__all__ = ["HOT_C", "LAGGING", "design_drop", "lagging"]

HOT_C = 75.0
LAGGING: Final = 0.85
"""Power factor at which NEC Chapter 9 Table 9 gives its effective impedances."""


def lagging(ohms: complex) -> complex:
    """Effective impedance at that power factor, R cos + X sin, as if it were a resistance [ohm]."""
    return complex(ohms.real * LAGGING + ohms.imag * math.sqrt(1 - LAGGING**2))


def design_drop(
    calculated_a: tuple[float, ...], system: System, line: complex, neutral: complex | None
) -> float:
    """Voltage drop of a run in per cent of leg voltage: heavier leg with its neutral.

    Resistances only, as a calculated current has no phase of its own: the trade's form
    I R, doubled by the way back (common practice; NEC 215.2 informational note for the limit).
    The neutral carries the phasor sum of the legs that loads to neutral may be on: the difference
    of the legs in a split-phase system and of the two outer legs of a high-leg delta. Without a
    neutral the drop is that between lines, over the line voltage.
    """
    heavier = max(calculated_a, default=0.0)
    if system.neutral and neutral is not None:
        leg_v = min(abs(volt) for volt in system.leg_v)
        amperes = zip(calculated_a, system.leg_v, strict=True)
        neutral_a = abs(sum(a * volt / leg_v for a, volt in amperes if abs(volt) < leg_v + 1))
        return 100 * (heavier * line.real + neutral_a * neutral.real) / leg_v
    if len(system.legs) == 1:
        return 100 * heavier * 2 * line.real / abs(system.leg_v[0])
    leg_v = system.line_v / (2 if len(system.legs) == 2 else 3**0.5)
    return 100 * heavier * line.real / leg_v
