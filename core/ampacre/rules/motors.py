"""Motors: their currents, devices, overloads and disconnects."""

from collections.abc import Iterator
from typing import Final

import msgspec

from ampacre.codebook.demand import motor_full_load_a
from ampacre.codebook.devices import standard_below
from ampacre.codebook.motors import device_limit_pct, starting_limit_pct
from ampacre.codebook.ratings import SWITCH_A
from ampacre.model import records as r
from ampacre.model.project import Edit
from ampacre.rules.paths import feed_of, relabelled
from ampacre.rules.questions import ask_of_piece
from ampacre.rules.reading import an, is_circuit, known, run_name, supply_device_a
from ampacre.rules.resizing import step_up, with_device
from ampacre.rules.rule import Finding, exceeds, found, on_piece, on_run
from ampacre.sizing.motors import motor_device_a, motor_feeder_device_a
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.fed import below
from ampacre.study.leaves import motor_a
from ampacre.study.study import Study

TOPIC = "motors"

DISCONNECT_FACTOR: Final = 1.15


def current_of(facts: EquipmentFacts, run: RunFacts) -> float | None:
    """Full-load current that a motor's circuit goes by [A]."""
    assert isinstance(facts.piece, r.Motor)
    return motor_a(facts.piece, run.legs, run.system) if run.system is not None else None


def phases_of(run: RunFacts) -> int:
    """Phases of a motor's circuit."""
    return 3 if len(run.legs) == 3 else 1


def _by_table(study: Study, finding: Finding) -> Iterator[Edit]:
    piece = study.project.equipment[finding.where]
    label = f"Take the current of {piece.name} from the table"
    yield relabelled(study, "equipment", piece.id, label, full_load_a=None)


