"""Meters: their bond, their place in the line, and what they carry."""

from collections.abc import Iterator
from typing import Final

import msgspec

from ampacre.codebook.ratings import METER_A
from ampacre.model import records as r
from ampacre.model.edits import insert_on, new_id, next_name
from ampacre.model.project import Change, Edit
from ampacre.rules.by_service import on_service
from ampacre.rules.paths import feed_of, labelled, protected_a, relabelled, upward
from ampacre.rules.resizing import step_up
from ampacre.rules.rule import Finding, exceeds, found, on_piece
from ampacre.rules.supplies import Service
from ampacre.study.facts import EquipmentFacts
from ampacre.study.study import Study

TOPIC = "metering"

SELF_CONTAINED_A: Final = 320.0
"""Continuous current above which utilities measure by current transformers (common practice)."""


def _other_bond(study: Study, finding: Finding) -> Iterator[Edit]:
    meter = study.project.equipment[finding.where]
    assert isinstance(meter, r.Meter)
    bond = not meter.neutral_bonded
    label = f"{'bond the neutral in' if bond else 'lift the neutral bond of'} {meter.name}"
    yield relabelled(study, "equipment", meter.id, label, neutral_bonded=bond)


@on_piece(
    "meter-housing-bonded", r.Meter,
    topic=TOPIC, severity="violation", cite="meter_bond", remedies=_other_bond,
)  # fmt: skip
def meter_housing_bonded(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A meter's housing ahead of the service disconnect is bonded to the neutral.

    There is no grounding conductor there; the neutral is the only way back of a fault (NEC
    230.82(2), 250.92, 250.142(A)).
    """
    meter = facts.piece
    assert isinstance(meter, r.Meter)
    neutral = facts.system is not None and facts.system.neutral
    if facts.ahead_of_service and neutral and meter.neutral_bonded is False:
        yield found(
            "meter-housing-bonded", meter.id,
            "The housing of {meter}, ahead of the service disconnect, is not bonded to the neutral.",
            meter=meter.name,
        )  # fmt: skip


@on_piece(
    "private-meter-neutral-apart", r.Meter,
    topic=TOPIC, severity="violation", cite="submeter", remedies=_other_bond,
)  # fmt: skip
def private_meter_neutral_apart(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A meter behind the service disconnect keeps the neutral apart from its housing.

    It stands in a feeder; a bond in it is a second one and puts neutral current on grounding
    conductors (NEC 250.142(B)). Many sockets are made with the bond and have to be altered.
    """
    meter = facts.piece
    assert isinstance(meter, r.Meter)
    if meter.neutral_bonded and facts.supplied and _behind_a_bond(study, facts):
        yield found(
            "private-meter-neutral-apart", meter.id,
            "The neutral is bonded in {meter}, behind {disconnect}.",
            meter=meter.name, disconnect=_service_above(study, facts) or "the source",
        )  # fmt: skip


def _service_above(study: Study, facts: EquipmentFacts) -> str:
    """Name the service disconnect on the supply side; "" where there is none."""
    above = (parent for _, parent in upward(study, facts.piece.id))
    return next((parent.piece.name for parent in above if parent.at_service), "")


def _behind_a_bond(study: Study, facts: EquipmentFacts) -> bool:
    return not facts.ahead_of_service and bool(_service_above(study, facts))


def _larger_socket(study: Study, finding: Finding) -> Iterator[Edit]:
    wanted = step_up(float(finding.values["device_a"]), METER_A)
    if wanted is not None:
        name = study.project.equipment[finding.where].name
        label = f"fit {name} with a class {wanted:g} socket"
        yield relabelled(study, "equipment", finding.where, label, class_a=wanted)


@on_piece(
    "private-meter-rating", r.Meter,
    topic=TOPIC, severity="warning", cite="submeter", remedies=_larger_socket,
)  # fmt: skip
def private_meter_rating(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A meter in a feeder is rated for the device ahead of it.

    Nothing else keeps its current down (NEC 110.10, common practice).
    """
    meter, run = facts.piece, feed_of(study, facts)
    assert isinstance(meter, r.Meter)
    if run is None or meter.class_a is None or not _behind_a_bond(study, facts):
        return
    device_a = protected_a(study, run)
    if device_a is not None and exceeds(device_a, meter.class_a):
        yield found(
            "private-meter-rating", meter.id,
            "{meter} is a class {class_number} socket behind a device of {device_a}.",
            meter=meter.name, class_number=f"{meter.class_a:g}", device_a=device_a,
        )  # fmt: skip


def _other_role(study: Study, finding: Finding) -> Iterator[Edit]:
    meter = study.project.equipment[finding.where]
    role = "revenue" if study.equipment(meter.id).ahead_of_service else "private"
    label = f"take {meter.name} for a {role} meter"
    yield relabelled(study, "equipment", meter.id, label, role=role)


@on_piece(
    "meter-role-fits-place", r.Meter,
    topic=TOPIC, severity="warning", cite="meter_place", remedies=_other_role,
)  # fmt: skip
def meter_role_fits_place(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A revenue meter stands ahead of the service disconnect, a private one behind it.

    A socket is no disconnect: conductors past it are service conductors up to the disconnect (NEC
    230.66, Article 100). What stands behind it is in a feeder.
    """
    meter = facts.piece
    assert isinstance(meter, r.Meter)
    if meter.role == "private" and facts.ahead_of_service:
        place = "ahead of any service disconnect"
    elif meter.role != "private" and _behind_a_bond(study, facts):
        place = f"behind {_service_above(study, facts)}, a service disconnect"
    else:
        return
    yield found(
        "meter-role-fits-place", meter.id, "{meter}, a {role} meter, stands {place}.",
        meter=meter.name, role=meter.role, place=place,
    )  # fmt: skip


def _by_transformers(study: Study, finding: Finding) -> Iterator[Edit]:
    name = study.project.equipment[finding.where].name
    label = f"measure by current transformers at {name}"
    yield relabelled(study, "equipment", finding.where, label, current_transformers=True)


@on_piece(
    "meter-by-current-transformers", r.Meter,
    topic=TOPIC, severity="advice", cite="meter", remedies=_by_transformers,
)  # fmt: skip
def meter_by_current_transformers(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """Above 320 A many utilities measure by current transformers.

    A self-contained socket of class 320 is the largest that most of them supply for a service of
    400 A (common practice; the utility decides).
    """
    meter = facts.piece
    assert isinstance(meter, r.Meter)
    if meter.current_transformers is not False or facts.demand is None:
        return
    load_a = facts.demand.heavier_a
    if meter.role != "private" and exceeds(load_a, SELF_CONTAINED_A):
        yield found(
            "meter-by-current-transformers", meter.id,
            "{meter} carries {load_a} itself; above {limit_a} most utilities ask for current "
            "transformers.",
            meter=meter.name, load_a=load_a, limit_a=SELF_CONTAINED_A,
        )  # fmt: skip


def _meter_it(study: Study, finding: Finding) -> Iterator[Edit]:
    """Put a revenue meter into the run that comes to the customer."""
    facts = study.equipment(finding.where)
    if facts.feed is None:
        return
    meter = r.Meter(
        id=new_id(), name=next_name(study.project, "meter"), structure=facts.piece.structure,
        location=facts.piece.location, since=r.WORK,
    )  # fmt: skip
    run = study.project.runs[facts.feed]
    edit = insert_on(study.project, run, meter)
    placed, before, joint = edit.changes
    assert isinstance(joint.after, r.Run)
    carried = msgspec.structs.replace(joint.after, role="service", owner="customer")
    changes = (placed, before, Change("runs", joint.key, None, carried))
    yield labelled(
        msgspec.structs.replace(edit, changes=changes), f"put a meter ahead of {facts.piece.name}"
    )


@on_service("service-is-metered", topic=TOPIC, severity="advice", cite="meter", remedies=_meter_it)
def service_is_metered(study: Study, service: Service) -> Iterator[Finding]:
    """A service has a revenue meter ahead of its disconnect.

    The utility says where it stands and of what class it is (common practice); its short-circuit
    rating and its bond can only be checked where it is drawn.
    """
    for facts in service.disconnects:
        line = [facts, *(parent for _, parent in upward(study, facts.piece.id))]
        if not any(isinstance(each.piece, r.Meter) for each in line):
            yield found(
                "service-is-metered", service.entry.piece.id,
                "No meter is drawn between the utility and {disconnect}.",
                about=facts.piece.id, disconnect=facts.piece.name,
            )  # fmt: skip
            break
