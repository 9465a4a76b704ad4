"""What a dwelling adds to the tally, entered as people know it: floor area, circuits, appliances."""

import math
from collections import Counter

import msgspec

from ampacre.codebook.articles import cite
from ampacre.model import records as r
from ampacre.study.facts import Line
from ampacre.study.outlets import M2_PER_FT2
from ampacre.study.tally import Amount, Key, Tally, added

__all__ = [
    "CIRCUIT_VA",
    "VA_PER_FT2",
    "appliance_motor_a",
    "dwelling_lines",
    "dwelling_tally",
    "sole_dwelling",
]

VA_PER_FT2 = 3.0
"""Lighting and general-use receptacles: NEC 220.14(J), 2023 220.41 (2017: Table 220.12)."""
CIRCUIT_VA = 1500.0
"""A small-appliance or laundry circuit: NEC 220.52."""


def sole_dwelling(tally: Tally) -> str:
    """Give the one dwelling of a tally, or "" where there is none or more than one."""
    dwellings = {key.dwelling for key in tally if key.category == "dwelling general"}
    return dwellings.pop() if len(dwellings) == 1 else ""


def _general(piece: r.DwellingLoad) -> dict[str, float]:
    return {
        "lighting": VA_PER_FT2 * piece.floor_area_m2 / M2_PER_FT2,
        "small-appliance circuits": CIRCUIT_VA * piece.small_appliance_circuits,
        "laundry circuits": CIRCUIT_VA * piece.laundry_circuits,
    }


def dwelling_tally(piece: r.DwellingLoad, legs: str) -> Tally:
    """Tally of a whole dwelling: lighting, circuits, and each appliance by itself.

    New is all of a new dwelling; of one that was there before, what it has beyond what it was, and
    the appliances marked as new.
    """
    was = piece.was if isinstance(piece.was, r.DwellingLoad) else None
    all_new = piece.since is not None and was is None
    before = _general(was) if was else {}
    parts: list[Tally] = []
    for detail, va in _general(piece).items():
        key = Key("dwelling general", legs, neutral=True, dwelling=piece.id, detail=detail)
        old_va = 0.0 if all_new else min(va, before.get(detail, va))
        if old_va or not all_new:
            parts.append({key: Amount(old_va)})
        if va > old_va or all_new:
            parts.append({key._replace(new=True): Amount(va - old_va)})
    known = Counter(msgspec.json.encode(appliance) for appliance in was.appliances) if was else None
    for appliance in piece.appliances:
        new = all_new or appliance.new
        if known is not None:
            image = msgspec.json.encode(appliance)
            new = new or not known[image]
            known[image] -= 1
        parts.append(_appliance(piece.id, appliance, legs, new=new))
    return added(*parts)


def _appliance(dwelling: str, appliance: r.Appliance, legs: str, *, new: bool) -> Tally:
    va = appliance.va
    if va is None and appliance.full_load_a is not None:
        va = appliance.full_load_a * appliance.volts
    if va is None:
        return {}
    one_leg = appliance.volts == 120
    key = Key(
        appliance.kind, legs, neutral=one_leg or appliance.kind in ("cooking", "dryer"),
        one_leg=one_leg, dwelling=dwelling, rating_va=va, shed=appliance.shed_on_standby, new=new,
    )  # fmt: skip
    amperes = appliance_motor_a(appliance)
    return {key: Amount(va, 1, amperes, amperes * appliance.volts)}


def appliance_motor_a(appliance: r.Appliance) -> float:
    """Current of an appliance's motor or compressor [A], 0 where it has none or it is not known."""
    if not appliance.motor and appliance.kind not in ("heat pump", "cooling"):
        return 0.0
    return appliance.full_load_a or (appliance.va or 0.0) / appliance.volts


def dwelling_lines(piece: r.DwellingLoad, edition: str) -> tuple[Line, ...]:
    """How a dwelling's general load comes about, and the lighting circuits that it needs."""
    lighting_va, small_va, laundry_va = _general(piece).values()
    area_ft2 = piece.floor_area_m2 / M2_PER_FT2
    unit, circuits = cite("dwelling_unit_load", edition), cite("small_appliance", edition)
    found = [
        (f"Lighting, {area_ft2:,.0f} ft2 at {VA_PER_FT2:g} VA", lighting_va, "VA", unit),
        (f"Small-appliance circuits, {piece.small_appliance_circuits}", small_va, "VA", circuits),
        (f"Laundry circuits, {piece.laundry_circuits}", laundry_va, "VA", circuits),
        ("General load", lighting_va + small_va + laundry_va, "VA", unit),
        ("Lighting current at 120 V", lighting_va / 120, "A", unit),
    ]
    for rating_a in (15, 20):
        needed = math.ceil(lighting_va / 120 / rating_a - 1e-9)
        label = f"Lighting circuits of {rating_a} A needed"
        found.append((label, needed, "", cite("lighting_circuits", edition)))
    return tuple(Line(label, value, unit=of, cite=article) for label, value, of, article in found)
