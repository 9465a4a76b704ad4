"""Load against ratings: each rating faces the current that the code compares it with."""

from collections.abc import Iterator
from typing import Any

import msgspec

from ampacre.codebook.devices import next_standard, standard_below
from ampacre.codebook.ratings import BUS_A, METER_A, SWITCH_A
from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.model.project import Edit
from ampacre.rules.household_appliances import as_it_is_named
from ampacre.rules.reading import an, is_circuit, main_of, run_name, supply_device_a, target_of
from ampacre.rules.resizing import step_up, with_device
from ampacre.rules.rule import Finding, exceeds, found, on_piece, on_run
from ampacre.study.facts import Demand, EquipmentFacts, RunFacts
from ampacre.study.study import Study

TOPIC = "load"


def _on_device(device: r.Device, demand: Demand) -> tuple[float, str]:
    """Current that an overcurrent device must be rated for [A], and its name."""
    if device.listed_100_pct:
        return demand.heavier_a, "calculated load"
    return demand.heavier_sizing_a, "load with 125 % of its continuous part"


def _ways_to_carry(study: Study, finding: Finding) -> Iterator[Edit]:
    yield from as_it_is_named(study, study.run(finding.where).run.target)
    needed = float(finding.values["load_a"])
    rating = next_standard(needed, study.settings.edition)
    edit = with_device(study, study.run(finding.where), rating) if rating else None
    if edit is not None:
        yield edit


