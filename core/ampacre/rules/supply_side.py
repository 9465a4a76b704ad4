"""Sources tied ahead of the service disconnect."""

from collections.abc import Iterator
from typing import Final

from ampacre.codebook.conductors import area_cmil, size_word
from ampacre.codebook.devices import next_standard
from ampacre.codebook.ratings import SWITCH_A
from ampacre.model import records as r
from ampacre.model.edits import insert_on, new_id, next_name
from ampacre.model.project import Edit
from ampacre.rules.inverters import SOURCE_FACTOR
from ampacre.rules.paths import (
    METRES_PER_FT,
    as_large_as,
    labelled,
    next_larger,
    relabelled,
    upward,
)
from ampacre.rules.reading import is_circuit, known, run_name
from ampacre.rules.resizing import step_up
from ampacre.rules.rule import Finding, exceeds, found, on_piece, on_run
from ampacre.rules.tied_sources import Source, output_of, sources_at
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.fed import circuits_out
from ampacre.study.study import Study

TOPIC = "sources"

_LEAST_WIRE: Final = {"cu": "6", "al": "4"}
"""Smallest conductors of a source ahead of the service (NEC 705.11(B))."""
_NEAR_M: Final = {"dwelling": 10 * METRES_PER_FT, "": 16.5 * METRES_PER_FT}


def _tie(study: Study, facts: EquipmentFacts) -> RunFacts | None:
    """Give the run by which a source hangs ahead of the service, with no disconnect between."""
    for run, parent in upward(study, facts.piece.id):
        if isinstance(parent.piece, (r.Panel, r.Disconnect)):
            return None
        if parent.ahead_of_service:
            return run
    return None


def _own_disconnect(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    needed_a = SOURCE_FACTOR * float(finding.values["output_a"])
    device_a = next_standard(needed_a, study.settings.edition)
    rating_a = step_up(needed_a, SWITCH_A)
    if device_a is None or rating_a is None:
        return
    switch = r.Disconnect(
        id=new_id(), name=next_name(study.project, "disconnect"), since=r.WORK,
        rating_a=max(rating_a, step_up(device_a, SWITCH_A) or rating_a),
        main=r.Device(rating_a=device_a),
    )  # fmt: skip
    edit = insert_on(study.project, run, switch)
    yield labelled(
        edit, f"put a disconnect with a {device_a:g} A device into {run_name(study, run)}"
    )


@on_piece(
    "supply-side-disconnect", r.Inverter, r.Battery,
    topic=TOPIC, severity="violation", cite="inverter_supply_side", remedies=_own_disconnect,
)  # fmt: skip
def supply_side_disconnect(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A source ahead of the service disconnect has a disconnect and a device of its own.

    It follows the rules of services from there: rated for the fault current, with a main bond (NEC
    705.11, 230.82(6)).
    """
    piece = facts.piece
    assert isinstance(piece, (r.Inverter, r.Battery))
    run = _tie(study, facts) if facts.supplied and facts.feed is not None else None
    if run is not None and piece.output_a:
        yield found(
            "supply-side-disconnect", run.run.id,
            "{piece}, {output_a}, is tied ahead of the service disconnect without one of its own.",
            about=piece.id, piece=piece.name, output_a=piece.output_a,
        )  # fmt: skip


def _as_least(study: Study, finding: Finding) -> Iterator[Edit]:
    facts = study.run(finding.where)
    offered = [
        *as_large_as(study, facts, str(finding.values["floor"])),
        *next_larger(study, facts, float(finding.values["needed_a"])),
    ]
    yield from {edit.label: edit for edit in offered}.values()


@on_run(
    "supply-side-wire-large-enough", topic=TOPIC, severity="violation", cite="supply_side_wire",
    roles=("supply-side source",), remedies=_as_least,
)  # fmt: skip
def supply_side_wire_large_enough(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Conductors from a source to the service are 6 AWG copper or 4 AWG aluminum at least.

    And carry 125 % of its output current (NEC 705.11(B), from memory).
    """
    size, metal = known(facts.size), facts.material.value
    if size is None or metal is None or facts.ampacity is None or not is_circuit(study, facts):
        return
    floor = _LEAST_WIRE[metal]
    needed_a = SOURCE_FACTOR * output_of(sources_at(study, facts.run.target))
    small = area_cmil(size) < area_cmil(floor)
    if small or exceeds(needed_a, facts.ampacity.allowed_a):
        yield found(
            "supply-side-wire-large-enough", facts.run.id,
            "{run} is {size} and carries {carried_a}; ahead of the service it must be {floor} AWG "
            "or larger and carry {needed_a}.",
            run=run_name(study, facts.run), size=size_word(size),
            carried_a=facts.ampacity.allowed_a, floor=floor, needed_a=needed_a,
        )  # fmt: skip


def _shorter(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    most_m = float(finding.values["most_m"])
    label = f"Put the device of {run_name(study, run)} within {most_m / METRES_PER_FT:g} ft"
    yield relabelled(study, "runs", run.id, label, length_m=most_m)


@on_run(
    "supply-side-device-near", topic=TOPIC, severity="violation", cite="source_distance",
    roles=("supply-side source",), remedies=_shorter,
)  # fmt: skip
def supply_side_device_near(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Indoors the device of a source ahead of the service is near the tie.

    Within 10 ft of wire in dwellings and 16.5 ft elsewhere (NEC 2020 705.11(C); not in 2023).
    """
    run = facts.run
    if study.settings.edition != "2020" or run.place != "indoors" or run.length_m is None:
        return
    structure = study.project.structures.get(study.equipment(run.target).piece.structure or "")
    use = "dwelling" if structure is not None and structure.use == "dwelling" else ""
    most_m = _NEAR_M[use]
    if run.length_m > most_m + 1e-6:
        yield found(
            "supply-side-device-near", run.id,
            "{run} goes {length_m} indoors before its device; {most_m} is the most.",
            run=run_name(study, run), length_m=run.length_m, most_m=most_m,
        )  # fmt: skip


@on_piece(
    "supply-side-sources-together", r.Meter, topic=TOPIC, severity="violation",
    cite="supply_side_sum",
)  # fmt: skip
def supply_side_sources_together(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """Sources ahead of the service do not give more than the service carries.

    Their output currents together against the class of the socket that they are tied to (NEC
    705.11(A), from memory).
    """
    meter = facts.piece
    assert isinstance(meter, r.Meter)
    if meter.class_a is None or not facts.ahead_of_service:
        return
    tied: list[Source] = []
    for run, piece in circuits_out(study, facts):
        if run.run.role == "supply-side source":
            tied += sources_at(study, piece.id)
    output_a = output_of(tied)
    if exceeds(output_a, meter.class_a):
        yield found(
            "supply-side-sources-together", meter.id,
            "The sources ahead of the service give {output_a}; {piece} is a class {class_number} "
            "socket.",
            output_a=output_a, piece=meter.name, class_number=f"{meter.class_a:g}",
        )  # fmt: skip
