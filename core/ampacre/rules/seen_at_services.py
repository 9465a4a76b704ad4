"""Services, structures and their grounding: what is seen on site."""

from typing import Final

from ampacre.codebook.conductors import area_cmil
from ampacre.model import records as r
from ampacre.rules.paths import feed_of
from ampacre.rules.questions import ask_of_piece, ask_of_run
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.study import Study

TOPIC = "services"

_GEAR: Final = (r.Panel, r.Disconnect)
_AT_ELECTRODES: Final = (*_GEAR, r.TransferSwitch, r.Transformer)


def enters(study: Study, facts: EquipmentFacts) -> bool:
    """Whether a feeder or branch circuit comes into another structure at a piece."""
    if facts.parent is None or facts.ahead_of_service or facts.at_service:
        return False
    here, there = facts.piece.structure, study.equipment(facts.parent).piece.structure
    return here is not None and there is not None and here != there


def _stated_rated(_study: Study, facts: EquipmentFacts) -> bool | None:
    piece = facts.piece
    assert isinstance(piece, (r.Panel, r.Disconnect))
    return piece.service_rated


@ask_of_piece(
    "service-equipment-marked-suitable", *_GEAR,
    topic=TOPIC, severity="violation", cite="service_equipment", stated=_stated_rated,
    text="Is it marked as suitable for use as service equipment?",
)  # fmt: skip
def service_equipment_marked_suitable(_study: Study, facts: EquipmentFacts) -> bool:
    """A service disconnect is marked as suitable for use as service equipment.

    A meter socket is none, though it is listed and rated for the service (NEC 230.66).
    """
    return facts.at_service


@ask_of_piece(
    "three-wire-disconnect-suitable", *_GEAR,
    topic="structures", severity="violation", cite="structure_disconnect_type",
    stated=_stated_rated, text="Is it marked as suitable for use as service equipment?",
)  # fmt: skip
def three_wire_disconnect_suitable(study: Study, facts: EquipmentFacts) -> bool:
    """The disconnect at the end of an old three-wire feeder is service equipment.

    The neutral is bonded in it as in a service; any other building disconnect need not be (NEC
    225.36).
    """
    run = feed_of(study, facts)
    three_wire = run is not None and run.run.conductors.grounding == "none"
    return three_wire and enters(study, facts)


@ask_of_piece(
    "service-disconnect-near-entry", *_GEAR,
    topic=TOPIC, severity="violation", cite="service_place",
    text="Does it stand where the service conductors come in, within easy reach?",
)  # fmt: skip
def service_disconnect_near_entry(_study: Study, facts: EquipmentFacts) -> bool:
    """A service disconnect indoors stands nearest to where the conductors enter.

    Nothing protects them up to there (NEC 230.70(A)(1)); outdoors any readily accessible place will
    do.
    """
    return facts.at_service and facts.piece.location != "outdoors"


@ask_of_piece(
    "service-disconnect-not-in-bathroom", *_GEAR,
    topic=TOPIC, severity="violation", cite="service_no_bathroom",
    text="Does it stand anywhere but in a bathroom?",
)  # fmt: skip
def service_disconnect_not_in_bathroom(_study: Study, facts: EquipmentFacts) -> bool:
    """A service disconnect does not stand in a bathroom.

    Nor one that is worked from there by other means than a hand on it (NEC 230.70(A)(2), (3)).
    """
    return facts.at_service and facts.piece.location != "outdoors"


@ask_of_piece(
    "service-line-side-covered", *_GEAR,
    topic=TOPIC, severity="warning", cite="service_barriers",
    text="Are the live parts of the line side covered when the front is off?",
)  # fmt: skip
def service_line_side_covered(_study: Study, facts: EquipmentFacts) -> bool:
    """Barriers cover what stays live in service equipment.

    With the disconnect off nothing uninsulated is exposed (NEC 230.62(C); 2017: panels,
    408.3(A)(2)).
    """
    return facts.at_service and facts.work != "existing"


@ask_of_piece(
    "service-raceways-bonded", *_GEAR, r.Meter,
    topic=TOPIC, severity="warning", cite="service_bonding",
    text="Are metal raceways and enclosures bonded by hubs, bonding bushings or jumpers, and not by "
    "plain locknuts?",
)  # fmt: skip
def service_raceways_bonded(_study: Study, facts: EquipmentFacts) -> bool:
    """Metal around service conductors is bonded by means made for it.

    Threaded hubs, bonding locknuts or bushings, jumpers around punched rings (NEC 250.92).
    """
    return facts.at_service or facts.ahead_of_service


@ask_of_run(
    "service-wire-not-through-building", "service",
    topic=TOPIC, severity="violation", cite="service_through",
    text="Does it keep out of any building but the one that it supplies?",
)  # fmt: skip
def service_wire_not_through_building(_study: Study, facts: RunFacts) -> bool:
    """Service conductors do not pass through another building.

    Inside of a building nothing there could switch them off, and no device limits what they carry
    (NEC 230.3).
    """
    return facts.supplied and facts.run.length_m != 0


