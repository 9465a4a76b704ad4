"""How the shares of a point close into its demand: total, currents per leg, and the worksheet."""

from collections.abc import Iterable, Mapping, Sequence

from ampacre.codebook.articles import cite
from ampacre.model.system import System
from ampacre.study.facts import Demand, Line, Worksheet
from ampacre.study.neutral_load import Neutral
from ampacre.study.shares import Share
from ampacre.study.tally import leg_amperes

__all__ = ["close"]


def close(
    method: str,
    connected: float,
    shares: Iterable[Share],
    neutral: Neutral,
    system: System,
    edition: str,
    *,
    balanced: bool,
    notes: Iterable[Line] = (),
) -> Demand:
    """Add shares up into a demand, with 25 % of the largest motor and of continuous load.

    The largest motor's 25 % is part of the calculated load (NEC 220.50, 430.24); the 25 % of
    continuous load only of the sizing current (NEC 215.3, 230.90), and not again on that motor.
    """
    kept = [share for share in shares if share.line.quantity or share.va]
    lines = [share.line for share in kept]
    on_legs: dict[str, float] = {}
    continuous: dict[str, float] = {}
    for share in kept:
        _gather(on_legs, share.on_legs())
        _gather(continuous, share.continuous())
    total = sum(share.va for share in kept)
    motor = max((found for found in (share.motor() for share in kept) if found), default=None)
    if motor is not None:
        adder = 0.25 * motor.va
        lines.append(
            Line(
                f"Largest motor, {motor.amperes:g} A", motor.va, 0.25, adder, "VA",
                cite("largest_motor" if motor.runs else "noncoincident", edition),
                "" if motor.runs else "does not run with the others; counts by project policy",
            )
        )  # fmt: skip
        total += adder
        _gather(on_legs, {motor.legs: adder})
        if motor.continuous:
            _gather(continuous, {motor.legs: -motor.va})
    calculated = _amperes(on_legs, system)
    extra = _amperes({legs: 0.25 * va for legs, va in continuous.items()}, system)
    sizing = {leg: calculated[leg] + extra[leg] for leg in system.legs}
    continuous_va = sum(continuous.values())
    lines += [
        Line("Calculated load", None, None, total, "VA"),
        *_leg_lines("On legs", on_legs, system),
        Line(
            "Calculated current, heavier leg", None, None, max(calculated.values()), "A",
            cite("calc_voltage", edition), note=_legs_words(system),
        ),
        Line(
            "25 % of continuous load", continuous_va, 0.25, 0.25 * continuous_va, "VA",
            cite("feeder_device", edition),
        ),
        *_leg_lines("Continuous on legs", continuous, system),
        Line("Sizing current, heavier leg", None, None, max(sizing.values()), "A"),
        *neutral.lines,
        Line(
            "Neutral, sizing", None, None, neutral.amperes, "A", cite("neutral", edition),
            f"against leg {neutral.leg}, as if the others were idle" if neutral.leg else "",
        ),
        *notes,
    ]  # fmt: skip
    return Demand(
        method=method,
        worksheet=Worksheet(f"Load by the {method} method", tuple(lines)),
        connected_va=connected,
        calculated_va=total,
        sizing_va=total + 0.25 * continuous_va,
        calculated_a=tuple(calculated[leg] for leg in system.legs),
        sizing_a=tuple(sizing[leg] for leg in system.legs),
        neutral_a=neutral.amperes,
        largest_motor_a=motor.amperes if motor else 0.0,
        balanced=balanced,
    )


def _gather(total: dict[str, float], more: Mapping[str, float]) -> None:
    for legs, va in more.items():
        total[legs] = total.get(legs, 0.0) + va


def _amperes(on_legs: Mapping[str, float], system: System) -> dict[str, float]:
    found = dict.fromkeys(system.legs, 0.0)
    for legs, va in on_legs.items():
        for leg, amperes in leg_amperes(legs, va, system).items():
            found[leg] += amperes
    return found


def _leg_lines(what: str, on_legs: Mapping[str, float], system: System) -> Sequence[Line]:
    """Say how much is on which legs, where it is not all on all of them."""
    if set(on_legs) <= {system.legs}:
        return ()
    return [Line(f"{what} {legs}", None, None, on_legs[legs], "VA") for legs in sorted(on_legs)]


def _legs_words(system: System) -> str:
    """Say how the legs of a system are counted, for the foot of a worksheet."""
    return "three-phase" if len(system.legs) == 3 else f"{system.line_v:.0f} V"
