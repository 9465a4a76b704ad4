"""Packaged units and sealed compressors, by their marking and their rated-load current."""

from collections.abc import Iterator
from typing import Final

from ampacre.codebook.devices import standard_below
from ampacre.model import records as r
from ampacre.model.project import Edit
from ampacre.rules.motors import current_of, goes_by_marking, smaller_device
from ampacre.rules.paths import feed_of, next_larger
from ampacre.rules.questions import ask_of_piece
from ampacre.rules.reading import assumed_terminals, known, supply_device_a
from ampacre.rules.rule import Finding, exceeds, found, on_piece
from ampacre.study.facts import EquipmentFacts
from ampacre.study.study import Study

TOPIC = "motors"

LEAST_DEVICE_A: Final = 15.0
COMPRESSOR_FACTOR, COMPRESSOR_STARTING_FACTOR = 1.75, 2.25
"""Device of a sealed compressor, and the most where it does not start (NEC 440.22(A))."""


@on_piece(
    "compressor-device-within-limit", r.Motor,
    topic=TOPIC, severity="violation", cite="compressor_device", remedies=smaller_device,
)  # fmt: skip
def compressor_device_within_limit(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A sealed compressor's device is not above 175 % of its rated-load current.

    Not rounded up, 15 A at least; up to 225 % only where it does not start on less, which makes it
    advice (NEC 440.22(A)).
    """
    motor, run = facts.piece, feed_of(study, facts)
    assert isinstance(motor, r.Motor)
    if run is None or not motor.compressor or goes_by_marking(motor):
        return
    device_a, current_a = supply_device_a(run), current_of(facts, run)
    if device_a is None or not current_a:
        return
    usual_a = standard_below(COMPRESSOR_FACTOR * current_a, study.settings.edition)
    allowed_a = max(LEAST_DEVICE_A, usual_a)
    if exceeds(device_a, allowed_a):
        most_a = COMPRESSOR_STARTING_FACTOR * current_a
        yield found(
            "compressor-device-within-limit", motor.id,
            "{piece} takes {current_a} and may have a device of {allowed_a}, or {most_a} where it "
            "does not start on less; its device is {device_a}.",
            severity="violation" if exceeds(device_a, most_a) else "advice", piece=motor.name,
            current_a=current_a, allowed_a=allowed_a, most_a=most_a, device_a=device_a,
        )  # fmt: skip


def _larger_unit_wire(study: Study, finding: Finding) -> Iterator[Edit]:
    run = feed_of(study, study.equipment(finding.where))
    return next_larger(study, run, float(finding.values["marked_a"])) if run else iter(())


@on_piece(
    "unit-wire-as-marked", r.Motor,
    topic=TOPIC, severity="violation", cite="unit_nameplate", remedies=_larger_unit_wire,
)  # fmt: skip
def unit_wire_as_marked(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """The conductors of a packaged unit carry its marked minimum circuit ampacity.

    Air conditioners and heat pumps are wired by their marking, which contains the 125 % of the
    largest motor (NEC 440.4(B)).
    """
    motor, run = facts.piece, feed_of(study, facts)
    assert isinstance(motor, r.Motor)
    if motor.minimum_circuit_a is None or run is None or run.ampacity is None:
        return
    carried_a = run.ampacity.allowed_a
    if known(run.size) is not None and exceeds(motor.minimum_circuit_a, carried_a):
        yield found(
            "unit-wire-as-marked", motor.id,
            "{piece} is marked with a minimum circuit ampacity of {marked_a}; its conductors carry "
            "{carried_a}.{assumed}",
            piece=motor.name, marked_a=motor.minimum_circuit_a, carried_a=carried_a,
            assumed=assumed_terminals(run),
        )  # fmt: skip


@on_piece(
    "unit-device-as-marked", r.Motor,
    topic=TOPIC, severity="violation", cite="unit_nameplate", remedies=smaller_device,
)  # fmt: skip
def unit_device_as_marked(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """The device of a packaged unit is not above its marked maximum.

    The marking stands for the percentages of NEC 430.52 and 440.22 (440.4(B)).
    """
    motor, run = facts.piece, feed_of(study, facts)
    assert isinstance(motor, r.Motor)
    device_a = supply_device_a(run) if run else None
    if motor.maximum_device_a is None or device_a is None:
        return
    if exceeds(device_a, motor.maximum_device_a):
        yield found(
            "unit-device-as-marked", motor.id,
            "{piece} is marked with a device of {marked_a} at most; its device is {device_a}.",
            piece=motor.name, marked_a=motor.maximum_device_a, device_a=device_a,
            allowed_a=standard_below(motor.maximum_device_a, study.settings.edition),
        )  # fmt: skip


@ask_of_piece(
    "unit-disconnect-in-sight", r.Motor,
    topic=TOPIC, severity="violation", cite="compressor_sight",
    text="Is the unit's disconnect in sight of it and within reach?",
)  # fmt: skip
def unit_disconnect_in_sight(_study: Study, facts: EquipmentFacts) -> bool:
    """The disconnect of an air conditioner, heat pump or cooler is in sight of it.

    Within sight and readily accessible, on the unit or beside it (NEC 440.14, 440.12).
    """
    return isinstance(facts.piece, r.Motor) and facts.piece.compressor and facts.supplied
