"""Voltage drop [V] of a run from its current and impedance.

Impedances are those of one conductor, one way [ohm, complex]; power factors are lagging. The
drop formulas take the component along the voltage, I (R cos + X sin), as NEC Chapter 9 Table 9
note 2 and UFC 3-520-01 do; `receiving_v` is exact.
"""

import math

__all__ = [
    "receiving_power_v",
    "receiving_v",
    "three_phase_drop_v",
    "three_wire_drop_v",
    "two_wire_drop_v",
]


def _along(current_a: float, z: complex, pf: float) -> float:
    return current_a * (z.real * pf + z.imag * math.sqrt(1 - pf * pf))


def two_wire_drop_v(current_a: float, out: complex, back: complex, pf: float) -> float:
    """Drop of a two-wire circuit, conductors out and back."""
    return _along(current_a, out + back, pf)


def three_wire_drop_v(
    leg_a: float, other_leg_a: float, line: complex, neutral: complex, pf: float
) -> float:
    """Drop from leg to neutral of a three-wire single-phase circuit, on the leg with `leg_a`.

    The neutral carries the difference of the legs, so balanced legs drop half of what line to
    line does, and the lightly loaded leg of an unbalanced circuit may rise.
    """
    return _along(leg_a, line, pf) + _along(leg_a - other_leg_a, neutral, pf)


def three_phase_drop_v(current_a: float, line: complex, pf: float) -> float:
    """Drop between lines of a balanced three-phase circuit."""
    return math.sqrt(3) * _along(current_a, line, pf)


def receiving_v(send_v: float, current_a: float, loop: complex, pf: float) -> float | None:
    """Voltage at the load of a circuit whose current and power factor are known there.

    `loop` is the impedance out and back. None where no voltage at the load could drive it.
    """
    reactive = math.sqrt(1 - pf * pf)
    across_v = current_a * (loop.imag * pf - loop.real * reactive)
    if abs(across_v) > send_v:
        return None
    left_v = math.sqrt(send_v**2 - across_v**2) - _along(current_a, loop, pf)
    return left_v if left_v >= 0 else None


def receiving_power_v(send_v: float, load_va: complex, loop: complex) -> float | None:
    """Voltage at a load of constant power P + jQ [VA] behind the impedance `loop`.

    None where the circuit can't carry that much power (voltage collapse).
    """
    a = send_v**2 - 2 * (load_va.real * loop.real + load_va.imag * loop.imag)
    b = abs(load_va) ** 2 * abs(loop) ** 2
    if a < 0 or a * a < 4 * b:
        return None
    return math.sqrt((a + math.sqrt(a * a - 4 * b)) / 2)