@ask_of_piece(
    "occupants-reach-disconnect", *_GEAR,
    topic="structures", severity="warning", cite="occupant_access",
    text="Can those who live or work there reach it?",
)  # fmt: skip
def occupants_reach_disconnect(study: Study, facts: EquipmentFacts) -> bool:
    """Occupants reach the disconnect of their supply.

    At services and at structures that feeders supply (NEC 230.72(C), 225.35, 240.24(B)).
    """
    return facts.at_service or enters(study, facts)


@ask_of_piece(
    "structure-disconnect-near-entry", *_GEAR,
    topic="structures", severity="violation", cite="structure_disconnect_place",
    text="Does it stand where the feeder comes in, outside or inside, within easy reach?",
)  # fmt: skip
def structure_disconnect_near_entry(study: Study, facts: EquipmentFacts) -> bool:
    """A structure's disconnect stands nearest to where the feeder enters.

    In or on the structure, readily accessible (NEC 225.32; from 2023 in 225.31(B)).
    """
    return enters(study, facts) and facts.piece.location != "outdoors"


@ask_of_piece(
    "electrodes-joined", *_AT_ELECTRODES,
    topic="grounding", severity="violation", cite="electrode_system",
    text="Are all electrodes that there are joined into one: water pipe, steel in the earth, "
    "footing, rods?",
)  # fmt: skip
def electrodes_joined(_study: Study, facts: EquipmentFacts) -> bool:
    """All electrodes of a structure are joined into one system.

    Those of a second service or a lightning system too (NEC 250.50, 250.58).
    """
    return facts.grounding is not None


@ask_of_piece(
    "electrode-connection-reachable", *_AT_ELECTRODES,
    topic="grounding", severity="advice", cite="electrode_access",
    text="Can the connections to the electrodes be reached, as far as they are not buried or in "
    "concrete?",
)  # fmt: skip
def electrode_connection_reachable(_study: Study, facts: EquipmentFacts) -> bool:
    """Connections to electrodes stay accessible.

    But for buried, encased and fireproofed ones by allowed means (NEC 250.68(A)).
    """
    return facts.grounding is not None


@ask_of_piece(
    "electrode-conductor-guarded", *_AT_ELECTRODES,
    topic="grounding", severity="warning", cite="electrode_conductor_run",
    text="Is the electrode conductor in one piece, and guarded where it may be hit?",
)  # fmt: skip
def electrode_conductor_guarded(_study: Study, facts: EquipmentFacts) -> bool:
    """A grounding electrode conductor is in one piece and guarded.

    One below 6 AWG always in a raceway or armour, steel raceways bonded at both ends (NEC 250.64).
    """
    record = facts.grounding.record if facts.grounding is not None else None
    if record is None or record.conductor is None:
        return False
    return area_cmil(record.conductor) <= area_cmil("4")


@ask_of_piece(
    "gas-pipes-bonded", *_GEAR,
    topic="grounding", severity="warning", cite="gas_bond",
    text="Are gas pipes and other metal pipes that may become live bonded, if there are any?",
)  # fmt: skip
def gas_pipes_bonded(study: Study, facts: EquipmentFacts) -> bool:
    """Gas pipes that may become live are bonded.

    The grounding conductor of the circuit that may reach them is enough (NEC 250.104(B)).
    """
    structure = study.project.structures.get(facts.piece.structure or "")
    building = structure is not None and structure.use not in (None, "outdoor")
    return building and (facts.at_service or enters(study, facts))


@ask_of_run(
    "aluminum-ground-off-earth", "feeder", "branch",
    topic="grounding", severity="warning", cite="aluminum_ground",
    text="Does the aluminum grounding conductor keep off masonry and earth where it is bare?",
)  # fmt: skip
def aluminum_ground_off_earth(_study: Study, facts: RunFacts) -> bool:
    """A bare aluminum grounding conductor touches neither masonry nor earth.

    2017: outdoors it ends 18 in above the earth (NEC 250.120(B)).
    """
    wires = facts.run.conductors
    buried = facts.run.place in ("yard", "under driveway", "under road")
    return wires.grounding_material == "al" and buried


@ask_of_run(
    "three-wire-no-other-metal", "feeder", "branch",
    topic="structures", severity="violation", cite="three_wire",
    text="Are the two structures without any metal path between them, such as pipes or cable "
    "shields?",
)  # fmt: skip
def three_wire_no_other_metal(study: Study, facts: RunFacts) -> bool:
    """Structures that an old three-wire feeder joins have no other metal path between them.

    Neutral current would flow on it (NEC 250.32(B)(1) exception 1).
    """
    target = study.equipment(facts.run.target)
    return facts.run.conductors.grounding == "none" and enters(study, target)
