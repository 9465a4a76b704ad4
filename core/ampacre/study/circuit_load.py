"""The load of a branch circuit to one piece."""

from ampacre.codebook.articles import cite
from ampacre.model import records as r
from ampacre.model.system import System
from ampacre.study.facts import Demand, Line, Worksheet
from ampacre.study.leaves import charger_a, motor_a
from ampacre.study.range_circuit import (
    LEAST_RANGE_A,
    least_range_a,
    range_circuit_va,
)
from ampacre.study.tally import Tally, leg_amperes, nominal_va

__all__ = ["circuit_demand"]


def circuit_demand(piece: r.Equipment, tally: Tally, system: System, edition: str) -> Demand:
    """Load of a branch circuit to one piece: at what it draws, with no demand factor.

    125 % of continuous load (NEC 210.20(A), chargers 625.41) or of the motor (NEC 430.22); space
    and water heating counts as continuous here (NEC 424.4(B), 422.13). A dwelling's range may count
    by the table of cooking units (NEC Table 220.55 note 4).
    """
    if isinstance(piece, r.Load) and piece.category == "range" and _is_a_dwellings(tally):
        return _range_demand(piece, tally, system, edition)
    va = sum(amount.va for amount in tally.values())
    if isinstance(piece, r.Load) and piece.category == "lighting" and piece.va is not None:
        # the circuit carries what is installed, whatever the load by floor area
        va = piece.va
    if isinstance(piece, r.Charger):
        amperes = charger_a(piece) or 0.0
        legs_a = dict.fromkeys(system.legs, amperes)
        va = nominal_va(amperes, system.legs, system)
    elif isinstance(piece, r.Motor):
        legs_a = dict.fromkeys(system.legs, motor_a(piece, system.legs, system) or 0.0)
    else:
        legs_a = leg_amperes(system.legs, va, system)
    steady = isinstance(piece, (r.Charger, r.Motor)) or any(k.continuous for k in tally)
    if isinstance(piece, r.Load):
        lights = piece.category == "lighting" and piece.continuous is not False
        steady = steady or lights or piece.category in r.HEATERS
    factor = 1.25 if steady else 1.0
    article = "motor_conductor" if isinstance(piece, r.Motor) else "branch_device"
    calculated = tuple(legs_a[leg] for leg in system.legs)
    heavier = max(calculated, default=0.0)
    lines = (
        Line(piece.name, va, None, None, "VA"),
        Line("Calculated current", None, None, heavier, "A", cite("calc_voltage", edition)),
        Line("Sizing current", heavier, factor, factor * heavier, "A", cite(article, edition)),
    )
    return Demand(
        method="branch circuit",
        worksheet=Worksheet(f"Circuit to {piece.name}", lines),
        connected_va=va,
        calculated_va=va,
        sizing_va=factor * va,
        calculated_a=calculated,
        sizing_a=tuple(factor * amperes for amperes in calculated),
        neutral_a=heavier if any(key.neutral for key in tally) else 0.0,
        largest_motor_a=heavier if isinstance(piece, r.Motor) else 0.0,
    )


def _is_a_dwellings(tally: Tally) -> bool:
    return bool(tally) and all(key.dwelling and not key.continuous for key in tally)


def _range_demand(piece: r.Equipment, tally: Tally, system: System, edition: str) -> Demand:
    """Load of the branch circuit of one household range, whose device is rated 40 A or more.

    Devices and conductors face that least rating where the load is less (NEC 210.19).
    """
    nameplate_va = sum(amount.va for amount in tally.values())
    counted = range_circuit_va(nameplate_va)
    legs_a = leg_amperes(system.legs, counted.value, system)
    calculated = tuple(legs_a[leg] for leg in system.legs)
    heavier = max(calculated, default=0.0)
    sizing_a = max(heavier, least_range_a(nameplate_va))
    lines = (
        Line(piece.name, nameplate_va, None, None, "VA"),
        Line("One household range by the table", None, None, counted.value, "VA",
             cite(counted.cite_key, edition), "note 4"),
        Line("Calculated current", None, None, heavier, "A", cite("calc_voltage", edition)),
        Line("Sizing current, not continuous", None, None, sizing_a, "A",
             cite("range_circuit", edition),
             f"at least {LEAST_RANGE_A:g} A" if sizing_a > heavier else ""),
    )  # fmt: skip
    return Demand(
        method="branch circuit",
        worksheet=Worksheet(f"Circuit to {piece.name}", lines),
        connected_va=nameplate_va,
        calculated_va=counted.value,
        sizing_va=counted.value,
        calculated_a=calculated,
        sizing_a=tuple(max(amperes, least_range_a(nameplate_va)) for amperes in calculated),
        neutral_a=heavier if any(key.neutral for key in tally) else 0.0,
    )
