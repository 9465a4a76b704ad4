"""Usual nameplate values of loads, offered until somebody reads the plate."""

from functools import cache
from typing import NamedTuple

from ampacre.codebook.tables import rows

__all__ = ["Typical", "typical_loads"]


class Typical(NamedTuple):
    """A usual load: what most units draw, and the range they are sold in.

    `verified` says how far the current is confirmed; power factor, range and device are common
    practice.
    """

    name: str
    volts: float
    phases: int
    amperes: float
    va: float
    low_va: float
    high_va: float
    power_factor: float
    continuous: bool
    motor: bool
    uses_neutral: bool
    device_a: float
    counted: str
    verified: int


@cache
def typical_loads() -> tuple[Typical, ...]:
    """All usual loads, in the order of the table. Common practice unless `verified` says more."""
    return tuple(
        Typical(
            name=row["load"],
            volts=float(row["voltage_v"]),
            phases=int(row["phases"]),
            amperes=float(row["typical_a"]),
            va=float(row["typical_va"]),
            low_va=float(row["range_low_va"]),
            high_va=float(row["range_high_va"]),
            power_factor=float(row["power_factor"]),
            continuous=row["continuous"].startswith("yes"),
            motor=row["motor"] == "yes",
            uses_neutral=row["neutral_needed"] == "yes",
            device_a=float(row["usual_breaker_a"]),
            counted=row["how_counted"],
            verified=int(row["verified"]),
        )
        for row in rows("typical_loads")
    )
