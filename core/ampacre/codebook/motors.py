"""Short-circuit devices of motor circuits."""

from typing import Literal

from ampacre.codebook.tables import Cited, rows

__all__ = ["DeviceKind", "device_limit_pct", "starting_limit_pct"]

DeviceKind = Literal["breaker", "fuse"]

_MOST_COMMON = "polyphase_squirrel_cage_not_design_b"
_COLUMN: dict[DeviceKind, str] = {
    "breaker": "inverse_time_breaker_pct",
    "fuse": "dual_element_time_delay_fuse_pct",
}


def device_limit_pct(kind: DeviceKind, phases: int) -> Cited[float]:
    """Rating of a motor's device in per cent of its full-load current (NEC Table 430.52).

    Inverse-time breakers and dual-element fuses, single-phase and squirrel-cage motors; the result
    may go to the next standard rating (430.52(C)(1) exception 1).
    """
    motor = "single_phase" if phases == 1 else _MOST_COMMON
    row = next(row for row in rows("motor_ocpd_max") if row["motor_type"] == motor)
    return Cited(float(row[_COLUMN[kind]]), "motor_branch_device", int(row["verified"]))


def starting_limit_pct(kind: DeviceKind, full_load_a: float) -> Cited[float]:
    """Most that the device may have where the motor does not start on the usual one [per cent].

    NEC 430.52(C)(1) exception 2: dual-element fuses 225; breakers 400, above 100 A of full-load
    current 300. Not rounded up.
    """
    if kind == "fuse":
        wanted = ("dual_element_time_delay_fuse", "any")
    else:
        size = "over 100 A" if full_load_a > 100 else "100 A or less"
        wanted = ("inverse_time_breaker", f"motor full-load current {size}")
    for row in rows("motor_ocpd_exception"):
        if (row["device"], row["condition"]) == wanted:
            pct = float(row["absolute_max_pct"])
            return Cited(pct, "motor_device_starting", int(row["verified"]))
    raise AssertionError("the table has a row for each kind")
