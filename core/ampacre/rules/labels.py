"""Labels: where an edition asks for one, and what it says there."""

from typing import Final

from ampacre.model import records as r
from ampacre.model.naming import listed
from ampacre.quantity import show
from ampacre.rules.by_service import services_of
from ampacre.rules.paths import dwelling_near, feed_of
from ampacre.rules.questions import ask_of_piece, ask_of_run
from ampacre.rules.reading import ids_of, main_of
from ampacre.rules.seen_at_services import enters
from ampacre.rules.structures import supplies_of
from ampacre.rules.supplies import at_dwelling
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.fed import circuits_out
from ampacre.study.study import Study

TOPIC = "labels"

_GEAR: Final = (r.Panel, r.Disconnect)
ARC_LABEL_A: Final = {"2017": 1200.0, "2020": 1200.0, "2023": 1000.0}
"""Rating from which an arc-flash label gives its figures, by edition (NEC 110.16(B))."""
_SOURCES: Final = (r.Generator, r.Inverter, r.Battery)


def _says_service(_study: Study, facts: EquipmentFacts) -> str:
    return f"Service disconnect: {facts.piece.name}"


@ask_of_piece(
    "service-disconnect-label", *_GEAR,
    topic=TOPIC, severity="violation", cite="service_marked", wording=_says_service,
    text="Is it permanently marked as a service disconnect?",
)  # fmt: skip
def service_disconnect_label(_study: Study, facts: EquipmentFacts) -> bool:
    """Each service disconnect is marked as one.

    Of several each shows the load that it switches (NEC 230.70(B), 230.72(A)).
    """
    return facts.at_service


def _others_of(study: Study, facts: EquipmentFacts) -> list[str]:
    """Name the other services and feeders of the structure that a piece stands in."""
    key = facts.piece.structure or ""
    line = {facts.piece.id}
    at = facts
    while at.parent is not None:
        line.add(at.parent)
        at = study.equipment(at.parent)
    names = [
        f"service at {study.equipment(service.entry).piece.name}"
        for service in services_of(study).get(key, ())
        if not line & {service.entry, *service.disconnects}
    ]
    names += (
        f"feeder at {supply.head.piece.name}"
        for supply in supplies_of(study).get(key, ())
        if supply.head.piece.id not in line
    )
    return names


def _says_others(study: Study, facts: EquipmentFacts) -> str:
    structure = study.project.structures[facts.piece.structure or ""].name
    return f"{structure} is also supplied by {listed(_others_of(study, facts))}"


@ask_of_piece(
    "services-plaque", *_GEAR,
    topic=TOPIC, severity="violation", cite="services_plaque", wording=_says_others,
    text="Does a plaque at it name the other services and feeders of the structure, and what each "
    "supplies?",
)  # fmt: skip
def services_plaque(study: Study, facts: EquipmentFacts) -> bool:
    """Where a structure has a service and other supplies, each disconnect names the others.

    By a permanent plaque that also says what each of them supplies (NEC 230.2(E)).
    """
    return facts.at_service and bool(_others_of(study, facts))


@ask_of_piece(
    "supplies-plaque", *_GEAR,
    topic=TOPIC, severity="warning", cite="supplies_plaque", wording=_says_others,
    text="Does a plaque at it name the other supplies of the structure, and what each supplies?",
)  # fmt: skip
def supplies_plaque(study: Study, facts: EquipmentFacts) -> bool:
    """Where a structure has several feeders, the disconnect of each names the others.

    But for branch circuits from a dwelling to what belongs to it (NEC 225.37).
    """
    run = feed_of(study, facts)
    feeder = run is not None and run.run.role != "branch"
    return feeder and enters(study, facts) and bool(_others_of(study, facts))


def _says_emergency(_study: Study, facts: EquipmentFacts) -> str:
    if facts.at_service:
        return "Emergency disconnect, service disconnect"
    piece = facts.piece
    if isinstance(piece, r.Disconnect) and piece.purpose == "meter disconnect":
        return "Emergency disconnect, meter disconnect, not service equipment"
    return "Emergency disconnect, not service equipment"