@on_run(
    "run-device-carries-load", topic=TOPIC, severity="violation", cite="feeder_device",
    roles=("service", "feeder", "branch", "tap", "transformer secondary", "supply-side source"),
    remedies=_ways_to_carry,
)  # fmt: skip
def run_device_carries_load(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """The device at the head of a run carries its load.

    A breaker or fuse is rated for the load that is not continuous and 125 % of the continuous
    part, or for the calculated load where device and assembly are listed for 100 % (NEC 215.3,
    210.20(A)). A motor's device is compared with the motor's current (430.52 sets it higher);
    chargers and generators have rules of their own.
    """
    rating_a = supply_device_a(facts)
    if rating_a is None or facts.demand is None or not exceeds(facts.sizing_a, rating_a):
        return
    if not is_circuit(study, facts):
        return
    target = target_of(study, facts.run)
    if isinstance(target, r.Charger):
        return
    load_a, what = _on_device(facts.run.device or r.Device(), facts.demand)
    if isinstance(target, r.Motor):
        load_a, what = facts.calculated_a, "motor current"
    if exceeds(load_a, rating_a):
        yield found(
            "run-device-carries-load", facts.run.id,
            "The device of {run} is rated {rating_a}; its {what} is {load_a}.",
            run=run_name(study, facts.run), rating_a=rating_a, what=what, load_a=load_a,
        )  # fmt: skip


def _bigger_main(study: Study, finding: Finding) -> Iterator[Edit]:
    piece = study.project.equipment[finding.where]
    assert isinstance(piece, (r.Panel, r.Disconnect))
    rating = next_standard(float(finding.values["load_a"]), study.settings.edition)
    if rating is None or piece.main is None:
        return
    main = msgspec.structs.replace(piece.main, rating_a=rating)
    label = f"Fit {an(f'{rating:g} A main')} in {piece.name}"
    values: dict[str, Any] = {"main": main}
    if isinstance(piece, r.Panel) and piece.bus_a is not None and piece.bus_a < rating:
        bus = step_up(rating, BUS_A)
        if bus is None:
            return
        values["bus_a"] = bus
        label += f", with {an(f'{bus:g} A bus')}"
    edit = alter(study.project, "equipment", piece.id, **values)
    yield msgspec.structs.replace(edit, label=label)


@on_piece(
    "panel-main-carries-load", r.Panel, r.Disconnect,
    topic=TOPIC, severity="violation", cite="feeder_device", remedies=_bigger_main,
)  # fmt: skip
def panel_main_carries_load(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """The main device of a panel or disconnect carries the load behind it.

    Rated for the load that is not continuous and 125 % of the continuous part, or for the
    calculated load where device and assembly are listed for 100 % (NEC 215.3, 230.90).
    """
    main = main_of(facts.piece)
    if main is None or main.rating_a is None or facts.demand is None:
        return
    load_a, what = _on_device(main, facts.demand)
    if exceeds(load_a, main.rating_a):
        yield found(
            "panel-main-carries-load", facts.piece.id,
            "The main of {piece} is rated {rating_a}; its {what} is {load_a}.",
            piece=facts.piece.name, rating_a=main.rating_a, what=what, load_a=load_a,
        )  # fmt: skip


def _bigger_bus(study: Study, finding: Finding) -> Iterator[Edit]:
    bus = step_up(float(finding.values["load_a"]), BUS_A)
    if bus is not None:
        yield _fitted(study, finding.where, "bus_a", bus, "A bus")


def _fitted(study: Study, key: str, field: str, rating: float, what: str) -> Edit:
    """Give a piece another rating."""
    values: dict[str, Any] = {field: rating}
    edit = alter(study.project, "equipment", key, **values)
    name = study.project.equipment[key].name
    return msgspec.structs.replace(edit, label=f"Fit {name} with {an(f'{rating:g} {what}')}")


@on_piece(
    "bus-carries-load", r.Panel,
    topic=TOPIC, severity="violation", cite="panel_load", remedies=_bigger_bus,
)  # fmt: skip
def bus_carries_load(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A panel's bus carries the calculated load of its heavier leg.

    The bus faces the calculated load, without 125 % on the continuous part (NEC 408.30).
    """
    piece = facts.piece
    assert isinstance(piece, r.Panel)
    if piece.bus_a is None or facts.demand is None:
        return
    if exceeds(facts.demand.heavier_a, piece.bus_a):
        yield found(
            "bus-carries-load", piece.id,
            "The bus of {piece} is rated {rating_a}; its calculated load is {load_a}.",
            piece=piece.name, rating_a=piece.bus_a, load_a=facts.demand.heavier_a,
        )  # fmt: skip


def _bus_and_device_agree(study: Study, finding: Finding) -> Iterator[Edit]:
    piece = study.project.equipment[finding.where]
    assert isinstance(piece, r.Panel)
    wider = step_up(float(finding.values["device_a"]), BUS_A)
    if wider is not None:
        yield _fitted(study, piece.id, "bus_a", wider, "A bus")
    demand = study.equipment(piece.id).demand
    fitting = standard_below(float(finding.values["bus_a"]), study.settings.edition)
    main = msgspec.structs.replace(piece.main or r.Device(), rating_a=fitting or None)
    if fitting and demand and not exceeds(_on_device(main, demand)[0], fitting):
        edit = alter(study.project, "equipment", piece.id, main=main)
        yield msgspec.structs.replace(
            edit, label=f"Fit {an(f'{fitting:g} A main')} in {piece.name}"
        )


@on_piece(
    "bus-protected", r.Panel,
    topic=TOPIC, severity="violation", cite="panel_bus", remedies=_bus_and_device_agree,
)  # fmt: skip
def bus_protected(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A panel's bus is protected by a device not above its rating.

    The device is the panel's main or, for main lugs only, the one ahead of it (NEC 408.36).
    """
    piece = facts.piece
    assert isinstance(piece, r.Panel)
    if piece.bus_a is None or facts.device_ahead_a is None:
        return
    if exceeds(facts.device_ahead_a, piece.bus_a):
        yield found(
            "bus-protected", piece.id,
            "The bus of {piece} is rated {bus_a} behind a device of {device_a}.",
            piece=piece.name, bus_a=piece.bus_a, device_a=facts.device_ahead_a,
        )  # fmt: skip


def _bigger_meter(study: Study, finding: Finding) -> Iterator[Edit]:
    wanted = step_up(float(finding.values["load_a"]), METER_A)
    if wanted is not None:
        edit = alter(study.project, "equipment", finding.where, class_a=wanted)
        name = study.project.equipment[finding.where].name
        yield msgspec.structs.replace(edit, label=f"Fit {name} with a class {wanted:g} socket")


@on_piece(
    "meter-carries-load", r.Meter,
    topic=TOPIC, severity="violation", cite="meter", remedies=_bigger_meter,
)  # fmt: skip
def meter_carries_load(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A meter socket carries the calculated load of its heavier leg.

    A socket's class is its continuous rating, so that 320 A of continuous load may pass a class
    320 socket (common practice; the utility decides).
    """
    piece = facts.piece
    assert isinstance(piece, r.Meter)
    if piece.class_a is None or facts.demand is None:
        return
    if exceeds(facts.demand.heavier_a, piece.class_a):
        yield found(
            "meter-carries-load", piece.id,
            "{piece} is a class {class_number} socket; its calculated load is {load_a}.",
            piece=piece.name, class_number=f"{piece.class_a:g}", load_a=facts.demand.heavier_a,
        )  # fmt: skip


def _bigger_switch(study: Study, finding: Finding) -> Iterator[Edit]:
    rating = step_up(float(finding.values["load_a"]), SWITCH_A)
    if rating is not None:
        yield _fitted(study, finding.where, "rating_a", rating, "A switch")


def _switch_overloaded(
    rule: str, facts: EquipmentFacts, rating_a: float | None
) -> Iterator[Finding]:
    if rating_a is None or facts.demand is None:
        return
    if exceeds(facts.demand.heavier_a, rating_a):
        yield found(
            rule, facts.piece.id,
            "{piece} is rated {rating_a}; its calculated load is {load_a}.",
            piece=facts.piece.name, rating_a=rating_a, load_a=facts.demand.heavier_a,
        )  # fmt: skip


@on_piece(
    "switch-carries-load", r.Disconnect,
    topic=TOPIC, severity="violation", cite="common practice", remedies=_bigger_switch,
)  # fmt: skip
def switch_carries_load(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A disconnect switch carries the calculated load of its heavier leg.

    A switch without a device of its own faces the calculated load (common practice).
    """
    piece = facts.piece
    assert isinstance(piece, r.Disconnect)
    return _switch_overloaded("switch-carries-load", facts, piece.rating_a)


@on_piece(
    "transfer-switch-carries-load", r.TransferSwitch,
    topic=TOPIC, severity="violation", cite="transfer_equipment", remedies=_bigger_switch,
)  # fmt: skip
def transfer_switch_carries_load(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A transfer switch carries the calculated load of its heavier leg.

    It carries all of its load on the normal supply, whatever is shed on standby (NEC 702.5).
    """
    piece = facts.piece
    assert isinstance(piece, r.TransferSwitch)
    return _switch_overloaded("transfer-switch-carries-load", facts, piece.rating_a)
