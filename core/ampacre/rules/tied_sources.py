"""Sources tied to a feeder or to a center-fed bus, and how far they raise the voltage."""

from collections.abc import Iterator
from typing import Final

from ampacre.codebook.conductors import SIZES
from ampacre.model import records as r
from ampacre.model.project import Edit
from ampacre.rules.feeds import way_up
from ampacre.rules.inverters import FAR_END_FACTOR, SOURCE_FACTOR, bus_of
from ampacre.rules.paths import end_device_a, next_larger
from ampacre.rules.reading import assumed_terminals, ids_of, known, run_name, supply_device_a
from ampacre.rules.recall import recalled
from ampacre.rules.resizing import with_size
from ampacre.rules.rule import Finding, exceeds, found, on_piece, on_run
from ampacre.sizing.impedance import run_impedance
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.fed import below, circuits_out
from ampacre.study.study import Study

TOPIC = "sources"

Source = r.Inverter | r.Battery

RISE_PCT: Final = 2.0
"""Voltage rise from an inverter to the service that trips none (common practice)."""


def sources_at(study: Study, key: str) -> list[Source]:
    """Sources at or below a piece, in id order."""
    pieces = [study.equipment(key).piece, *(facts.piece for facts in below(study, key))]
    found = [piece for piece in pieces if isinstance(piece, (r.Inverter, r.Battery))]
    return sorted(found, key=lambda piece: piece.id)


def output_of(sources: list[Source]) -> float:
    """Output currents of sources together [A]; those not known count as none."""
    return sum(piece.output_a or 0.0 for piece in sources)


def _larger(study: Study, finding: Finding) -> Iterator[Edit]:
    return next_larger(study, study.run(finding.where), float(finding.values["needed_a"]))


