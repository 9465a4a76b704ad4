"""What a load on a circuit of its own counts for: its nameplate, or the code's least for its kind."""

import math
from typing import NamedTuple

from ampacre.codebook.articles import cite
from ampacre.codebook.counts import welder_duty_factor
from ampacre.codebook.outlets import lighting_unit_load, outlet_va
from ampacre.codebook.tables import Cited
from ampacre.model import records as r
from ampacre.study.facts import Line

__all__ = ["M2_PER_FT2", "M_PER_FT", "OutletLoad", "outlet_load", "taken_continuous"]

M2_PER_FT2 = 0.09290304
M_PER_FT = 0.3048
_ROUNDING_FT = 1e-6
_SELDOM_CONTINUOUS = (*r.HEATERS, *r.HOUSEHOLD, "cooling", "welder", "elevator")
"""Space and water heating is continuous for its branch circuit only (NEC 424.4(B), 422.13).

A household's range, oven or dryer is at its full load for less than the three hours of NEC Article 100.
"""


class OutletLoad(NamedTuple):
    """Load of an outlet [VA], the part of it that is continuous, and how it came about."""

    va: float
    continuous_va: float
    lines: tuple[Line, ...]


def outlet_load(piece: r.Load, edition: str) -> OutletLoad | None:
    """Load that a piece counts for; None where nothing tells it.

    The larger of its nameplate and the least load that NEC 220.12 to 220.43 has for its kind.
    """
    if piece.category == "lighting" and piece.floor_area_m2 is not None and piece.occupancy:
        return _lighting(piece, piece.floor_area_m2, piece.occupancy, edition)
    if piece.category == "welder":
        return _welder(piece, edition)
    lines = []
    if piece.va is not None:
        lines.append(Line("Nameplate load", piece.va, unit="VA", cite=cite("other_load", edition)))
    lines += _least_lines(piece, edition)
    if not lines:
        return None
    va = max(line.quantity or 0.0 for line in lines)
    return OutletLoad(va, va if taken_continuous(piece) else 0.0, tuple(lines))


def taken_continuous(piece: r.Load) -> bool:
    """Whether a load counts as continuous: as stated, else as its kind mostly is."""
    if piece.continuous is None:
        return piece.category not in _SELDOM_CONTINUOUS
    return piece.continuous


def _welder(piece: r.Load, edition: str) -> OutletLoad | None:
    if piece.va is None:
        return None
    if piece.duty_pct is None:
        line = Line(
            "Arc welder at its primary load", piece.va, None, None, "VA",
            cite("welder_duty", edition), "duty cycle not entered: taken as 100 %",
        )  # fmt: skip
        return OutletLoad(piece.va, 0.0, (line,))
    factor = welder_duty_factor(piece.duty_pct, motor_generator=piece.motor_generator)
    va = factor.value * piece.va
    line = Line(
        f"Arc welder, duty cycle {piece.duty_pct} %", va, None, None, "VA",
        cite(factor.cite_key, edition), f"{factor.value:g} of {piece.va:,.0f} VA",
    )  # fmt: skip
    return OutletLoad(va, 0.0, (line,))


def _lighting(piece: r.Load, area_m2: float, occupancy: str, edition: str) -> OutletLoad:
    """Lighting by floor area or as installed, whichever is larger, with and without the 125 %.

    From 2020 on the load by area holds the 125 per cent already, so that only 125 per cent of what
    is installed may exceed it in sizing.
    """
    actual_va = piece.va or 0.0
    installed = Line(
        "Lighting as installed", actual_va, unit="VA", cite=cite("other_load", edition)
    )
    unit = lighting_unit_load(occupancy, edition)
    if unit is None:
        none = Line(
            "Lighting by floor area", cite=cite("occupancy_lighting", edition),
            note=f"no load by area for {occupancy} in this edition",
        )  # fmt: skip
        steady_va = actual_va if taken_continuous(piece) else 0.0
        return OutletLoad(actual_va, steady_va, (none, installed))
    area_ft2 = area_m2 / M2_PER_FT2
    by_area_va = unit.va_per_ft2 * area_ft2
    by_area = Line(
        f"Lighting by floor area, {area_ft2:,.0f} ft2 at {unit.va_per_ft2:g} VA", by_area_va,
        None, None, "VA", cite("occupancy_lighting", edition), occupancy,
    )  # fmt: skip
    va = max(by_area_va, actual_va)
    if not taken_continuous(piece):
        return OutletLoad(va, 0.0, (by_area, installed))
    sizing_by_area_va = (1.25 if unit.adds_continuous else 1.0) * by_area_va
    sizing_va = max(sizing_by_area_va, 1.25 * actual_va)
    lines = (
        by_area,
        installed,
        Line("For sizing, by floor area", sizing_by_area_va, None, None, "VA",
             cite("feeder_device", edition),
             "with 125 %" if unit.adds_continuous else "holds the 125 % already"),
        Line("For sizing, as installed", 1.25 * actual_va, None, None, "VA",
             cite("feeder_device", edition), "with 125 %"),
    )  # fmt: skip
    return OutletLoad(va, 4 * (sizing_va - va), lines)


def _least_lines(piece: r.Load, edition: str) -> list[Line]:
    """The least load by number or length, for the kinds that have one."""
    if piece.category == "receptacles":
        return _receptacle_lines(piece, edition)
    if piece.category == "sign":
        return [_least("Signs", 1, "outlet", outlet_va("sign_outlet"), edition)]
    if piece.strip_m is None:
        return []
    feet = piece.strip_m / M_PER_FT
    if piece.category == "show window":
        return [_least("Show window", feet, "ft", outlet_va("show_window"), edition)]
    if piece.category == "track lighting":
        return [_least("Track lighting", _begun(feet / 2), "length of 2 ft",
                       outlet_va("track_lighting"), edition)]  # fmt: skip
    if piece.category != "multioutlet":
        return []
    if piece.used_together:
        each = outlet_va("multioutlet_assembly_simultaneous")
        return [_least("Multioutlet assembly", _begun(feet), "ft", each, edition)]
    each = outlet_va("multioutlet_assembly_not_simultaneous")
    return [_least("Multioutlet assembly", _begun(feet / 5), "length of 5 ft", each, edition)]


def _receptacle_lines(piece: r.Load, edition: str) -> list[Line]:
    lines = []
    if piece.receptacles is not None:
        each = outlet_va("receptacle_yoke")
        lines.append(_least("Receptacles", piece.receptacles, "yoke", each, edition))
    if piece.floor_area_m2 is not None and piece.occupancy in ("bank", "office"):
        by_area = outlet_va("bank_office_receptacle")
        feet = piece.floor_area_m2 / M2_PER_FT2
        lines.append(_least("Receptacles by floor area", feet, "ft2", by_area, edition))
    return lines


def _begun(lengths: float) -> int:
    """Whole lengths and one for any fraction left."""
    return math.ceil(lengths - _ROUNDING_FT)


def _least(what: str, number: float, of: str, each: Cited[float], edition: str) -> Line:
    return Line(
        f"{what}, {number:,.6g} x {each.value:g} VA", number * each.value, None, None, "VA",
        cite(each.cite_key, edition), f"{each.value:g} VA for each {of}",
    )  # fmt: skip
