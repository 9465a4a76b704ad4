"""What lies behind a source's terminals: impedances of its windings and of the utility, as one matrix.

Row and column stand for the legs of the system in order: the matrix times the currents out of the
legs, which come back by the neutral, is the drop of the leg voltages. The voltage sweep uses it
whole; the loops of a fault are sums of its entries, so that both studies see the same source.
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from ampacre.model.system import System
from ampacre.sizing.impedance import centre_tap_halves

__all__ = ["Matrix", "loop_between", "source_matrix", "transformed"]

Matrix = NDArray[np.complex128]

_EYE: Final = np.eye(3)
_ONES: Final = np.ones((3, 3))

# A closed delta of three like windings, the one between A and C tapped for the neutral by the
# three-branch circuit. In units of the wye that is equal to the delta, a third of a winding;
# solved by hand, and checked by a circuit simulator.
_HIGH_LEG_R: Final = np.array(
    [[0.875, 0.375, -0.125], [0.375, 1.875, 0.375], [-0.125, 0.375, 0.875]]
)
_HIGH_LEG_X: Final = np.array([[0.65, 0.15, -0.35], [0.15, 1.65, 0.15], [-0.35, 0.15, 0.65]])
_HIGH_LEG_AHEAD: Final = np.array([[0.5, 0.0, -0.5], [0.0, 1.5, 0.0], [-0.5, 0.0, 0.5]])


def source_matrix(system: System, winding: complex, ahead: complex = 0j) -> Matrix:
    """Impedance behind the terminals of a source [ohm], legs by legs.

    `winding` is its own impedance and `ahead` what lies on its supply side, both seen from its
    terminals: for one phase across the full winding, for three phases of each leg. A delta primary
    keeps what is ahead of a wye out of the zero sequence; a winding with its middle grounded
    couples its halves.
    """
    if system.name == "120/240 high-leg" and system.phases == 3:
        own = winding.real * _HIGH_LEG_R + 1j * winding.imag * _HIGH_LEG_X
        return own + ahead * _HIGH_LEG_AHEAD
    if system.phases == 3:
        return winding * _EYE + ahead * (_EYE - _ONES / 3)
    if len(system.legs) == 1:
        return np.array([[winding + ahead]])
    if _is_tapped(system):
        common, half = centre_tap_halves(winding)
        common += ahead / 4
        return np.array([[half + common, -common], [-common, half + common]])
    equal: Matrix = np.eye(2, dtype=np.complex128) * (winding + ahead) / 2
    return equal


def _is_tapped(system: System) -> bool:
    """Whether the middle of a two-leg system's winding is grounded."""
    return abs(sum(system.leg_v)) < 1 and system.ground_v < system.line_v


def loop_between(matrix: Matrix, first: int, second: int) -> complex:
    """Impedance that a fault between two legs sees [ohm]."""
    found = matrix[first, first] + matrix[second, second]
    return complex(found - matrix[first, second] - matrix[second, first])


def transformed(primary: System, secondary: System) -> float:
    """What a line-to-line loop on a transformer's primary is multiplied with on its secondary.

    A utility's primary is drawn as one circuit of the voltage between lines, and its figure for
    three phases is that voltage over the current: a leg has 1/sqrt(3) of it.
    """
    across = primary.line_v
    if len(primary.legs) == 1 and primary.name != "primary":
        across = abs(primary.leg_v[0])
    ratio = (secondary.line_v / across) ** 2
    if primary.name == "primary" and secondary.phases == 3:
        ratio *= 2 / 3**0.5
    return float(ratio)
