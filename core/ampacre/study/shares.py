"""Shares: what each part of a tally counts for at a point, and how they close into a demand."""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from ampacre.codebook.articles import cite
from ampacre.model.system import System
from ampacre.study.facts import Demand, Line, Worksheet
from ampacre.study.tally import Tally, connected_va, leg_amperes

__all__ = ["Motor", "Share", "close", "largest_motor", "legs_words"]


class Share(NamedTuple):
    """One part of the load at a point: its worksheet line and where its demand falls.

    `on_legs` is demand [VA] by the legs it is on; `continuous` the part of it that is continuous.
    `sheds` VA of a block count as calculated but never get the 25 % of continuous load.
    """

    line: Line
    on_legs: Mapping[str, float]
    continuous: Mapping[str, float]

    @property
    def va(self) -> float:
        """Demand of this part [VA]."""
        return sum(self.on_legs.values())


class Motor(NamedTuple):
    """The largest motor at a point: current [A], load [VA], legs, and whether it was continuous."""

    amperes: float
    va: float
    legs: str
    continuous: bool


def largest_motor(tally: Tally) -> Motor | None:
    """Find the motor with the largest current (NEC 430.17) among motors and compressors."""
    motors = [
        Motor(amount.motor_a, amount.motor_va, key.legs, key.continuous)
        for key, amount in tally.items()
        if amount.motor_a
    ]
    return max(motors, default=None)


def legs_words(system: System) -> str:
    """Say how the legs of a system are counted, for the foot of a worksheet."""
    return "three-phase" if len(system.legs) == 3 else f"{system.line_v:.0f} V"


def close(
    method: str,
    tally: Tally,
    shares: Iterable[Share],
    motor: Motor | None,
    neutral_a: float,
    system: System,
    edition: str,
    notes: Iterable[Line] = (),
) -> Demand:
    """Add shares up into a demand, with 25 % of the largest motor and of continuous load.

    The largest motor's 25 % is part of the calculated load (NEC 220.50, 430.24); the 25 % of
    continuous load only of the sizing current (NEC 215.3, 230.90), and not again on that motor.
    """
    kept = [share for share in shares if share.va or share.line.quantity]
    lines = [share.line for share in kept]
    calculated = dict.fromkeys(system.legs, 0.0)
    extra = dict.fromkeys(system.legs, 0.0)
    continuous_va = 0.0
    for share in kept:
        _add(calculated, share.on_legs, system)
        _add(extra, {legs: 0.25 * va for legs, va in share.continuous.items()}, system)
        continuous_va += sum(share.continuous.values())
    total = sum(share.va for share in kept)
    if motor is not None:
        adder = 0.25 * motor.va
        lines.append(
            Line(
                f"Largest motor, {motor.amperes:g} A", motor.va, 0.25, adder, "VA",
                cite("largest_motor", edition),
            )
        )  # fmt: skip
        total += adder
        _add(calculated, {motor.legs: adder}, system)
        if motor.continuous:
            continuous_va -= motor.va
            _add(extra, {motor.legs: -0.25 * motor.va}, system)
    sizing = {leg: calculated[leg] + extra[leg] for leg in system.legs}
    lines += [
        Line("Calculated load", None, None, total, "VA"),
        Line(
            "Calculated current, heavier leg", None, None, max(calculated.values()), "A",
            cite("calc_voltage", edition), note=legs_words(system),
        ),
        Line(
            "25 % of continuous load", continuous_va, 0.25, 0.25 * continuous_va, "VA",
            cite("feeder_device", edition),
        ),
        Line("Sizing current, heavier leg", None, None, max(sizing.values()), "A"),
        Line("Neutral, sizing", None, None, neutral_a, "A", cite("neutral", edition)),
        *notes,
    ]  # fmt: skip
    return Demand(
        method=method,
        worksheet=Worksheet(f"Load by the {method} method", tuple(lines)),
        connected_va=connected_va(tally),
        calculated_va=total,
        sizing_va=total + 0.25 * continuous_va,
        calculated_a=tuple(calculated[leg] for leg in system.legs),
        sizing_a=tuple(sizing[leg] for leg in system.legs),
        neutral_a=neutral_a,
        largest_motor_a=motor.amperes if motor else 0.0,
        balanced=all(len(key.legs) == len(system.legs) for key in tally),
    )


def _add(legs_a: dict[str, float], on_legs: Mapping[str, float], system: System) -> None:
    for legs, va in on_legs.items():
        for leg, amperes in leg_amperes(legs, va, system).items():
            legs_a[leg] += amperes
