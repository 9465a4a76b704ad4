"""Standby generators against the load that is transferred to them."""

from collections.abc import Iterator

import msgspec

from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.model.project import Edit
from ampacre.model.system import SYSTEMS
from ampacre.rules.rule import Finding, Severity, exceeds, found, on_piece
from ampacre.rules.transformers import full_load_a
from ampacre.study.facts import EquipmentFacts
from ampacre.study.study import Study

TOPIC = "sources"

_SEVERITY: dict[bool | None, Severity] = {True: "violation", None: "warning", False: "advice"}
"""By whether the transfer is automatic: by hand, people choose what they switch on."""


def switches_of(study: Study, generator: str) -> list[EquipmentFacts]:
    """Transfer switches whose standby side a generator feeds, through whatever lies between."""
    switches: dict[str, EquipmentFacts] = {}
    above = [generator]
    while above:
        for target, run in study.network.leaving(above.pop()):
            facts = study.equipment(target)
            if not isinstance(facts.piece, r.TransferSwitch):
                above.append(target)
            elif study.run(run).run.lands_on == "standby":
                switches[target] = facts
    return list(switches.values())


def _transferred(switches: list[EquipmentFacts]) -> tuple[float, float]:
    """Load of all switches of a set together: calculated [kVA], and on the heavier leg [A]."""
    demands = [switch.transferred for switch in switches if switch.transferred]
    load_kva = sum(demand.calculated_va for demand in demands) / 1000
    return load_kva, sum(demand.heavier_a for demand in demands)


def _is_short(piece: r.Generator, load_kva: float, load_a: float) -> bool:
    system = SYSTEMS.get(piece.system)
    if piece.kw is None or system is None:
        return False
    rated_a = full_load_a(piece.kva or piece.kw, system)
    return exceeds(load_kva, piece.kw) or exceeds(load_a, rated_a)


def _manage_load(study: Study, finding: Finding) -> Iterator[Edit]:
    """Let load managers keep the marked loads off the set, where that is enough."""
    switches = switches_of(study, finding.where)
    changes = Edit("", ())
    for switch in switches:
        assert isinstance(switch.piece, r.TransferSwitch)
        if not switch.piece.load_manager:
            one = alter(study.project, "equipment", switch.piece.id, load_manager=True)
            changes = changes.then(one)
    after = study.fork(study.project.apply(changes))
    generator = study.project.equipment[finding.where]
    assert isinstance(generator, r.Generator)
    if changes.changes and not _is_short(
        generator, *_transferred(switches_of(after, generator.id))
    ):
        label = f"Let a load manager keep the marked loads off {generator.name}"
        yield msgspec.structs.replace(changes, label=label)


@on_piece(
    "generator-carries-transferred-load", r.Generator,
    topic=TOPIC, severity="violation", cite="generator_capacity", remedies=_manage_load,
)  # fmt: skip
def generator_carries_transferred_load(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A standby set carries the load that is transferred to it.

    Automatic transfer without load management takes the whole calculated load behind the switch,
    with management what it leaves on; by hand the user chooses, which makes this advice (NEC
    702.4). Compared in kW at unity power factor and in amperes per leg.
    """
    piece = facts.piece
    assert isinstance(piece, r.Generator)
    switches = switches_of(study, piece.id)
    if piece.kw is None or not switches:
        return
    load_kva, load_a = _transferred(switches)
    if not _is_short(piece, load_kva, load_a):
        return
    kinds = [getattr(switch.piece, "automatic", None) for switch in switches]
    automatic = True if True in kinds else None if None in kinds else False
    how = {True: "automatically", None: "(by hand or automatically, not known)", False: "by hand"}
    yield found(
        "generator-carries-transferred-load", piece.id,
        "{piece} gives {rated_kw}, {rated_a} a leg; {load_kva} is transferred to it {how}, "
        "{load_a} on the heavier leg.",
        severity=_SEVERITY[automatic], piece=piece.name, rated_kw=piece.kw,
        rated_a=full_load_a(piece.kva or piece.kw, SYSTEMS[piece.system]), load_kva=load_kva,
        load_a=load_a, how=how[automatic],
    )  # fmt: skip
