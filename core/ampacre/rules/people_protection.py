"""Ground-fault and arc-fault protection of outlets: where an edition asks for it.

Whether it is there is stated with the circuit, or seen on site.
"""

from ampacre.codebook.ground_fault import ground_fault_protection
from ampacre.model import records as r
from ampacre.rules.paths import dwelling_near, feed_of
from ampacre.rules.questions import ask_of_piece
from ampacre.study.facts import EquipmentFacts
from ampacre.study.study import Study

TOPIC = "ground-fault protection"

_OUTDOOR_DEVICE_A = 50.0
_GROUND_V = 150.0


def _protected(study: Study, facts: EquipmentFacts) -> bool | None:
    run = feed_of(study, facts)
    return run.run.gfci_protected if run else None


def _has_receptacles(piece: r.Equipment) -> bool:
    return isinstance(piece, r.Load) and (
        piece.category == "receptacles" or bool(piece.receptacles)
    )


def _use(study: Study, facts: EquipmentFacts) -> str | None:
    structure = study.project.structures.get(facts.piece.structure or "")
    return structure.use if structure else None


def _place(study: Study, facts: EquipmentFacts) -> str | None:
    """Give the key of the table's place that a dwelling's receptacles are at."""
    if facts.piece.location == "outdoors":
        return "dwelling_outdoor_receptacle"
    return "dwelling_garage_accessory" if _use(study, facts) == "accessory" else None


def _low_to_ground(study: Study, facts: EquipmentFacts) -> bool:
    run = feed_of(study, facts)
    return run is not None and run.system is not None and run.system.ground_v <= _GROUND_V


@ask_of_piece(
    "dwelling-receptacles-protected", r.Load,
    topic=TOPIC, severity="violation", cite="gfci_dwelling", stated=_protected,
    text="Are these receptacles protected by a ground-fault device for people?",
)  # fmt: skip
def dwelling_receptacles_protected(study: Study, facts: EquipmentFacts) -> bool:
    """A dwelling's receptacles outdoors and in accessory buildings have ground-fault protection.

    125 V, 15 and 20 A in 2017; to 250 V on circuits of 150 V to ground or less from 2020 (NEC
    210.8(A)).
    """
    place = _place(study, facts)
    run, edition = feed_of(study, facts), study.settings.edition
    if place is None or run is None or not _has_receptacles(facts.piece):
        return False
    if ground_fault_protection(place, edition) is None or not dwelling_near(study, facts):
        return False
    return _low_to_ground(study, facts) and (edition != "2017" or run.volts <= 125)


@ask_of_piece(
    "outdoor-outlet-protected", r.Load, r.Motor,
    topic=TOPIC, severity="violation", cite="evse_outdoor_gfci", stated=_protected,
    text="Is this outdoor outlet protected by a ground-fault device for people?",
)  # fmt: skip
def outdoor_outlet_protected(study: Study, facts: EquipmentFacts) -> bool:
    """Outdoor outlets of a dwelling have ground-fault protection, hardwired ones too.

    From 2020, single-phase, 150 V to ground or less, 50 A or less; not lighting (NEC 210.8(F)).
    Listed air conditioners were exempt for a time; several states change this rule.
    """
    piece, run = facts.piece, feed_of(study, facts)
    lighting = isinstance(piece, r.Load) and piece.category == "lighting"
    if piece.location != "outdoors" or lighting or _has_receptacles(piece) or run is None:
        return False
    if ground_fault_protection("outdoor_outlets", study.settings.edition) is None:
        return False
    small = run.protecting_a is not None and run.protecting_a <= _OUTDOOR_DEVICE_A
    single_phase = len(run.legs) < 3
    return small and single_phase and _low_to_ground(study, facts) and dwelling_near(study, facts)


@ask_of_piece(
    "other-receptacles-protected", r.Load,
    topic=TOPIC, severity="violation", cite="gfci_other", stated=_protected,
    text="Are these receptacles protected by a ground-fault device for people?",
)  # fmt: skip
def other_receptacles_protected(study: Study, facts: EquipmentFacts) -> bool:
    """Receptacles outdoors elsewhere than at a dwelling have ground-fault protection.

    Single-phase to 50 A, three-phase to 100 A, 150 V to ground or less (NEC 210.8(B)); so have
    those at sinks, in damp places, garages and unfinished basements.
    """
    piece = facts.piece
    outside = piece.location == "outdoors" or _use(study, facts) == "outdoor"
    if not outside or not _has_receptacles(piece) or dwelling_near(study, facts):
        return False
    run = feed_of(study, facts)
    most_a = 100.0 if run is not None and len(run.legs) == 3 else 50.0
    small = run is not None and run.protecting_a is not None and run.protecting_a <= most_a
    return small and _low_to_ground(study, facts)


@ask_of_piece(
    "pump-drive-with-protection", r.Motor,
    topic=TOPIC, severity="ask", cite="evse_outdoor_gfci",
    text="Does the drive's maker say that it works behind a ground-fault device?",
)  # fmt: skip
def pump_drive_with_protection(study: Study, facts: EquipmentFacts) -> bool:
    """A pump's drive outdoors works behind the ground-fault protection that its place asks for.

    An outdoor pump at a dwelling is an outdoor outlet (NEC 210.8(F)); drives leak enough to trip
    some devices.
    """
    motor = facts.piece
    assert isinstance(motor, r.Motor)
    outdoors = motor.location == "outdoors" and study.settings.edition != "2017"
    return motor.drive_fed and outdoors and dwelling_near(study, facts)


@ask_of_piece(
    "dwelling-arc-fault", r.Load,
    topic=TOPIC, severity="violation", cite="arc_fault",
    text="Is this circuit protected by an arc-fault device, where it serves living rooms?",
)  # fmt: skip
def dwelling_arc_fault(study: Study, facts: EquipmentFacts) -> bool:
    """120 V circuits to the living rooms of a dwelling have arc-fault protection.

    Circuits of 15 and 20 A, and from 2023 of 10 A too where there are any (NEC 210.12).
    """
    load, run = facts.piece, feed_of(study, facts)
    if not isinstance(load, r.Load) or load.serves is None or run is None:
        return False
    if load.category not in ("lighting", "receptacles") or _use(study, facts) == "accessory":
        return False
    small = run.protecting_a is not None and run.protecting_a <= 20
    return small and len(run.legs) == 1 and run.volts < 130 and load.location != "outdoors"
