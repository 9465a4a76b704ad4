"""The sizing neutral of a point: the greatest load between neutral and one leg by NEC 220.61."""

from collections.abc import Sequence
from typing import NamedTuple

from ampacre.codebook.articles import cite
from ampacre.model.system import System
from ampacre.study.facts import Line
from ampacre.study.shares import Share
from ampacre.study.tally import Key

__all__ = ["SMALLEST_RANGE_VA", "Neutral", "neutral_load"]

SMALLEST_RANGE_VA = 1750.0
"""Cooking units up to this are appliances like others: NEC Table 220.55."""
_WHOLE_A = 200.0
_KEPT = 0.7


class Neutral(NamedTuple):
    """Sizing neutral of a point [A], its working, and the leg that it is greatest against."""

    amperes: float
    lines: tuple[Line, ...]
    leg: str = ""


class _Part(NamedTuple):
    label: str
    where: str
    va: float
    factor: float
    reducible: bool


def neutral_load(
    shares: Sequence[Share], system: System, edition: str, unnamed_leg: str
) -> Neutral:
    """Sizing neutral from the shares of NEC 220 Part III.

    Household cooking and dryer demand count 70 %; what exceeds 200 A counts 70 %, on 3-wire
    single-phase and 4-wire three-phase systems. Neither holds for three-wire circuits taken from a
    wye nor for two-wire circuits, whose neutral carries all of their current (220.61(C)), where
    shore power is on the neutral (555.12; 2023: 220.120), for sites of vehicles (551.72(D)), or
    for nonlinear load on a wye. Loads on one leg that nobody named are taken on the same leg, or
    by `unnamed_leg` halved over both as the examples of Annex D have them.
    """
    if not system.neutral:
        return Neutral(0.0, ())
    wye = system.phases == 3 and abs(sum(system.leg_v)) < 1
    three_wire = len(system.legs) == 2 and abs(sum(system.leg_v)) < 1
    shore = any(key.category == "slip" for share in shares for key in share.part)
    reduced = (wye or system.phases == 3 or three_wire) and not shore
    parts = _parts(shares, unnamed_leg, wye=wye, reduced=reduced)
    by_leg_v = _leg_volts(system)
    low_v = min(by_leg_v.values())
    full = dict.fromkeys(system.legs, 0.0)
    fixed = dict.fromkeys(system.legs, 0.0)
    for part in parts:
        for leg in system.legs:
            amperes = _against(part, leg, by_leg_v, low_v) * part.factor
            full[leg] += amperes
            fixed[leg] += 0.0 if part.reducible else amperes
    motor_a = max(
        (
            amount.motor_a
            for share in shares
            for key, amount in share.part.items()
            if key.neutral and len(key.legs) == 1
        ),
        default=0.0,
    )
    leg = max(system.legs, key=lambda each: full[each])
    total = full[leg] + 0.25 * motor_a
    lines = [
        Line(
            f"Neutral: {part.label}", part.va, part.factor, part.factor * part.va, "VA",
            cite("neutral_range_dryer" if part.factor < 1 else "neutral", edition), part.where,
        )
        for part in parts
    ]  # fmt: skip
    if lines:
        lines.append(Line("Neutral load", None, None, sum(p.factor * p.va for p in parts), "VA"))
    if motor_a:
        lines.append(
            Line("Neutral: largest motor on one leg", motor_a, 0.25, 0.25 * motor_a, "A",
                 cite("largest_motor", edition))
        )  # fmt: skip
    excess = min(total - _WHOLE_A, total - fixed[leg]) if reduced else 0.0
    if excess > 0:
        lines += [
            Line(f"Neutral against leg {leg}", None, None, total, "A"),
            Line("Neutral: beyond 200 A", excess, _KEPT, _KEPT * excess, "A",
                 cite("neutral_beyond_200", edition)),
        ]  # fmt: skip
        total -= (1 - _KEPT) * excess
    return Neutral(total, tuple(lines), leg)


def _leg_volts(system: System) -> dict[str, float]:
    return {leg: abs(volt) for leg, volt in zip(system.legs, system.leg_v, strict=True)}


def _parts(shares: Sequence[Share], unnamed_leg: str, *, wye: bool, reduced: bool) -> list[_Part]:
    """What each share puts on the neutral, merged by where it is."""
    found: dict[tuple[str, str, float, bool], float] = {}
    for share in shares:
        for key, amount in share.part.items():
            if not key.neutral or not amount.va:
                continue
            where = "on one leg" if key.one_leg and unnamed_leg == "one leg" else ""
            legs = share.spread or key.legs
            where = where or (f"on leg {legs}" if len(legs) == 1 else f"over legs {legs}")
            factor = _KEPT if reduced and _is_household(key) else 1.0
            fixed = key.category in ("slip", "vehicle site") or (key.nonlinear and wye)
            label = share.line.label
            at = (label, where, factor, not fixed)
            found[at] = found.get(at, 0.0) + share.ratio * amount.va
    return [
        _Part(label, where, va, factor, reducible)
        for (label, where, factor, reducible), va in found.items()
    ]


def _is_household(key: Key) -> bool:
    """Whether a load is cooking by Table 220.55 or a dryer by 220.54."""
    return key.category == "dryer" or (
        key.category == "cooking" and key.rating_va > SMALLEST_RANGE_VA
    )


def _against(part: _Part, leg: str, by_leg_v: dict[str, float], low_v: float) -> float:
    """Current of a part between the neutral and one leg [A]."""
    if part.where == "on one leg":
        return part.va / low_v
    legs = part.where.rpartition(" ")[2]
    if len(legs) == 1:
        return part.va / by_leg_v[leg] if leg == legs else 0.0
    if leg not in legs:
        return 0.0
    # the high leg of a delta has no 120 V loads; the other legs share them
    return part.va / (low_v * sum(by_leg_v[each] < low_v + 1 for each in legs))
