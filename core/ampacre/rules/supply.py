"""Supply: what has none, what has two, and what has the wrong voltage."""

from collections.abc import Iterator

import msgspec

from ampacre.model import records as r
from ampacre.model.edits import alter, free_spaces, remove
from ampacre.model.project import Edit
from ampacre.rules.reading import place_name, run_name
from ampacre.rules.rule import Finding, found, on_piece, on_project
from ampacre.study.facts import EquipmentFacts
from ampacre.study.study import Study

TOPIC = "sources"

_FORMS_ITS_OWN = (r.UtilitySource, r.Generator)

_NOMINAL_V = ((100, 130, 120), (190, 215, 208), (216, 255, 240), (260, 290, 277), (430, 500, 480))
"""Ranges of marked voltages and the nominal voltage that each is for (ANSI C84.1)."""


@on_piece("has-supply", topic=TOPIC, severity="warning", cite="common practice")
def has_supply(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """Every piece but a source is supplied.

    Nothing can be computed for a piece that no source reaches in the normal state.
    """
    piece = facts.piece
    if facts.supplied or isinstance(piece, _FORMS_ITS_OWN):
        return
    if isinstance(piece, r.Battery) and piece.forming:
        return
    yield found("has-supply", piece.id, "Nothing supplies {piece}.", piece=piece.name)


@on_project("one-forming-source", topic=TOPIC, severity="violation", cite="transfer_equipment")
def one_forming_source(study: Study) -> Iterator[Finding]:
    """One source alone forms the voltage of what it supplies.

    Two sources that are not made to run in parallel meet only by way of a transfer switch (NEC
    702.5).
    """
    for island in study.islands:
        for rival in island.rivals:
            yield found(
                "one-forming-source", rival,
                "{rival} is connected to what {root} supplies, with no transfer switch between.",
                rival=place_name(study, rival), root=place_name(study, island.root),
            )  # fmt: skip


def _leave_out(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    yield remove(study.project, [run.id], f"Leave out {run_name(study, run)}")


@on_project(
    "one-path", topic=TOPIC, severity="violation", cite="common practice", remedies=_leave_out
)
def one_path(study: Study) -> Iterator[Finding]:
    """Each piece is reached by one path from its source.

    A second path in the normal state parallels conductors that are not made to be, and defeats
    switching off by either (common practice; NEC 310.10 for conductors in parallel).
    """
    for island in study.islands:
        for key in island.loops:
            run = study.standing.runs[key]
            yield found(
                "one-path", key,
                "A second path leads from {source} to {target}: {run}. It is left out of the numbers.",
                run=run_name(study, run), source=place_name(study, run.source),
                target=place_name(study, run.target),
            )  # fmt: skip


def _nominal(volts: float) -> float:
    return next((nominal for low, high, nominal in _NOMINAL_V if low <= volts <= high), volts)


def _other_legs(study: Study, finding: Finding) -> Iterator[Edit]:
    """Move the circuit to as many spaces as its voltage asks for, where the panel has them."""
    feed = study.equipment(finding.where).feed
    if feed is None:
        return
    run = study.project.runs[feed]
    source = study.project.equipment[run.source]
    system = study.equipment(source.id).system
    marked_v = _nominal(float(finding.values["marked_v"]))
    if system is None or not isinstance(source, r.Panel):
        return
    volts = {1: abs(system.leg_v[0]), 2: system.line_v if len(system.legs) > 1 else 0.0}
    for poles, volts_there in volts.items():
        if abs(volts_there - marked_v) < 1:
            spaces = free_spaces(study.project, source, poles, moving=run)
            if spaces:
                edit = alter(study.project, "runs", run.id, spaces=spaces, legs="")
                kind = "one leg" if poles == 1 else "two legs"
                label = f"Connect {run_name(study, run)} to {kind}"
                yield msgspec.structs.replace(edit, label=label)


@on_piece(
    "voltage-suits", r.Charger, r.Motor, r.Load,
    topic=TOPIC, severity="violation", cite="NEC 110.4", remedies=_other_legs,
)  # fmt: skip
def voltage_suits(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A piece gets the voltage that it is marked for.

    The nominal voltage of its circuit is the one for its marked voltage (NEC 110.4; ANSI C84.1).
    A 240 V piece on 208 V works at less power: that is advice.
    """
    piece = facts.piece
    assert isinstance(piece, (r.Charger, r.Motor, r.Load))
    if piece.volts is None or facts.feed is None:
        return
    circuit_v = study.run(facts.feed).volts
    wanted_v, given_v = _nominal(piece.volts), _nominal(circuit_v)
    if wanted_v == given_v:
        return
    low = (wanted_v, given_v) == (240, 208)
    yield found(
        "voltage-suits", piece.id,
        "{piece} is marked {marked_v}; its circuit gives {circuit_v}.",
        severity="advice" if low else "violation",
        piece=piece.name, marked_v=piece.volts, circuit_v=circuit_v,
    )  # fmt: skip
