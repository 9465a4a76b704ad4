"""Solar and storage: what is seen on site."""

from ampacre.model import records as r
from ampacre.rules.inverters import bus_of
from ampacre.rules.questions import ask_of_piece
from ampacre.rules.rule import exceeds
from ampacre.study.facts import EquipmentFacts
from ampacre.study.study import Study

TOPIC = "sources"


@ask_of_piece(
    "far-end-breaker-labelled", r.Panel,
    topic=TOPIC, severity="violation", cite="inverter_bus",
    text="Does a label at the source's breaker say that it must not be moved?",
)  # fmt: skip
def far_end_breaker_labelled(study: Study, facts: EquipmentFacts) -> bool:
    """A source's breaker that must stay at the far end of its bus is labelled so.

    Where the bus relies on the 120 % method, so that nobody moves it (NEC 705.12(B)).
    """
    bus = bus_of(study, facts)
    if bus is None or not bus.at_far_end:
        return False
    return exceeds(bus.ahead_a + bus.sources_a, bus.bus_a)


@ask_of_piece(
    "solar-rapid-shutdown", r.Inverter,
    topic=TOPIC, severity="violation", cite="rapid_shutdown",
    text="Does the array on the building have rapid shutdown, or does it stand on the ground?",
)  # fmt: skip
def solar_rapid_shutdown(study: Study, facts: EquipmentFacts) -> bool:
    """Solar circuits on buildings have rapid shutdown.

    To 30 V outside the array within 30 s. From 2023 an array on the ground whose circuits end at
    the outside wall needs none (NEC 690.12).
    """
    structure = study.project.structures.get(facts.piece.structure or "")
    return structure is not None and structure.use != "outdoor"


@ask_of_piece(
    "storage-disconnect-near", r.Battery,
    topic=TOPIC, severity="violation", cite="storage_disconnect",
    text="Does the storage have a disconnect in it, within 10 ft and in sight, or one that locks?",
)  # fmt: skip
def storage_disconnect_near(_study: Study, _facts: EquipmentFacts) -> bool:
    """Storage has a disconnect within reach.

    In it, in sight within 10 ft, or lockable elsewhere (NEC 706.15(B); 2017: 706.7).
    """
    return True


@ask_of_piece(
    "storage-shutdown-outdoors", r.Battery,
    topic=TOPIC, severity="violation", cite="storage_disconnect",
    text="Can the storage be shut down from outdoors, within reach?",
)  # fmt: skip
def storage_shutdown_outdoors(study: Study, facts: EquipmentFacts) -> bool:
    """Storage at a dwelling can be shut down from outdoors.

    A disconnect in 2020, an emergency shutdown function from 2023 (NEC 706.15).
    """
    if study.settings.edition == "2017":
        return False
    parent = study.equipment(facts.parent) if facts.parent else facts
    tally = parent.tally or {}
    return any(key.category == "dwelling general" for key in tally)