@on_run(
    "feeder-carries-source", topic=TOPIC, severity="violation", cite="source_feeder_least",
    roles=("feeder", "tap"), remedies=_larger,
)  # fmt: skip
def feeder_carries_source(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A feeder with sources behind it carries 125 % of their output current.

    They feed back over it when nothing else runs (NEC 705.12(A)(1)).
    """
    output_a = _outputs_a(study).get(facts.run.id)
    if output_a is None or facts.ampacity is None or known(facts.size) is None:
        return
    if facts.run.length_m == 0:
        return
    needed_a, carried_a = SOURCE_FACTOR * output_a, facts.ampacity.allowed_a
    if exceeds(needed_a, carried_a):
        yield found(
            "feeder-carries-source", facts.run.id,
            "{run} carries {carried_a}; the sources behind it give {output_a}, and 125 % of "
            "that is {needed_a}.{assumed}",
            run=run_name(study, facts.run), carried_a=carried_a, output_a=output_a,
            needed_a=needed_a, assumed=assumed_terminals(facts),
        )  # fmt: skip


@recalled
def _outputs_a(study: Study) -> dict[str, float]:
    """Output currents of all sources behind each run that has any [A]."""
    found_a: dict[str, float] = {}
    for key in ids_of(study, (r.Inverter, r.Battery), "customer", "utility"):
        source = study.standing.equipment[key]
        if isinstance(source, (r.Inverter, r.Battery)) and source.output_a:
            for run, _ in way_up(study, key):
                found_a[run] = found_a.get(run, 0.0) + source.output_a
    return found_a


def _protected_beyond(study: Study, run: RunFacts, carried_a: float) -> bool:
    """Whether a device at or after a tie keeps a feeder's current within its ampacity."""
    device_a = supply_device_a(run)
    if device_a is None:
        device_a = end_device_a(study, run)
    return device_a is not None and not exceeds(device_a, carried_a)


@on_piece(
    "feeder-beyond-tie-large-enough", r.Junction,
    topic=TOPIC, severity="violation", cite="source_on_feeder", remedies=_larger,
)  # fmt: skip
def feeder_beyond_tie_large_enough(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A feeder beyond the tie of a source carries both, or has a device of its own there.

    The device ahead and 125 % of the source's output can both flow into it (NEC 705.12(A)(2));
    240.4(B) may not be used for that part.
    """
    ahead_a = facts.device_ahead_a
    if ahead_a is None:
        return
    tied = [
        piece
        for _, piece in circuits_out(study, facts)
        if isinstance(piece, (r.Inverter, r.Battery))
    ]
    if not tied:
        return
    needed_a = ahead_a + SOURCE_FACTOR * output_of(tied)
    for run, piece in circuits_out(study, facts):
        if piece in tied or run.ampacity is None or known(run.size) is None:
            continue
        carried_a = run.ampacity.allowed_a
        if exceeds(needed_a, carried_a) and not _protected_beyond(study, run, carried_a):
            yield found(
                "feeder-beyond-tie-large-enough", run.run.id,
                "{run} carries {carried_a} beyond the tie of {source}; {ahead_a} ahead and 125 % "
                "of the source make {needed_a}.",
                run=run_name(study, run.run), carried_a=carried_a, source=tied[0].name,
                ahead_a=ahead_a, needed_a=needed_a,
            )  # fmt: skip


@on_piece("center-fed-bus-sources", r.Panel, topic=TOPIC, severity="violation", cite="center_fed")
def center_fed_bussources_at(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A bus that is fed in the middle has no far end for sources.

    Sum of device and 125 % of the sources not above the bus, or all breakers not above it. For one
    source at a dwelling's panel 120 % may hold at either end: ask the authority (NEC 705.12(B)(4)).
    """
    panel = facts.piece
    assert isinstance(panel, r.Panel)
    bus = bus_of(study, facts) if panel.fed == "center" else None
    if bus is None:
        return
    total_a = bus.ahead_a + bus.sources_a
    by_breakers = bus.breakers_a is not None and not exceeds(bus.breakers_a, bus.bus_a)
    if not exceeds(total_a, bus.bus_a) or by_breakers:
        return
    tally = facts.tally or {}
    dwelling = any(key.category == "dwelling general" for key in tally)
    within = not exceeds(total_a, FAR_END_FACTOR * bus.bus_a) and len(bus.source_runs) == 1
    yield found(
        "center-fed-bus-sources", panel.id,
        "{piece} is fed in the middle of its {bus_a} bus; {ahead_a} ahead with 125 % of its "
        "sources is {total_a}.",
        severity="ask" if dwelling and within else "violation", piece=panel.name,
        bus_a=bus.bus_a, ahead_a=bus.ahead_a, total_a=total_a,
    )  # fmt: skip


def _thicker(study: Study, finding: Finding) -> Iterator[Edit]:
    """Enlarge the run that takes the largest part of the rise."""
    rises_pct = _rises_pct(study, finding.where)
    if not rises_pct:
        return
    worst = study.run(max(rises_pct, key=rises_pct.__getitem__))
    size = worst.size.value
    if size not in SIZES:
        return
    for larger in SIZES[SIZES.index(size) + 1 :]:
        edit = with_size(study, worst, larger)
        after = study.fork(study.project.apply(edit))
        if not exceeds(sum(_rises_pct(after, finding.where).values()), RISE_PCT):
            yield edit
            return


def _rises_pct(study: Study, source: str) -> dict[str, float]:
    """Give the rise in each run from a source up to the service [per cent]."""
    piece = study.standing.equipment[source]
    output_a = piece.output_a if isinstance(piece, (r.Inverter, r.Battery)) else None
    found_pct: dict[str, float] = {}
    for run, parent in way_up(study, source):
        ohm, volts = _hot_run(study, run)
        if output_a and ohm and volts:
            found_pct[run] = 100 * 2 * output_a * ohm / volts
        if _is_at_service(study, parent):
            break
    return found_pct


@recalled
def _hot_run(study: Study, key: str) -> tuple[float | None, float | None]:
    """Resistance of a run's conductors at 75 C one way [ohm], and its voltage."""
    run = study.run(key)
    size, metal, length_m = run.size.value, run.material.value, run.run.length_m
    if not (size and metal and length_m):
        return None, run.volts
    z = run_impedance(size, metal, run.raceway.value, run.sets.value, length_m, 75.0)
    return z.real, run.volts


@recalled
def _is_at_service(study: Study, key: str) -> bool:
    return study.equipment(key).at_service


@on_piece(
    "source-rise-within-limit", r.Inverter, r.Battery,
    topic=TOPIC, severity="advice", cite="common practice", remedies=_thicker,
)  # fmt: skip
def source_rise_within_limit(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A source does not raise the voltage on its way to the service by more than 2 %.

    Output current times twice the resistance of each run up to the service, conductors at 75 C;
    beyond that inverters trip on high voltage on sunny days (common practice).
    """
    rise_pct = sum(_rises_pct(study, facts.piece.id).values())
    if exceeds(rise_pct, RISE_PCT):
        piece = facts.piece
        yield found(
            "source-rise-within-limit", piece.id,
            "{piece} raises the voltage by {rise_pct} on its way to the service; {limit_pct} is "
            "usual.",
            piece=piece.name, rise_pct=rise_pct, limit_pct=RISE_PCT,
        )  # fmt: skip