@on_piece(
    "motor-current-by-table", r.Motor,
    topic=TOPIC, severity="advice", cite="motor_current", remedies=_by_table,
)  # fmt: skip
def motor_current_by_table(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A motor's circuit goes by the table's current for its power, where that is larger.

    Conductors, switches and devices are sized by NEC Tables 430.248 and 430.250 and not by the
    nameplate; overload protection goes by the nameplate (430.6(A)).
    """
    motor, run = facts.piece, feed_of(study, facts)
    assert isinstance(motor, r.Motor)
    if motor.power_hp is None or motor.full_load_a is None or run is None:
        return
    listed = motor_full_load_a(motor.power_hp, run.volts, phases_of(run))
    if listed is not None and exceeds(listed.value, motor.full_load_a):
        yield found(
            "motor-current-by-table", motor.id,
            "{piece} is marked {marked_a}; the table gives {listed_a} for {power_hp}, which its "
            "circuit goes by.",
            piece=motor.name, marked_a=motor.full_load_a, listed_a=listed.value,
            power_hp=motor.power_hp,
        )  # fmt: skip


def smaller_device(study: Study, finding: Finding) -> Iterator[Edit]:
    """Fit a motor's circuit with the largest device that it may have."""
    run = feed_of(study, study.equipment(finding.where))
    allowed_a = float(finding.values["allowed_a"])
    if run is not None and allowed_a and not exceeds(run.calculated_a, allowed_a):
        edit = with_device(study, run, allowed_a)
        if edit is not None:
            yield edit


def goes_by_marking(motor: r.Motor) -> bool:
    """Whether another rule judges a motor's device: that of its marking, its maker or a drive."""
    return motor.drive_fed or motor.maximum_device_a is not None


@on_piece(
    "motor-device-within-limit", r.Motor,
    topic=TOPIC, severity="violation", cite="motor_branch_device", remedies=smaller_device,
)  # fmt: skip
def motor_device_within_limit(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A motor's device is not above its part of the full-load current.

    Breakers 250 %, time-delay fuses 175 %, and the next standard rating, 15 A at least (NEC 430.52).
    Up to 400 % (300 % above 100 A; fuses 225 %) only where the motor does not start on less, which
    makes it advice.
    """
    motor, run = facts.piece, feed_of(study, facts)
    assert isinstance(motor, r.Motor)
    if run is None or goes_by_marking(motor) or motor.compressor:
        return
    device_a, current_a = supply_device_a(run), current_of(facts, run)
    if device_a is None or not current_a:
        return
    kind = run.run.device.kind if run.run.device else "breaker"
    edition = study.settings.edition
    allowed_a = motor_device_a(current_a, kind, phases_of(run), edition)
    if allowed_a is None or not exceeds(device_a, allowed_a):
        return
    most_a = starting_limit_pct(kind, current_a).value / 100 * current_a
    beyond = exceeds(device_a, most_a)
    yield found(
        "motor-device-within-limit", motor.id,
        "{piece} takes {current_a} and may have a device of {allowed_a}, {pct} of it rounded up, "
        "or {most_a} where it does not start on less; its device is {device_a}.",
        severity="violation" if beyond else "advice", piece=motor.name, current_a=current_a,
        allowed_a=allowed_a, pct=device_limit_pct(kind, phases_of(run)).value, most_a=most_a,
        device_a=device_a,
    )  # fmt: skip


def _set_lower(study: Study, finding: Finding) -> Iterator[Edit]:
    piece = study.project.equipment[finding.where]
    allowed_a = round(float(finding.values["allowed_a"]), 2)
    label = f"Set the overload of {piece.name} to {allowed_a:g} A"
    if allowed_a > 0:
        yield relabelled(study, "equipment", piece.id, label, overload_a=allowed_a)


@on_piece(
    "motor-overload-setting", r.Motor,
    topic=TOPIC, severity="warning", cite="motor_overload", remedies=_set_lower,
)  # fmt: skip
def motor_overload_setting(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A motor's overload protection is set by its nameplate.

    Not above 125 % of the nameplate current with a service factor of 1.15 or more, else 115 % (NEC
    430.32); a service factor that is not entered is taken as 1.0.
    """
    motor = facts.piece
    assert isinstance(motor, r.Motor)
    if motor.overload_a is None or motor.full_load_a is None:
        return
    factor = 1.25 if (motor.service_factor or 1.0) >= 1.15 else 1.15
    allowed_a = factor * motor.full_load_a
    if exceeds(motor.overload_a, allowed_a):
        yield found(
            "motor-overload-setting", motor.id,
            "The overload of {piece} is set to {setting_a}; {share_pct} of its {marked_a} is "
            "{allowed_a}.",
            piece=motor.name, setting_a=motor.overload_a, share_pct=100 * factor,
            marked_a=motor.full_load_a, allowed_a=allowed_a,
        )  # fmt: skip


def _larger_switch(study: Study, finding: Finding) -> Iterator[Edit]:
    rating_a = step_up(float(finding.values["needed_a"]), SWITCH_A)
    switch = study.equipment(finding.where).parent
    if rating_a is not None and switch is not None:
        name = study.project.equipment[switch].name
        label = f"Fit {name} with {an(f'{rating_a:g} A switch')}"
        yield relabelled(study, "equipment", switch, label, rating_a=rating_a)


@on_piece(
    "motor-disconnect-rating", r.Motor,
    topic=TOPIC, severity="violation", cite="motor_disconnect", remedies=_larger_switch,
)  # fmt: skip
def motor_disconnect_rating(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A motor's disconnect is rated 115 % of its full-load current.

    The switch next to the motor, which must have a horsepower rating too (NEC 430.110(A), 440.12).
    """
    motor, run = facts.piece, feed_of(study, facts)
    assert isinstance(motor, r.Motor)
    switch = study.equipment(facts.parent).piece if facts.parent else None
    if run is None or not isinstance(switch, r.Disconnect) or switch.rating_a is None:
        return
    current_a = current_of(facts, run)
    if current_a and exceeds(DISCONNECT_FACTOR * current_a, switch.rating_a):
        yield found(
            "motor-disconnect-rating", motor.id,
            "{switch} is rated {rating_a}; for {piece}, which takes {current_a}, it must be rated "
            "{needed_a}.",
            switch=switch.name, rating_a=switch.rating_a, piece=motor.name, current_a=current_a,
            needed_a=DISCONNECT_FACTOR * current_a,
        )  # fmt: skip


def _feeder_device(study: Study, finding: Finding) -> Iterator[Edit]:
    facts = study.run(finding.where)
    allowed_a = float(finding.values["allowed_a"])
    if allowed_a and not exceeds(facts.sizing_a, allowed_a):
        device = msgspec.structs.replace(facts.run.device or r.Device(), rating_a=allowed_a)
        label = f"Fit {run_name(study, facts.run)} with {an(f'{allowed_a:g} A device')}"
        yield relabelled(study, "runs", facts.run.id, label, device=device)


@on_run(
    "motor-feeder-device", topic=TOPIC, severity="violation", cite="motor_feeder_device",
    roles=("feeder",), remedies=_feeder_device,
)  # fmt: skip
def motor_feeder_device(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A feeder of motors alone is protected by their devices and currents, or by its ampacity.

    The largest motor's device and the currents of the others, rounded down (NEC 430.62(A)); more
    where the conductors carry more (430.62(B)). The next standard rating above an ampacity is not
    for these feeders.
    """
    device_a, carried = supply_device_a(facts), facts.ampacity
    if device_a is None or carried is None or known(facts.size) is None:
        return
    if not exceeds(device_a, carried.allowed_a) or not is_circuit(study, facts):
        return
    tally = study.equipment(facts.run.target).tally or {}
    if not tally or not all(amount.motor_a for amount in tally.values()):
        return
    devices_a, currents_a = _motors(study, facts.run.target)
    edition = study.settings.edition
    by_motors_a = motor_feeder_device_a(devices_a, currents_a, 0.0, edition)
    allowed_a = max(by_motors_a, standard_below(carried.allowed_a, edition))
    if exceeds(device_a, allowed_a):
        yield found(
            "motor-feeder-device", facts.run.id,
            "{run} feeds motors alone: their devices and currents allow {by_motors_a}, its "
            "conductors carry {carried_a}; its device is {device_a}.",
            run=run_name(study, facts.run), by_motors_a=by_motors_a, carried_a=carried.allowed_a,
            device_a=device_a, allowed_a=allowed_a,
        )  # fmt: skip


def _motors(study: Study, key: str) -> tuple[list[float], list[float]]:
    """Largest devices and full-load currents of the motors at or below a piece [A]."""
    devices_a: list[float] = []
    currents_a: list[float] = []
    for other in (study.equipment(key), *below(study, key)):
        run = feed_of(study, other)
        if not isinstance(other.piece, r.Motor) or run is None:
            continue
        current_a = current_of(other, run)
        if current_a:
            kind = run.run.device.kind if run.run.device else "breaker"
            most_a = motor_device_a(current_a, kind, phases_of(run), study.settings.edition)
            devices_a.append(most_a or 0.0)
            currents_a.append(current_a)
    return devices_a, currents_a


@ask_of_piece(
    "motor-disconnect-in-sight", r.Motor,
    topic=TOPIC, severity="violation", cite="motor_sight",
    text="Is a disconnect within 50 ft and in sight of the motor and its controller, or can it be "
    "locked open?",
)  # fmt: skip
def motor_disconnect_in_sight(_study: Study, facts: EquipmentFacts) -> bool:
    """A disconnect is in sight of each motor and its controller.

    Visible and within 50 ft, or lockable open where the exceptions allow that (NEC 430.102).
    """
    return isinstance(facts.piece, r.Motor) and not facts.piece.compressor and facts.supplied
