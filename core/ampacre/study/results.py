"""Results of the passes as worksheets: what a number on the drawing is put together from."""

from collections.abc import Iterator

from ampacre.model import records as r
from ampacre.model.system import System
from ampacre.study.facts import (
    EquipmentFacts,
    Fault,
    FaultLevels,
    Line,
    RunFacts,
    Voltage,
    Worksheet,
)
from ampacre.study.starting import LOCKED_FACTOR, LOCKED_POWER_FACTOR

__all__ = ["fault_worksheet", "run_worksheet", "starting_worksheet", "voltage_worksheet"]


def fault_worksheet(facts: EquipmentFacts) -> Worksheet:
    """Both fault studies at a piece [kA]; no lines where there is none."""
    lines = tuple(_fault_lines(facts.fault)) if facts.fault else ()
    return Worksheet(f"Fault current at {facts.piece.name}", lines)


def _fault_lines(fault: Fault) -> Iterator[Line]:
    if fault.at_most:
        yield Line("At most: conductors or length on the way are not known", note="verify in field")
    yield from _levels("greatest, all sources and machines", fault.greatest)
    yield from _levels("greatest, of the normal source alone", fault.source)
    if fault.machines_ka:
        yield Line("What motors and inverters add", None, None, fault.machines_ka, "kA")
    if fault.least.ground_ka is not None:
        note = "hot conductors, all states: what has to open the device"
        yield Line("To ground, least", None, None, fault.least.ground_ka, "kA", note=note)


def _levels(words: str, levels: FaultLevels) -> Iterator[Line]:
    kinds = {
        "Three-phase": levels.three_phase_ka,
        "Line to line": levels.line_line_ka,
        "Line to neutral": levels.line_neutral_ka,
    }
    for kind, level_ka in kinds.items():
        if level_ka is not None:
            yield Line(f"{kind}, {words}", None, None, level_ka, "kA")


def voltage_worksheet(name: str, system: System | None, voltage: Voltage | None) -> Worksheet:
    """Terminal voltages of a piece while everything runs: leg by leg [V], and the lowest [%]."""
    title = f"Voltage at {name}, everything running"
    if system is None or voltage is None:
        return Worksheet(title)
    legs = zip(system.legs, voltage.leg_v, strict=False)
    lines = [Line(f"Leg {leg} to neutral", None, None, abs(leg_v), "V") for leg, leg_v in legs]
    note = "of nominal, by resistance, reactance and power factor of all that runs"
    lines.append(Line("Lowest leg", None, None, voltage.lowest_pct, "pct", note=note))
    lines.append(Line("Highest leg", None, None, voltage.highest_pct, "pct"))
    return Worksheet(title, tuple(lines))


def starting_worksheet(facts: EquipmentFacts) -> Worksheet:
    """How deep the voltage at a motor dips while it starts; no lines where it can't be told."""
    title, start = f"Start of {facts.piece.name}", facts.starting
    if start is None:
        return Worksheet(title)
    on = f"on supply by {start.on}" if start.on else "on the normal supply"
    entered = isinstance(facts.piece, r.Motor) and facts.piece.locked_rotor_a is not None
    how = "as entered" if entered else f"{LOCKED_FACTOR:g} x full-load current (common practice)"
    note = (
        f"{on}, alone, hot conductors; locked rotor at power factor {LOCKED_POWER_FACTOR:g} "
        "(common practice)"
    )
    lines = (
        Line("Locked-rotor current", None, None, start.locked_a, "A", note=how),
        Line("Dip at the motor", None, None, start.dip_pct, "pct", note=note),
    )
    return Worksheet(title, lines)


def run_worksheet(facts: RunFacts) -> Worksheet:
    """What the device of a run leaves, the drop from the service, the least ground fault."""
    lines: list[Line] = []
    if facts.protecting_a is not None and facts.demand is not None:
        spare_a = facts.protecting_a - facts.sizing_a
        lines += [
            Line("Rating of the device", None, None, facts.protecting_a, "A"),
            Line("Load that it faces, sizing", None, None, facts.sizing_a, "A"),
            Line("Spare of the device", None, None, spare_a, "A"),
        ]
    if facts.drop_pct is not None:
        lines.append(Line("Design drop of this run", None, None, facts.drop_pct, "pct"))
    if facts.total_drop_pct is not None:
        lines.append(Line("Design drop from the service", None, None, facts.total_drop_pct, "pct"))
    if facts.ground_a is not None:
        least_ka = facts.ground_a / 1000
        note = f"on supply by {facts.ground_from}" if facts.ground_from else ""
        lines.append(
            Line("Ground fault at the far end, least", None, None, least_ka, "kA", note=note)
        )
    return Worksheet("Results", tuple(lines))
