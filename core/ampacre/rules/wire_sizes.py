"""Least sizes of conductors, parallel sets, terminals, and the dwelling table at its edges."""

from collections.abc import Iterator

import msgspec

from ampacre.codebook.conductors import SIZES, area_cmil, size_word
from ampacre.model import records as r
from ampacre.model.project import Edit
from ampacre.rules.paths import as_large_as, next_larger, relabelled
from ampacre.rules.reading import is_circuit, known, run_name
from ampacre.rules.rule import Finding, exceeds, found, on_run
from ampacre.sizing.conductor import SMALLEST_IN_PARALLEL
from ampacre.sizing.protection import largest_device_a
from ampacre.study.dwelling import sole_dwelling
from ampacre.study.facts import RunFacts
from ampacre.study.fed import below
from ampacre.study.study import Study

TOPIC = "conductors"

_METAL = {"cu": "copper", "al": "aluminum"}


def _as_least(study: Study, finding: Finding) -> Iterator[Edit]:
    return as_large_as(study, study.run(finding.where), str(finding.values["floor"]))


def _below(
    rule: str, study: Study, facts: RunFacts, floors: dict[str, str], why: str
) -> Iterator[Finding]:
    """Find conductors smaller than the least size for their metal."""
    size, metal = facts.run.conductors.size, facts.material.value
    floor = floors.get(metal or "")
    if size is None or floor is None or area_cmil(size) >= area_cmil(floor):
        return
    if is_circuit(study, facts):
        yield found(
            rule, facts.run.id,
            "The conductors of {run} are {size} {metal}; {why} they are {least} or larger.",
            run=run_name(study, facts.run), size=size_word(size), metal=_METAL[metal or "cu"],
            why=why, least=size_word(floor), floor=floor,
        )  # fmt: skip


@on_run(
    "wire-least-size", topic=TOPIC, severity="violation", cite="smallest_wire",
    remedies=_as_least,
)  # fmt: skip
def wire_least_size(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Conductors are not smaller than 14 AWG copper or 12 AWG aluminum.

    The least sizes for circuits of up to 2000 V (NEC 310.3(A); 2017: 310.106(A)).
    """
    return _below("wire-least-size", study, facts, {"cu": "14", "al": "12"}, "by the code")


@on_run(
    "service-wire-least-size", topic=TOPIC, severity="violation", cite="service_smallest",
    roles=("service",), remedies=_as_least,
)  # fmt: skip
def service_wire_least_size(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Service conductors are not smaller than 8 AWG copper or 6 AWG aluminum.

    Overhead and underground alike (NEC 230.23(B), 230.31(B)); one limited load may have less.
    """
    floors = {"cu": "8", "al": "6"}
    return _below("service-wire-least-size", study, facts, floors, "as service conductors")


@on_run(
    "parallel-wires-least-size", topic=TOPIC, severity="violation", cite="parallel",
    remedies=_as_least,
)  # fmt: skip
def parallel_wires_least_size(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Conductors are joined in parallel from 1/0 AWG up.

    Smaller ones share their current too unevenly (NEC 310.10(G); 2017: 310.10(H)).
    """
    if facts.sets.value > 1:
        floors = dict.fromkeys(("cu", "al"), SMALLEST_IN_PARALLEL)
        yield from _below("parallel-wires-least-size", study, facts, floors, "in parallel")


def _neutral_as_least(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    wires = msgspec.structs.replace(run.conductors, neutral=SMALLEST_IN_PARALLEL)
    label = f"Use 1/0 AWG neutrals for {run_name(study, run)}"
    yield relabelled(study, "runs", run.id, label, conductors=wires)


@on_run(
    "parallel-neutral-least-size", topic=TOPIC, severity="violation", cite="neutral_parallel",
    remedies=_neutral_as_least,
)  # fmt: skip
def parallel_neutral_least_size(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """The neutral of parallel sets is 1/0 AWG or larger in each.

    However small the load that it carries (NEC 250.24(C)(2), 310.10(G); 2017: 310.10(H)).
    """
    sets, neutral = facts.sets.value, facts.run.conductors.neutral
    if sets < 2 or neutral not in SIZES:
        return
    if area_cmil(neutral) < area_cmil(SMALLEST_IN_PARALLEL) and is_circuit(study, facts):
        yield found(
            "parallel-neutral-least-size", facts.run.id,
            "The neutrals of the {sets} sets of {run} are {size}; in parallel they are 1/0 AWG or "
            "larger.",
            sets=str(sets), run=run_name(study, facts.run), size=size_word(neutral),
        )  # fmt: skip


def _seventy_five(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    label = f"Take the terminals of {run_name(study, run)} at 75 C"
    yield relabelled(study, "runs", run.id, label, terminal_c=75)


@on_run(
    "terminals-above-column", topic=TOPIC, severity="warning", cite="terminations",
    remedies=_seventy_five,
)  # fmt: skip
def terminals_above_column(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Terminals are not taken at 90 C.

    Equipment of 1000 V or less is listed for 60 or 75 C terminals; the 90 C column of a wire is
    for correction and adjustment alone (NEC 110.14(C)).
    """
    if facts.run.terminal_c != 90 or facts.ampacity is None or not is_circuit(study, facts):
        return
    yield found(
        "terminals-above-column", facts.run.id,
        "The terminals of {run} are taken at 90 C, which gives its conductors {carried_a}; "
        "equipment is listed for 60 or 75 C.",
        run=run_name(study, facts.run), carried_a=facts.ampacity.terminal_a,
    )  # fmt: skip


def _plain_size(study: Study, finding: Finding) -> Iterator[Edit]:
    facts = study.run(finding.where)
    return next_larger(study, facts, float(finding.values["device_a"]))


@on_run(
    "dwelling-table-disputed", topic=TOPIC, severity="ask", cite="dwelling_83",
    roles=("service", "feeder"), remedies=_plain_size,
)  # fmt: skip
def dwelling_table_disputed(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """The dwelling table is used for a dwelling's load and nothing else.

    Conductors of 83 % of the rating are for the whole load of one dwelling (NEC 310.12). Where part
    of that load stands in another structure, readings differ whether it is the dwelling's.
    """
    largest, device_a, size = facts.largest_device, facts.protecting_a, known(facts.size)
    if largest is None or largest.cite_key != "dwelling_83" or size is None:
        return
    if facts.ampacity is None or facts.material.value is None or device_a is None:
        return
    edition = study.settings.edition
    plain = largest_device_a(facts.ampacity.allowed_a, size, facts.material.value, edition)
    allowed = exceeds(device_a, plain.rating_a) and not exceeds(device_a, largest.rating_a)
    if not allowed or not is_circuit(study, facts):
        return
    tally = study.equipment(facts.run.target).tally or {}
    dwelling = sole_dwelling(tally)
    if not dwelling or any(key.dwelling != dwelling for key in tally):
        return
    home = study.standing.equipment[dwelling].structure
    apart = [
        other.piece.name
        for other in below(study, facts.run.target)
        if isinstance(other.piece, r.Use) and other.piece.structure not in (None, home)
    ]
    if apart:
        yield found(
            "dwelling-table-disputed", facts.run.id,
            "The {size} conductors of {run} may have {device_a} only as those of one dwelling's "
            "whole load; {apart} stands in another structure. Ask whether it still counts as one "
            "dwelling.",
            size=size_word(size), run=run_name(study, facts.run), device_a=device_a,
            apart=" and ".join(apart),
        )  # fmt: skip
