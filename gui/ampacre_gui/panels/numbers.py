"""The computed numbers of a piece or run, as lines for the details panel."""

from collections.abc import Iterator
from typing import NamedTuple

from ampacre.quantity import UnitSystem, show
from ampacre.study.facts import Demand, EquipmentFacts, Fault, RunFacts
from ampacre.study.study import Study

__all__ = ["Number", "numbers_of"]


class Number(NamedTuple):
    """One computed number in words; `about` is the tool tip."""

    label: str
    value: str
    about: str = ""


def numbers_of(study: Study, facts: EquipmentFacts | RunFacts) -> list[Number]:
    """Give what the study found for a piece or run; nothing where it found nothing."""
    if isinstance(facts, RunFacts):
        return list(_of_run(facts))
    return list(_of_piece(study, facts))


def _amperes(value: float) -> str:
    return show(value, "a")


def _of_demand(demand: Demand | None) -> Iterator[Number]:
    if demand is None or not demand.heavier_a:
        return
    legs = " / ".join(_amperes(leg) for leg in demand.calculated_a)
    yield Number(
        "Calculated current",
        _amperes(demand.heavier_a),
        f"After demand factors, without the 125 % on continuous load. By leg: {legs}",
    )
    yield Number(
        "Sizing current",
        _amperes(demand.heavier_sizing_a),
        "Calculated current plus 25 % of the continuous part: what devices and conductors face",
    )


def _of_piece(study: Study, facts: EquipmentFacts) -> Iterator[Number]:
    units = study.settings.units
    if facts.system:
        yield Number("Voltage system", facts.system.name)
    if facts.demand and facts.demand.connected_va:
        yield from _of_demand(facts.demand)
        yield Number("Calculated load", show(facts.demand.calculated_va / 1000, "kva", units))
        yield Number("Connected load", show(facts.demand.connected_va / 1000, "kva", units))
    if facts.device_ahead_a:
        yield Number("Device ahead", _amperes(facts.device_ahead_a))
    if facts.fault:
        yield from _of_fault(facts.fault, units)
    voltage = study.voltage(facts.piece.id)
    if voltage:
        yield Number(
            "Voltage, all running",
            show(voltage.lowest_pct, "pct"),
            "Of nominal: the lowest leg at the terminals with the running currents, the utility's "
            "lateral included",
        )


def _of_fault(fault: Fault, units: UnitSystem) -> Iterator[Number]:
    if fault.greatest.greatest_ka:
        parts = {
            "line to line": fault.greatest.line_line_ka,
            "line to neutral": fault.greatest.line_neutral_ka,
            "three-phase": fault.greatest.three_phase_ka,
        }
        told = ", ".join(f"{name} {show(ka, 'ka', units)}" for name, ka in parts.items() if ka)
        yield Number("Fault current, greatest", show(fault.greatest.greatest_ka, "ka", units), told)
    if fault.least.ground_ka:
        yield Number("Ground fault, least", show(fault.least.ground_ka, "ka", units))


def _of_run(facts: RunFacts) -> Iterator[Number]:
    if facts.system and facts.legs:
        yield Number(
            "Circuit",
            f"{show(facts.volts, 'v')}, leg{'s' if len(facts.legs) > 1 else ''} {facts.legs}",
        )
    yield from _of_demand(facts.demand)
    if facts.ampacity:
        yield Number(
            "Conductors carry",
            _amperes(facts.ampacity.allowed_a),
            f"By terminals {_amperes(facts.ampacity.terminal_a)}, corrected "
            f"{_amperes(facts.ampacity.corrected_a)}; governed by {facts.ampacity.governs}",
        )
    if facts.protecting_a:
        yield Number("Protected at", _amperes(facts.protecting_a))
    if facts.drop_pct is not None:
        yield Number("Voltage drop, this run", show(facts.drop_pct, "pct"))
    if facts.total_drop_pct is not None:
        yield Number("Voltage drop, from service", show(facts.total_drop_pct, "pct"))
    if facts.ground_a:
        yield Number("Ground fault at far end", _amperes(facts.ground_a))
    if facts.upsized_from:
        yield Number("Upsized from", facts.upsized_from, "What ampacity alone would have asked for")
