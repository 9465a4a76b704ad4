"""Voltage markings of devices against the system that they stand in."""

from collections.abc import Iterator
from typing import Final

import msgspec

from ampacre.model import records as r
from ampacre.model.project import Edit
from ampacre.model.system import System, volts_between
from ampacre.rules.paths import relabelled
from ampacre.rules.reading import run_name
from ampacre.rules.rule import Finding, exceeds, found, on_piece, on_run
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.study import Study

TOPIC = "devices"

_MARKED: Final[dict[r.DeviceVolts, tuple[float, float]]] = {
    "120": (120.0, 120.0),
    "120/240": (120.0, 240.0),
    "240": (240.0, 240.0),
    "277/480": (277.2, 480.0),
    "480": (480.0, 480.0),
    "600": (600.0, 600.0),
}
"""Volts to ground and between lines that a marking stands for."""


def _ground_v(system: System) -> float:
    """Greatest voltage of a circuit's legs to ground; the line's where nothing is grounded [V]."""
    if system.neutral:
        return max(abs(volt) for volt in system.leg_v)
    return system.ground_v


def _fitting(system: System, line_v: float) -> r.DeviceVolts | None:
    """Give the first marking that suits a circuit."""
    for marked, (ground_v, between_v) in _MARKED.items():
        if not exceeds(line_v, between_v) and not exceeds(_ground_v(system), ground_v):
            return marked
    return None


def _line_v(system: System) -> float:
    return volts_between(system.legs, system)


def _suitable_run_device(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    system = study.run(run.id).system
    fitting = _fitting(system, _line_v(system)) if system else None
    if fitting is not None and run.device is not None:
        device = msgspec.structs.replace(run.device, volts=fitting)
        label = f"Fit a device marked {fitting} V for {run_name(study, run)}"
        yield relabelled(study, "runs", run.id, label, device=device)


def _suitable_main(study: Study, finding: Finding) -> Iterator[Edit]:
    piece = study.project.equipment[finding.where]
    system = study.equipment(piece.id).system
    fitting = _fitting(system, _line_v(system)) if system else None
    main = piece.main if isinstance(piece, (r.Panel, r.Disconnect)) else None
    if fitting is not None and main is not None:
        changed = msgspec.structs.replace(main, volts=fitting)
        label = f"Fit a main marked {fitting} V in {piece.name}"
        yield relabelled(study, "equipment", piece.id, label, main=changed)


def _too_low(
    rule: str, where: str, what: str, device: r.Device | None, system: System | None
) -> Iterator[Finding]:
    if device is None or device.volts is None or system is None:
        return
    line_v = _line_v(system)
    if exceeds(line_v, _MARKED[device.volts][1]):
        yield found(
            rule, where, "{device} is marked {marked} V; its circuit has {line_v}.",
            device=what, marked=device.volts, line_v=line_v,
        )  # fmt: skip


def _slash(
    rule: str, where: str, what: str, device: r.Device | None, system: System | None
) -> Iterator[Finding]:
    if device is None or device.volts is None or "/" not in device.volts or system is None:
        return
    marked_v, ground_v = _MARKED[device.volts][0], _ground_v(system)
    if exceeds(ground_v, marked_v) and not exceeds(_line_v(system), _MARKED[device.volts][1]):
        yield found(
            rule, where,
            "{device} is marked {marked} V, for {marked_v} to ground; its legs may stand "
            "{ground_v} from ground.",
            device=what, marked=device.volts, marked_v=marked_v, ground_v=ground_v,
        )  # fmt: skip


def _device_of(study: Study, facts: RunFacts) -> tuple[str, r.Device | None]:
    device = facts.run.device if facts.run.protected_at == "supply" else None
    return f"The device of {run_name(study, facts.run)}", device


def _main_of(facts: EquipmentFacts) -> tuple[str, r.Device | None]:
    piece = facts.piece
    assert isinstance(piece, (r.Panel, r.Disconnect))
    return f"The main of {piece.name}", piece.main


@on_run(
    "device-volts-enough", topic=TOPIC, severity="violation", cite="breaker_voltage",
    remedies=_suitable_run_device,
)  # fmt: skip
def device_volts_enough(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """The voltage marked on a run's device is not below that of its circuit.

    The marking of a breaker is not below the nominal voltage between its lines (NEC 240.83(E)).
    """
    if facts.run.device is not None and facts.run.device.volts is not None:
        yield from _too_low(
            "device-volts-enough", facts.run.id, *_device_of(study, facts), facts.system
        )


@on_piece(
    "main-volts-enough", r.Panel, r.Disconnect,
    topic=TOPIC, severity="violation", cite="breaker_voltage", remedies=_suitable_main,
)  # fmt: skip
def main_volts_enough(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """The voltage marked on a main device is not below that of its bus.

    The marking of a breaker is not below the nominal voltage between its lines (NEC 240.83(E)).
    """
    return _too_low("main-volts-enough", facts.piece.id, *_main_of(facts), facts.system)


@on_run(
    "device-slash-volts", topic=TOPIC, severity="violation", cite="slash_voltage",
    remedies=_suitable_run_device,
)  # fmt: skip
def device_slash_volts(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A device with a slash voltage stands in a solidly grounded circuit of that voltage to ground.

    A breaker marked 120/240 V suits legs of no more than 120 V to ground: not the high leg of a
    delta, not 240/480 V, not an ungrounded system (NEC 240.85).
    """
    if facts.run.device is not None and facts.run.device.volts is not None:
        yield from _slash(
            "device-slash-volts", facts.run.id, *_device_of(study, facts), facts.system
        )


@on_piece(
    "main-slash-volts", r.Panel, r.Disconnect,
    topic=TOPIC, severity="violation", cite="slash_voltage", remedies=_suitable_main,
)  # fmt: skip
def main_slash_volts(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A main device with a slash voltage stands in a grounded system of that voltage to ground.

    A breaker marked 120/240 V suits legs of no more than 120 V to ground (NEC 240.85).
    """
    return _slash("main-slash-volts", facts.piece.id, *_main_of(facts), facts.system)
