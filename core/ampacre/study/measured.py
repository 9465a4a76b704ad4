"""Existing load by a record of its greatest demand: NEC 220.87."""

import math
from collections.abc import Iterator
from datetime import date

from ampacre.codebook.articles import cite
from ampacre.model import records as r
from ampacre.model.system import System
from ampacre.study.facts import Line
from ampacre.study.tally import Amount, Key, Tally, added

__all__ = ["ASSUMED_POWER_FACTOR", "measured_lines", "measured_va", "refusals", "with_record"]

ASSUMED_POWER_FACTOR = 0.85
"""Where a record in kW names none (common practice; cautious)."""
LONG_DAYS = 365
SHORT_DAYS = 30
SHORT_INTERVAL_MIN = 15.0


def refusals(record: r.Measured, policy: str, *, source_below: bool) -> tuple[str, ...]:
    """Say why a record may not stand for the load at its point; empty where it may.

    `policy` is the project's reading of generation behind the meter, `source_below` tells of
    inverters or storage below the point.
    """
    return tuple(_refusals(record, policy, source_below=source_below))


def _refusals(record: r.Measured, policy: str, *, source_below: bool) -> Iterator[str]:
    if record.demand is None:
        yield "the greatest demand is not entered"
    yield from _too_short(record)
    if record.overcurrent_protected is not True:
        yield "overcurrent protection of the feeder or service is not confirmed"
    generation = record.generation
    if generation is None and source_below:
        generation = "net"
    if record.kind == "12-month":
        if generation == "net" and policy == "gross only":
            yield "a source below the meter lowers the record; a gross record is needed"
        return
    if generation in ("net", "gross"):
        yield "a 30-day record may not be used with generation or load shaving"
    if record.interval_min is None or record.interval_min > SHORT_INTERVAL_MIN:
        yield "a 30-day record must be of averages over 15 minutes"
    if record.heaviest_leg is not True:
        yield "it is not confirmed that the heaviest leg was recorded"
    if record.occupied is not True:
        yield "it is not confirmed that the building was occupied"
    if record.seasonal_included is not True:
        yield "it is not confirmed that heating or cooling and seasonal loads are accounted for"


def _too_short(record: r.Measured) -> Iterator[str]:
    try:
        days = (date.fromisoformat(record.end) - date.fromisoformat(record.start)).days + 1
    except ValueError:
        yield "the record's first and last day are not entered (as 2026-01-31)"
        return
    needed = LONG_DAYS if record.kind == "12-month" else SHORT_DAYS
    if days < needed:
        yield f"the record is of {max(days, 0)} days; {needed} are needed"


def measured_va(record: r.Measured, system: System) -> float:
    """Greatest demand of a record with its seasonal load [VA]; amperes at nominal voltage."""
    return _recorded_va(record, system) + record.seasonal_va


def _recorded_va(record: r.Measured, system: System) -> float:
    demand = record.demand or 0.0
    if record.unit == "kW":
        return 1000 * demand / (record.power_factor or ASSUMED_POWER_FACTOR)
    if record.unit == "kVA":
        return 1000 * demand
    if system.phases == 3:
        return math.sqrt(3) * system.line_v * demand
    return demand * (system.line_v if len(system.legs) == 2 else abs(system.leg_v[0]))


def with_record(key: str, record: r.Measured, tally: Tally, system: System) -> Tally:
    """Put a record in the place of all existing load below its point; new load stays as it is."""
    block = Key("measured", system.legs, neutral=system.neutral, unit=key)
    new = {each: amount for each, amount in tally.items() if each.new}
    return added({block: Amount(measured_va(record, system))}, new)


def measured_lines(record: r.Measured, system: System, edition: str) -> list[Line]:
    """The record as the worksheet shows it."""
    article = cite("metered_load" if record.kind == "12-month" else "metered_short", edition)
    dates = f"{record.start} to {record.end}"
    interval = f", averages over {record.interval_min:g} min" if record.interval_min else ""
    meter = f", meter {record.meter}" if record.meter else ""
    lines = [
        Line(f"{record.kind} record, {record.demand:g} {record.unit}",
             _recorded_va(record, system), None, None, "VA", article, f"{dates}{interval}{meter}"),
    ]  # fmt: skip
    if record.unit == "kW":
        power_factor = record.power_factor or ASSUMED_POWER_FACTOR
        why = "as stated" if record.power_factor else "assumed"
        lines.append(Line("Power factor", None, power_factor, None, "", article, why))
    if record.seasonal_va:
        lines.append(
            Line("Seasonal load that the record does not hold", record.seasonal_va, None, None,
                 "VA", article)
        )  # fmt: skip
    if record.interval_min and record.interval_min > SHORT_INTERVAL_MIN:
        note = "the greatest 15 minutes may be higher"
        lines.append(Line("Record of longer averages", cite="common practice", note=note))
    return lines
