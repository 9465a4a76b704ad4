"""Panels, disconnects and their devices: what is seen on site."""

from typing import Final

from ampacre.model import records as r
from ampacre.rules.questions import ask_of_piece, ask_of_run
from ampacre.rules.surge import surge_stated
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.fed import circuits_out
from ampacre.study.study import Study

TOPIC = "devices"

ARC_ENERGY_A: Final = 1200.0
GROUND_FAULT_A, GROUND_FAULT_V = 1000.0, 150.0


def _main(facts: EquipmentFacts) -> r.Device | None:
    return facts.piece.main if isinstance(facts.piece, (r.Panel, r.Disconnect)) else None


def _main_a(facts: EquipmentFacts) -> float:
    main = _main(facts)
    return (main.highest_a or main.rating_a or 0.0) if main else 0.0


@ask_of_piece(
    "arc-energy-reduced", r.Panel, r.Disconnect,
    topic=TOPIC, severity="violation", cite="arc_energy",
    text="Does the main device have a listed means of reducing arc energy?",
)  # fmt: skip
def arc_energy_reduced(_study: Study, facts: EquipmentFacts) -> bool:
    """Devices of 1200 A or more have a means of reducing arc energy.

    Breakers that can be set to 1200 A and fuses rated so (NEC 240.87, 240.67).
    """
    return _main_a(facts) >= ARC_ENERGY_A


@ask_of_piece(
    "large-main-ground-fault", r.Panel, r.Disconnect,
    topic=TOPIC, severity="violation", cite="equipment_ground_fault",
    text="Does the main have ground-fault protection of equipment, set to 1200 A or less?",
)  # fmt: skip
def large_main_ground_fault(_study: Study, facts: EquipmentFacts) -> bool:
    """Mains of 1000 A or more on a 277/480 V wye have ground-fault protection of equipment.

    Solidly grounded wye systems above 150 V to ground; at most 1200 A, and 1 s at 3000 A (NEC
    230.95, 215.10).
    """
    system = facts.system
    wye = system is not None and system.neutral and system.phases == 3
    over = system is not None and system.ground_v > GROUND_FAULT_V
    return wye and over and _main_a(facts) >= GROUND_FAULT_A


@ask_of_piece(
    "device-handle-height", r.Panel, r.Disconnect,
    topic=TOPIC, severity="warning", cite="device_height",
    text="Is the highest handle no more than 6 ft 7 in above the floor or platform?",
)  # fmt: skip
def device_handle_height(_study: Study, facts: EquipmentFacts) -> bool:
    """Handles of breakers and switches are within reach.

    At their highest no more than 6 ft 7 in above the floor or platform (NEC 240.24(A), 404.8).
    """
    return facts.supplied


@ask_of_piece(
    "device-place-allowed", r.Panel,
    topic=TOPIC, severity="violation", cite="device_location",
    text="Is the panel out of closets, dwelling bathrooms and stairways, and away from what "
    "burns easily?",
)  # fmt: skip
def device_place_allowed(_study: Study, facts: EquipmentFacts) -> bool:
    """Overcurrent devices stand where the code allows them.

    Not in clothes closets, near easily ignited material, in dwelling bathrooms or over steps; within
    reach of those they serve (NEC 240.24).
    """
    return facts.supplied and facts.piece.location != "outdoors"


@ask_of_piece(
    "back-fed-main-secured", r.Panel,
    topic=TOPIC, severity="violation", cite="backfed_device",
    text="If the main is a back-fed breaker, is it held so that it can't just be pulled off?",
)  # fmt: skip
def back_fed_main_secured(study: Study, facts: EquipmentFacts) -> bool:
    """A plug-in breaker that is back-fed as a main has a hold-down.

    One that takes more than a pull, where it ends wires run in the field (NEC 408.36(D)).
    """
    feed = study.run(facts.feed) if facts.feed is not None else None
    return _main(facts) is not None and feed is not None and feed.run.length_m != 0


@ask_of_piece(
    "full-load-assembly-listed", r.Panel, r.Disconnect,
    topic=TOPIC, severity="violation", cite="continuous_100",
    text="Is the assembly listed for 100 % load, as well as the device in it?",
)  # fmt: skip
def full_load_assembly_listed(_study: Study, facts: EquipmentFacts) -> bool:
    """Device and assembly are both listed where a device is loaded to 100 %.

    Only then is the 125 % of the continuous load dropped (NEC 215.3 exception, 210.20(A)); ordinary
    plug-in panels are not listed so.
    """
    main = _main(facts)
    return main is not None and main.listed_100_pct


@ask_of_run(
    "full-load-circuit-listed", topic=TOPIC, severity="violation", cite="continuous_100",
    text="Is the assembly that this device stands in listed for 100 % load, as the device is?",
)  # fmt: skip
def full_load_circuit_listed(_study: Study, facts: RunFacts) -> bool:
    """A circuit's device and its assembly are both listed where it is loaded to 100 %.

    Only then is the 125 % of the continuous load dropped (NEC 215.3 exception, 210.20(A)).
    """
    device = facts.run.device
    return device is not None and device.listed_100_pct


@ask_of_piece(
    "neutral-terminals-own", r.Panel,
    topic=TOPIC, severity="warning", cite="neutral_terminals",
    text="Does each neutral have a terminal hole of its own in the panel?",
)  # fmt: skip
def neutral_terminals_own(_study: Study, facts: EquipmentFacts) -> bool:
    """Each neutral has its own terminal in a panel.

    Unless the bar is identified for more in one hole (NEC 408.41).
    """
    return facts.supplied and facts.system is not None and facts.system.neutral


@ask_of_piece(
    "high-leg-marked", r.Panel, r.Disconnect, r.Meter,
    topic=TOPIC, severity="violation", cite="high_leg",
    text="Is the high leg marked orange, and the panel labelled with its 208 V?",
)  # fmt: skip
def high_leg_marked(_study: Study, facts: EquipmentFacts) -> bool:
    """The high leg of a delta is marked orange where the neutral is present too.

    It stands 208 V from the neutral; panels bear a caution (NEC 110.15, 408.3(F)).
    """
    return facts.system is not None and facts.system.name == "120/240 high-leg"


@ask_of_piece(
    "dwelling-feeder-surge-protected", r.Panel,
    topic=TOPIC, severity="violation", cite="surge_feeder", stated=surge_stated,
    text="Is there a surge protective device at or next to this panel?",
)  # fmt: skip
def dwelling_feeder_surge_protected(study: Study, facts: EquipmentFacts) -> bool:
    """A dwelling's panel that a feeder supplies has surge protection.

    From 2023, at the panel that holds the branch devices (NEC 215.18, 225.42).
    """
    if study.settings.edition != "2023" or facts.at_service or not facts.supplied:
        return False
    fed = (piece for _, piece in circuits_out(study, facts))
    return any(isinstance(piece, r.DwellingLoad) for piece in fed)


@ask_of_piece(
    "dwelling-bath-and-garage-circuits", r.DwellingLoad,
    topic=TOPIC, severity="violation", cite="dwelling_circuits",
    text="Do the bathrooms, and the garage if it has power, have 20 A circuits of their own?",
)  # fmt: skip
def dwelling_bath_and_garage_circuits(_study: Study, facts: EquipmentFacts) -> bool:
    """A dwelling has 20 A circuits for its bathrooms and its garage.

    Besides those for kitchen and laundry; the garage's from 2017 (NEC 210.11(C)).
    """
    return facts.supplied
