"""Surge protective devices: where one must be, and what it must stand."""

from collections.abc import Iterator
from typing import Final

from ampacre.codebook.devices import INTERRUPTING_KA
from ampacre.model import records as r
from ampacre.model.project import Edit
from ampacre.rules.paths import dwelling_near, relabelled
from ampacre.rules.questions import ask_of_piece
from ampacre.rules.reading import how_far
from ampacre.rules.resizing import step_up
from ampacre.rules.rule import Finding, exceeds, found, on_piece
from ampacre.study.facts import EquipmentFacts
from ampacre.study.study import Study

TOPIC = "surge protection"

LEAST_KA: Final = 10.0
"""Nominal discharge current from 2023 (NEC 230.67(E), 215.18(E), 225.42(E))."""


def surge_stated(_study: Study, facts: EquipmentFacts) -> bool | None:
    """Whether the drawing says that there is a surge protective device; None where it is silent."""
    piece = facts.piece
    assert isinstance(piece, (r.Panel, r.Disconnect))
    return None if piece.surge is None else piece.surge != "none"


@ask_of_piece(
    "dwelling-service-surge-protected", r.Panel, r.Disconnect,
    topic=TOPIC, severity="violation", cite="surge_protection", stated=surge_stated,
    text="Is there a surge protective device at or next to this service equipment?",
)  # fmt: skip
def dwelling_service_surge_protected(study: Study, facts: EquipmentFacts) -> bool:
    """A dwelling's service has surge protection.

    From 2020 a type 1 or type 2 device in the service equipment, next to it, or at each panel next
    behind it; also when the equipment is replaced (NEC 230.67).
    """
    if study.settings.edition == "2017" or not facts.at_service:
        return False
    return facts.work != "existing" and dwelling_near(study, facts)


def _stronger(study: Study, finding: Finding) -> Iterator[Edit]:
    name = study.project.equipment[finding.where].name
    label = f"fit {name} with a surge device of {LEAST_KA:g} kA"
    yield relabelled(study, "equipment", finding.where, label, surge_ka=LEAST_KA)


@on_piece(
    "surge-discharge-current", r.Panel, r.Disconnect,
    topic=TOPIC, severity="violation", cite="surge_rating", remedies=_stronger,
)  # fmt: skip
def surge_discharge_current(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A dwelling's surge device has a nominal discharge current of 10 kA or more.

    From 2023, at services and feeders of dwellings (NEC 230.67(E), 215.18(E), 225.42(E)).
    """
    piece = facts.piece
    assert isinstance(piece, (r.Panel, r.Disconnect))
    if study.settings.edition != "2023" or piece.surge_ka is None or piece.surge == "none":
        return
    if exceeds(LEAST_KA, piece.surge_ka) and dwelling_near(study, facts):
        yield found(
            "surge-discharge-current", piece.id,
            "The surge device at {piece} is rated for {rated_ka} of discharge current; a dwelling's "
            "has {least_ka} or more.",
            piece=piece.name, rated_ka=piece.surge_ka, least_ka=LEAST_KA,
        )  # fmt: skip


def _type_one(study: Study, finding: Finding) -> Iterator[Edit]:
    name = study.project.equipment[finding.where].name
    label = f"fit {name} with a surge device of type 1"
    yield relabelled(study, "equipment", finding.where, label, surge="type 1")


@on_piece(
    "surge-type-for-place", r.Disconnect,
    topic=TOPIC, severity="violation", cite="surge_type", remedies=_type_one,
)  # fmt: skip
def surge_type_for_place(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """Ahead of the service disconnect a surge device is of type 1.

    Type 2 devices stand behind a service disconnect's overcurrent device (NEC 242.14; 2017: 285.24).
    """
    piece = facts.piece
    assert isinstance(piece, r.Disconnect)
    if facts.ahead_of_service and piece.surge == "type 2":
        yield found(
            "surge-type-for-place", piece.id,
            "The surge device at {piece}, ahead of the service disconnect, is of type 2.",
            piece=piece.name,
        )  # fmt: skip


def _withstanding(study: Study, finding: Finding) -> Iterator[Edit]:
    wanted = step_up(float(finding.values["fault_ka"]), map(float, INTERRUPTING_KA))
    if wanted is not None:
        name = study.project.equipment[finding.where].name
        label = f"fit {name} with a surge device that stands {wanted:g} kA"
        yield relabelled(study, "equipment", finding.where, label, surge_short_circuit_ka=wanted)


@on_piece(
    "surge-withstands-fault", r.Panel, r.Disconnect,
    topic=TOPIC, severity="violation", cite="surge_fault", remedies=_withstanding,
)  # fmt: skip
def surge_withstands_fault(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A surge device stands the greatest fault at its terminals.

    Its marked short-circuit current rating against the fault of any kind over all states (NEC 242.8;
    2017: 285.6).
    """
    piece = facts.piece
    assert isinstance(piece, (r.Panel, r.Disconnect))
    if piece.surge_short_circuit_ka is None or piece.surge == "none" or facts.fault is None:
        return
    fault_ka = facts.fault.greatest.greatest_ka
    if exceeds(fault_ka, piece.surge_short_circuit_ka):
        severity, reaches = how_far(facts.fault)
        yield found(
            "surge-withstands-fault", piece.id,
            "The surge device at {piece} stands faults of {rated_ka}; the fault there {reaches} "
            "{fault_ka}.",
            severity=severity, reaches=reaches, piece=piece.name, rated_ka=piece.surge_short_circuit_ka, fault_ka=fault_ka,
        )  # fmt: skip
