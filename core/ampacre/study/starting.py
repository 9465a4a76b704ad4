"""What a motor's start takes from the voltage at its own terminals."""

import cmath
import math

from ampacre.model import records as r
from ampacre.model.system import System
from ampacre.study.facts import Starting
from ampacre.study.impedance import Loops
from ampacre.study.leaves import motor_a

__all__ = ["LOCKED_FACTOR", "LOCKED_POWER_FACTOR", "starting_of", "transient"]

LOCKED_FACTOR = 6.0
"""Locked-rotor current of a motor on the line, times its full-load current (common practice)."""
LOCKED_POWER_FACTOR = 0.35
"""Power factor of a locked rotor (common practice)."""
_TRANSIENT = 1.5
"""Transient reactance of a generator, times its subtransient one (common practice)."""


def transient(root: r.Equipment, loop: complex | None) -> complex:
    """What a generator's loop is larger by for the time of a start than at once [ohm].

    A start outlasts the first cycles. A reactance that nobody entered is taken as large already.
    """
    entered = isinstance(root, r.Generator) and root.subtransient_pct is not None
    return (_TRANSIENT - 1.0) * loop if entered and loop is not None else 0j


def starting_of(
    motor: r.Motor, system: System, loops: Loops, more: complex, on: str
) -> Starting | None:
    """Locked-rotor current and the dip at the motor, with nothing else running.

    Its locked rotor is an impedance behind the least fault's loop (hot conductors, the utility's
    minimum), and `more` in the source. None for a motor on a drive, or where something on the way
    is not known. `on` names the supply, "" for the normal one.
    """
    locked_a = motor.locked_rotor_a
    if locked_a is None:
        locked_a = LOCKED_FACTOR * (motor_a(motor, system.legs, system) or 0.0)
    loop, volts = loops.line_line, system.line_v
    if len(system.legs) == 1:
        loop, volts = loops.line_neutral, abs(system.leg_v[0])
    if motor.drive_fed or not locked_a or loop is None:
        return None
    loop += more
    if system.phases == 3:
        loop, volts = loop / 2, volts / math.sqrt(3)
    locked_ohm = cmath.rect(volts / locked_a, math.acos(LOCKED_POWER_FACTOR))
    return Starting(locked_a, 100 * (1 - abs(locked_ohm / (locked_ohm + loop))), on)