@ask_of_piece(
    "emergency-disconnect-label", *_GEAR,
    topic=TOPIC, severity="violation", cite="emergency_label", wording=_says_emergency,
    text="Is it marked outside as an emergency disconnect, from 2023 in white letters of 1/2 in on "
    "red?",
)  # fmt: skip
def emergency_disconnect_label(study: Study, facts: EquipmentFacts) -> bool:
    """A dwelling's emergency disconnect is marked as one.

    From 2020, with what else it is (NEC 230.85; 2023: 230.85(E), 225.41).
    """
    piece = facts.piece
    if study.settings.edition == "2017" or piece.location != "outdoors":
        return False
    if isinstance(piece, r.Disconnect) and piece.purpose is not None:
        return dwelling_near(study, facts)
    return facts.at_service and dwelling_near(study, facts)


@ask_of_piece(
    "meter-disconnect-label", r.Disconnect,
    topic=TOPIC, severity="violation", cite="meter_disconnect",
    wording=lambda _study, _facts: "Meter disconnect, not service equipment",
    text="Is it marked as a meter disconnect?",
)  # fmt: skip
def meter_disconnect_label(_study: Study, facts: EquipmentFacts) -> bool:
    """A meter disconnect ahead of the service is marked as one.

    So that nobody takes it for the service disconnect (NEC 230.82(3)).
    """
    piece = facts.piece
    return isinstance(piece, r.Disconnect) and piece.purpose == "meter disconnect"


def _says_fault(study: Study, facts: EquipmentFacts) -> str:
    fault_ka = facts.fault.greatest.greatest_ka if facts.fault else 0.0
    return f"Maximum available fault current {show(fault_ka, 'ka', study.settings.units)}, date"


@ask_of_piece(
    "service-fault-label", *_GEAR,
    topic=TOPIC, severity="violation", cite="fault_marking", wording=_says_fault,
    text="Is it marked with the available fault current and the date of its calculation?",
)  # fmt: skip
def service_fault_label(study: Study, facts: EquipmentFacts) -> bool:
    """Service equipment elsewhere than at dwellings is marked with its fault current.

    The largest that the utility can give there, with the date; the calculation is kept (NEC
    110.24(A)).
    """
    return facts.at_service and facts.fault is not None and not at_dwelling(study, facts)


@ask_of_piece(
    "panel-fault-label", r.Panel,
    topic=TOPIC, severity="warning", cite="panel_marking", wording=_says_fault,
    text="Is it marked with the available fault current and the date of its calculation?",
)  # fmt: skip
def panel_fault_label(study: Study, facts: EquipmentFacts) -> bool:
    """Panels elsewhere than at dwellings are marked with their fault current.

    From 2020, with the date of the calculation; they are rated for it too (NEC 408.6).
    """
    if study.settings.edition == "2017" or facts.at_service or facts.fault is None:
        return False
    return not at_dwelling(study, facts)


def _rated_a(facts: EquipmentFacts) -> float:
    main = main_of(facts.piece)
    ratings = (getattr(facts.piece, "bus_a", None), main.rating_a if main else None)
    return max((rating for rating in ratings if rating is not None), default=0.0)


@ask_of_piece(
    "arc-flash-label", *_GEAR,
    topic=TOPIC, severity="warning", cite="arc_label",
    text="Does it bear an arc-flash label with voltage, fault current, clearing time and date?",
)  # fmt: skip
def arc_flash_label(study: Study, facts: EquipmentFacts) -> bool:
    """Large equipment elsewhere than at dwellings bears an arc-flash label with its figures.

    Services of 1200 A or more, from 2023 services and feeders of 1000 A or more (NEC 110.16(B)).
    """
    edition = study.settings.edition
    if _rated_a(facts) < ARC_LABEL_A[edition] or at_dwelling(study, facts):
        return False
    return facts.at_service or edition == "2023"


@ask_of_piece(
    "panel-directory", r.Panel,
    topic=TOPIC, severity="warning", cite="panel_directory",
    text="Is every circuit named in a directory at the panel, spares too?",
)  # fmt: skip
def panel_directory(_study: Study, facts: EquipmentFacts) -> bool:
    """A panel has a directory of its circuits.

    Each by what it supplies, clearly, not by who lives there now (NEC 408.4(A)).
    """
    return facts.supplied and bool(facts.runs_out)


