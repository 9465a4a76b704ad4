"""Devices of motor circuits and of the feeders ahead of them."""

from collections.abc import Sequence

from ampacre.codebook.devices import next_standard, standard_below
from ampacre.codebook.motors import DeviceKind, device_limit_pct

__all__ = ["motor_device_a", "motor_feeder_device_a"]


def motor_device_a(full_load_a: float, kind: DeviceKind, phases: int, edition: str) -> float | None:
    """Largest device of a motor's branch circuit [A] (NEC 430.52(C)(1) and its exception 1).

    The table's part of the full-load current, taken to the next standard rating; 15 A at least.
    None beyond the largest standard rating.
    """
    limit = device_limit_pct(kind, phases).value / 100 * full_load_a
    return next_standard(max(15.0, limit), edition, kind)


def motor_feeder_device_a(
    branch_devices_a: Sequence[float],
    full_load_a: Sequence[float],
    other_load_a: float,
    edition: str,
) -> float:
    """Largest device of a feeder that supplies motors [A] (NEC 430.62(A), 430.63).

    The largest branch device of any motor, the full-load currents of all other motors, and the
    sizing current of the other load; not rounded up. `branch_devices_a` and `full_load_a` are in
    the same order.
    """
    if not branch_devices_a:
        return standard_below(other_load_a, edition)
    largest = max(range(len(branch_devices_a)), key=lambda at: branch_devices_a[at])
    others_a = sum(amps for at, amps in enumerate(full_load_a) if at != largest)
    return standard_below(branch_devices_a[largest] + others_a + other_load_a, edition)
