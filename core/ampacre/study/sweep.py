"""The voltage sweep: load currents inward, voltages outward, until they agree.

Backward-forward sweep on complex leg and neutral currents of a radial network, as numpy columns.
Pieces stand in preorder, so that a subtree is a slice: the sum of all currents below a piece and
the sum of all drops above it are both differences of one running sum.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "CURRENT",
    "IMPEDANCE",
    "POWER",
    "Complexes",
    "LoadColumns",
    "Plug",
    "Solution",
    "Zone",
    "sweep",
]

Complexes = NDArray[np.complex128]
Integers = NDArray[np.int64]

POWER, CURRENT, IMPEDANCE = 0, 1, 2
MOST_ROUNDS = 200
CLOSE_ENOUGH = 1e-10


class LoadColumns(NamedTuple):
    """Loads of a zone, one a row: where, between which legs (`to` -1: the neutral), and what.

    `power_va` is the complex power at nominal voltage `nominal_v`; `model` says what stays the
    same when the voltage differs: power (0), current (1) or impedance (2).
    """

    at: Integers
    leg: Integers
    to: Integers
    power_va: Complexes
    nominal_v: NDArray[np.float64]
    model: Integers


class Plug(NamedTuple):
    """How a zone hangs on another: by a transformer at a piece of it.

    `turns` gives the secondary's no-load leg voltages from the primary's (legs x legs); its
    transpose gives the primary's leg currents from the secondary's.
    """

    zone: int
    at: int
    turns: NDArray[np.float64]


class Zone(NamedTuple):
    """One voltage zone of n pieces and L legs, in preorder, its source first.

    `end` is one past each piece's subtree; `line_ohm` (n x L) and `neutral_ohm` (n) belong to the
    run that feeds the piece; `source_v` (L) and `source_ohm` (L x L) to the source.
    """

    end: Integers
    line_ohm: Complexes
    neutral_ohm: Complexes
    source_v: Complexes
    source_ohm: Complexes
    loads: LoadColumns
    plug: Plug | None


class Solution(NamedTuple):
    """Leg voltages (n x L) and the leg currents of the run that feeds each piece (n x L), by zone."""

    volts: list[Complexes]
    amperes: list[Complexes]
    converged: bool


def _load_currents(volts: Complexes, loads: LoadColumns) -> Complexes:
    """Current of each load at these leg voltages [A]."""
    across = volts[loads.at, loads.leg] - np.where(loads.to >= 0, volts[loads.at, loads.to], 0.0)
    size = np.abs(across)
    size = np.where(size > 0, size, 1e-9)
    power = np.conj(loads.power_va / np.where(across == 0, 1e-9, across))
    current = np.conj(loads.power_va) / loads.nominal_v * across / size
    impedance = np.conj(loads.power_va) / loads.nominal_v**2 * across
    chosen: Complexes = np.choose(loads.model, [power, current, impedance])
    return chosen


def _below(at_each: Complexes, end: Integers) -> Complexes:
    """Sum of a column over every subtree."""
    start: Complexes = np.zeros((1, at_each.shape[1]), complex)
    running: Complexes = np.concatenate([start, at_each.cumsum(axis=0)])
    found: Complexes = running[end] - running[:-1]
    return found


def _along(drops: Complexes, end: Integers) -> Complexes:
    """Sum of a column from the source to every piece, the piece's own included."""
    change = np.zeros((len(end) + 1, drops.shape[1]), complex)
    change[:-1] += drops
    np.add.at(change, end, -drops)
    return change[:-1].cumsum(axis=0)


def sweep(zones: Sequence[Zone]) -> Solution:
    """Solve all zones together; each zone stands after the one it hangs on.

    Where no operating point exists the sweep does not converge, and `converged` says so.
    """
    volts = [np.tile(zone.source_v, (len(zone.end), 1)) for zone in zones]
    amperes = [np.zeros_like(v) for v in volts]
    scale = max(float(np.abs(zone.source_v).max()) for zone in zones)
    for _ in range(MOST_ROUNDS):
        into: list[Complexes] = [np.zeros_like(v) for v in volts]
        for index in reversed(range(len(zones))):
            zone = zones[index]
            current = _load_currents(volts[index], zone.loads)
            np.add.at(into[index], (zone.loads.at, zone.loads.leg), current)
            between = zone.loads.to >= 0
            np.add.at(
                into[index], (zone.loads.at[between], zone.loads.to[between]), -current[between]
            )
            amperes[index] = _below(into[index], zone.end)
            if zone.plug is not None:
                into[zone.plug.zone][zone.plug.at] += zone.plug.turns.T @ amperes[index][0]
        change = 0.0
        for index, zone in enumerate(zones):
            source_v = zone.source_v
            if zone.plug is not None:
                source_v = zone.plug.turns @ volts[zone.plug.zone][zone.plug.at]
            neutral = amperes[index].sum(axis=1)
            drops = zone.line_ohm * amperes[index] + (zone.neutral_ohm * neutral)[:, None]
            start = source_v - zone.source_ohm @ amperes[index][0]
            found = start - _along(drops, zone.end)
            change = max(change, float(np.abs(found - volts[index]).max()))
            volts[index] = found
        if not np.isfinite(change) or change > 1e3 * scale:
            return Solution(volts, amperes, converged=False)
        if change < CLOSE_ENOUGH * scale:
            return Solution(volts, amperes, converged=True)
    return Solution(volts, amperes, converged=False)
