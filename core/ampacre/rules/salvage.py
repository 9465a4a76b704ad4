"""Material that is used again: whether there is enough of it, and whether it is what it was."""

from collections.abc import Iterator

import msgspec

from ampacre.codebook.conductors import size_word
from ampacre.model import records as r
from ampacre.model.project import Edit
from ampacre.model.words import kind_of
from ampacre.rules.paths import relabelled
from ampacre.rules.reading import run_name
from ampacre.rules.rule import Finding, exceeds, found, on_piece, on_run
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.study import Study

TOPIC = "salvage"


def _origin(study: Study, run: r.Run) -> r.Run | None:
    """Give the run whose material another is made of."""
    return study.project.runs.get(run.reuses) if run.reuses is not None else None


def _new_material(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    label = f"Buy new conductors for {run_name(study, run)}"
    yield relabelled(study, "runs", run.id, label, reuses=None)


@on_run(
    "reused-wire-long-enough", topic=TOPIC, severity="warning", cite="common practice",
    remedies=_new_material,
)  # fmt: skip
def reused_wire_long_enough(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Runs made of salvaged conductors are not longer than what was salvaged.

    All runs that are made of the same one together; splices underground are no remedy (common
    practice).
    """
    origin = _origin(study, facts.run)
    if origin is None or origin.length_m is None or facts.run.length_m is None:
        return
    alike = [
        other
        for other in study.standing.runs.values()
        if other.reuses == origin.id and other.length_m is not None
    ]
    wanted_m = sum(other.length_m or 0.0 for other in alike)
    if exceeds(wanted_m, origin.length_m):
        together = f", with {len(alike) - 1} other" if len(alike) > 1 else ""
        yield found(
            "reused-wire-long-enough", facts.run.id,
            "{run} is made of {origin}, which is {there_m} long; it takes {wanted_m}{together}.",
            run=run_name(study, facts.run), origin=_called(study, origin),
            there_m=origin.length_m, wanted_m=wanted_m, together=together,
        )  # fmt: skip


def _called(study: Study, run: r.Run) -> str:
    return run.name or run_name(study, run)


def _as_it_was(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    origin = _origin(study, run)
    if origin is not None:
        was = origin.conductors
        wires = msgspec.structs.replace(
            run.conductors, size=was.size, material=was.material or run.conductors.material
        )
        label = f"Enter the conductors of {run_name(study, run)} as they were"
        yield relabelled(study, "runs", run.id, label, conductors=wires)
    yield from _new_material(study, finding)


@on_run(
    "reused-wire-as-it-was", topic=TOPIC, severity="warning", cite="common practice",
    remedies=_as_it_was,
)  # fmt: skip
def reused_wire_as_it_was(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Salvaged conductors have the size and metal that they had.

    What is entered for the run that is made of them agrees with the run that they come from (common
    practice).
    """
    origin = _origin(study, facts.run)
    here = facts.run.conductors
    if origin is None or here.size is None or origin.conductors.size is None:
        return
    there = origin.conductors
    metals = {here.material, there.material} - {None}
    if here.size == there.size and len(metals) < 2:
        return
    metal = {"cu": " copper", "al": " aluminum", None: ""}
    yield found(
        "reused-wire-as-it-was", facts.run.id,
        "{run} is entered as {here} and made of {origin}, which is {there}.",
        run=run_name(study, facts.run), here=size_word(here.size) + metal[here.material],
        origin=_called(study, origin),
        there=size_word(origin.conductors.size) + metal[there.material],
    )  # fmt: skip


def _taken_out(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    origin = _origin(study, run)
    if origin is not None and run.since is not None:
        label = f"Take out {_called(study, origin)} when {run_name(study, run)} is made"
        yield relabelled(study, "runs", origin.id, label, until=run.since)
    yield from _new_material(study, finding)


@on_run(
    "reused-wire-taken-out", topic=TOPIC, severity="warning", cite="common practice",
    remedies=_taken_out,
)  # fmt: skip
def reused_wire_taken_out(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Conductors that are used again are taken out where they were.

    The run that they come from does not stand any more (common practice).
    """
    origin = _origin(study, facts.run)
    if origin is not None and origin.id in study.standing.runs:
        yield found(
            "reused-wire-taken-out", facts.run.id,
            "{run} is made of {origin}, which still stands.",
            run=run_name(study, facts.run), origin=_called(study, origin),
        )  # fmt: skip


def _other_origin(study: Study, finding: Finding) -> Iterator[Edit]:
    piece = study.project.equipment[finding.where]
    label = f"Buy {piece.name} new"
    yield relabelled(study, "equipment", piece.id, label, reuses=None)


@on_piece(
    "reused-piece-of-its-kind", topic=TOPIC, severity="warning", cite="common practice",
    remedies=_other_origin,
)  # fmt: skip
def reused_piece_of_its_kind(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """Equipment that is used again is of the kind that it was.

    A panel is made of a removed panel, which stands nowhere else any more (common practice).
    """
    piece = facts.piece
    if piece.reuses is None:
        return
    origin = study.project.equipment.get(piece.reuses)
    if origin is None:
        return
    stands = origin.id in study.standing.equipment
    if type(origin) is not type(piece) or stands:
        yield found(
            "reused-piece-of-its-kind", piece.id,
            "{piece} is made of {origin}, {what}.",
            piece=piece.name, origin=origin.name,
            what="which still stands" if stands else f"a {kind_of(origin)}",
        )  # fmt: skip
