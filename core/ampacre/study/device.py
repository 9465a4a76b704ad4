"""The device that protects a run: stated, or chosen from the sizing current or by its own article."""

from typing import NamedTuple

from ampacre.codebook.articles import cite
from ampacre.codebook.devices import next_standard, standard_below
from ampacre.model.system import System
from ampacre.sizing.motors import motor_device_a
from ampacre.sizing.protection import DWELLING_A
from ampacre.sizing.transformers import transformer_device_a
from ampacre.study.circuit import Circuit, MotorOnCircuit
from ampacre.study.facts import Chosen, Line

__all__ = ["Protection", "protection_of"]

LEAST_A = 15.0
_COMPRESSOR_SHARE = 1.75
_UNKNOWN: Chosen[float | None] = Chosen(None, "unknown")


class Protection(NamedTuple):
    """The device at a run's supply end, and the rating that protects its conductors [A].

    `protecting_a` is that of the device at either end; None where there is none or not known.
    """

    device: Chosen[float | None]
    protecting_a: float | None
    lines: tuple[Line, ...] = ()


def protection_of(circuit: Circuit) -> Protection:
    """Choose or read a run's device and find what protects its conductors.

    Service conductors and transformer secondaries are protected by the device at their far end,
    whatever the record says of a device that is not there; others that have none of their own by
    the nearest one ahead.
    """
    run = circuit.run
    stands_for_many = circuit.bundle and run.length_m != 0
    if stands_for_many and (run.device is None or run.device.rating_a is None):
        return Protection(Chosen(None), circuit.device_ahead_a)
    if run.protected_at == "supply":
        device, cite_key = _device(circuit)
        if device.value is None:
            return Protection(device, None)
        line = Line(
            "Device", None, None, device.value, "A", cite(cite_key, circuit.edition), device.why
        )
        return Protection(device, device.value, (line,))
    ends_in_device = run.role in ("service", "tap", "transformer secondary")
    if run.protected_at == "load" or ends_in_device:
        return Protection(Chosen(None), circuit.load_end_device_a)
    ahead_a = circuit.device_ahead_a if run.role in ("feeder", "branch") else None
    return Protection(Chosen(None), ahead_a)


def _device(circuit: Circuit) -> tuple[Chosen[float | None], str]:
    """Rating of the device at the supply end, and the article that it follows."""
    run = circuit.run
    cite_key = "branch_device" if run.role == "branch" else "feeder_device"
    if circuit.motor is not None:
        cite_key = "compressor_device" if circuit.motor.compressor else "motor_branch_device"
    if run.device is not None and run.device.rating_a is not None:
        return Chosen(run.device.rating_a), cite_key
    if circuit.work != "new":
        return _UNKNOWN, cite_key
    kind = run.device.kind if run.device is not None else "breaker"
    edition = circuit.edition
    if circuit.motor is not None:
        return _motor_device(circuit.motor, kind, circuit.system, edition), cite_key
    sizing_a = circuit.demand.heavier_sizing_a
    if run.device is not None and run.device.listed_100_pct:
        sizing_a = circuit.demand.heavier_a
    if not sizing_a:
        return _UNKNOWN, cite_key
    rating_a = next_standard(max(LEAST_A, sizing_a), edition, kind)
    why = f"next standard rating above {sizing_a:.1f} A"
    if rating_a is None:
        why = "beyond the largest standard rating: divide the load"
        return Chosen(None, "unknown", why), cite_key
    if circuit.rated_a is not None and run.role != "generator output":
        most_a = transformer_device_a("primary", circuit.rated_a, edition, with_secondary=False)
        if most_a > rating_a:
            why = f"125 % of the transformer's {circuit.rated_a:.1f} A"
            return Chosen(most_a, "chosen", why), "transformer_protection"
    if circuit.whole_dwelling and rating_a < DWELLING_A[0]:
        return Chosen(DWELLING_A[0], "chosen", "least rating for a dwelling"), (
            "service_disconnect_dwelling"
        )
    return Chosen(rating_a, "chosen", why), cite_key


def _motor_device(
    motor: MotorOnCircuit, kind: str, system: System, edition: str
) -> Chosen[float | None]:
    """Device of a motor circuit: as marked on a packaged unit, else by its current."""
    if motor.maximum_device_a is not None:
        rating_a = standard_below(motor.maximum_device_a, edition)
        return Chosen(rating_a or motor.maximum_device_a, "chosen", "as marked on the unit")
    if not motor.full_load_a:
        return _UNKNOWN
    if motor.compressor:
        most_a = standard_below(_COMPRESSOR_SHARE * motor.full_load_a, edition)
        why = "standard rating not above 175 % of the compressor's current"
        return Chosen(max(LEAST_A, most_a), "chosen", why)
    fuse = kind == "fuse"
    rating = motor_device_a(
        motor.full_load_a, "fuse" if fuse else "breaker", system.phases, edition
    )
    if rating is None:
        return Chosen(None, "unknown", "beyond the largest standard rating: divide the load")
    why = f"next standard rating above {175 if fuse else 250} % of the motor's current"
    return Chosen(rating, "chosen", why)