def _says_source(study: Study, facts: EquipmentFacts) -> str:
    return f"{facts.piece.name}, fed from {study.equipment(facts.parent or '').piece.name}"


@ask_of_piece(
    "panel-source-label", r.Panel,
    topic=TOPIC, severity="warning", cite="panel_source", wording=_says_source,
    text="Is it marked with where it is fed from?",
)  # fmt: skip
def panel_source_label(study: Study, facts: EquipmentFacts) -> bool:
    """A panel that is fed from elsewhere says from where.

    By the name of the equipment or panel ahead of it; not in one- and two-family dwellings (NEC
    408.4(B)).
    """
    if facts.parent is None or facts.at_service:
        return False
    return not at_dwelling(study, facts)


def _says_purpose(study: Study, facts: EquipmentFacts) -> str:
    names = [piece.name for _, piece in circuits_out(study, facts)]
    return f"{facts.piece.name}: {listed(names)}"


@ask_of_piece(
    "disconnect-purpose-label", r.Disconnect,
    topic=TOPIC, severity="warning", cite="disconnect_marked", wording=_says_purpose,
    text="Is it marked with what it switches off, unless that is plain?",
)  # fmt: skip
def disconnect_purpose_label(_study: Study, facts: EquipmentFacts) -> bool:
    """A disconnect is marked with its purpose.

    Legibly and for good, unless its place makes it evident (NEC 110.22(A), 110.21(B)).
    """
    return bool(facts.runs_out)


def _sources(study: Study) -> list[str]:
    found = ids_of(study, _SOURCES, "customer")
    return sorted(study.standing.equipment[key].name for key in found)


def _says_sources(study: Study, facts: EquipmentFacts) -> str:
    return f"Sources of power here: {facts.piece.name} (utility), {listed(_sources(study))}"


@ask_of_piece(
    "sources-directory", *_GEAR,
    topic=TOPIC, severity="warning", cite="sources_directory", wording=_says_sources,
    text="Does a plaque show all sources of power and where each is switched off?",
)  # fmt: skip
def sources_directory(study: Study, facts: EquipmentFacts) -> bool:
    """A property with several sources has a plaque at each service that shows them all.

    And where each is switched off, for those who cut the power in an emergency (NEC 705.10).
    """
    return facts.at_service and bool(_sources(study))


@ask_of_piece(
    "standby-sign", *_GEAR,
    topic=TOPIC, severity="warning", cite="standby_sign",
    text="Does a sign show the kind and the place of the standby source?",
)  # fmt: skip
def standby_sign(study: Study, facts: EquipmentFacts) -> bool:
    """A sign at the service tells of each standby source.

    Its kind and its place; at an inlet for a portable set the bonding that it must have (NEC
    702.7).
    """
    return facts.at_service and bool(ids_of(study, (r.Generator,), "customer", "utility"))


def _states_lockable(_study: Study, facts: EquipmentFacts) -> bool | None:
    piece = facts.piece
    return piece.lockable if isinstance(piece, r.Disconnect) else None


@ask_of_piece(
    "lock-provision-stays", r.Disconnect,
    topic=TOPIC, severity="warning", cite="lock_provision", stated=_states_lockable,
    text="Does what takes the lock stay in place when no lock is on?",
)  # fmt: skip
def lock_provision_stays(study: Study, facts: EquipmentFacts) -> bool:
    """What locks a disconnect open stays on it with or without the lock.

    At disconnects of motors, chargers and sources that are not in sight of them (NEC 110.25).
    """
    kinds = (r.Motor, r.Charger, *_SOURCES)
    return any(isinstance(piece, kinds) for _, piece in circuits_out(study, facts))


@ask_of_run(
    "series-rating-label", topic=TOPIC, severity="warning", cite="series_label",
    text="Does a caution at it give the series rating, and say that replacements must be the same?",
)  # fmt: skip
def series_rating_label(_study: Study, facts: RunFacts) -> bool:
    """Equipment that is used at a series rating bears a caution that says so.

    With the rating of the combination and the need for identified replacements (NEC 110.22(C)).
    """
    device = facts.run.device
    return device is not None and device.series_ka is not None
