"""Circuits of vehicle chargers: what else is on them, cords, disconnects, protection for people."""

from collections.abc import Iterator
from typing import Final

import msgspec

from ampacre.codebook.ratings import SWITCH_A
from ampacre.model import records as r
from ampacre.model.edits import insert_on, new_id, next_name, refeed
from ampacre.model.project import Edit
from ampacre.rules.chargers import CONTINUOUS, LEAST_A
from ampacre.rules.paths import circuit_of, dwelling_near, feed_of, labelled, relabelled, upward
from ampacre.rules.questions import ask_of_piece
from ampacre.rules.reading import supply_device_a
from ampacre.rules.resizing import step_up
from ampacre.rules.rule import Finding, exceeds, found, on_piece
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.fed import below
from ampacre.study.leaves import charger_a, unconfirmed
from ampacre.study.study import Study

TOPIC = "chargers"

SHARED_A, SHARED_V = 16.0, 120.0
"""Up to here a charging outlet may share its circuit from 2023 (NEC 625.40)."""
DISCONNECT_A, DISCONNECT_V = 60.0, 150.0
LARGEST_CORD_A: Final = 50.0
OUTDOOR_GFCI_A: Final = 50.0


def _managed_together(study: Study, keys: set[str]) -> bool:
    """Whether chargers are members of one managed group whose limit counts."""
    return any(
        isinstance(group, r.ManagedGroup) and not unconfirmed(group) and keys <= set(group.members)
        for group in study.project.groups.values()
    )


def _own_circuit(study: Study, finding: Finding) -> Iterator[Edit]:
    facts = study.equipment(finding.where)
    circuit = circuit_of(study, finding.where)
    if circuit is None or facts.feed is None or not isinstance(circuit[1].piece, r.Panel):
        return
    panel = circuit[1]
    assert isinstance(panel.piece, r.Panel)
    edit = refeed(study.project, study.project.runs[facts.feed], panel.piece, panel.system)
    refed = edit.changes[0].after if edit.changes else None
    if isinstance(refed, r.Run) and refed.spaces:
        yield labelled(
            edit, f"give {facts.piece.name} a circuit of its own from {panel.piece.name}"
        )


@on_piece(
    "charger-own-circuit", r.Charger,
    topic=TOPIC, severity="violation", cite="evse_branch", remedies=_own_circuit,
)  # fmt: skip
def charger_own_circuit(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A charger has a circuit of its own, unless it is managed with what shares it.

    Each charging outlet on an individual branch circuit; from 2023 only above 16 A or 120 V (NEC
    625.40). Chargers under one listed manager may share.
    """
    charger = facts.piece
    assert isinstance(charger, r.Charger)
    own = feed_of(study, facts)
    if own is None or own.run.protected_at == "supply" or facts.parent is None:
        return
    if not isinstance(study.equipment(facts.parent).piece, r.Junction):
        return
    circuit = circuit_of(study, charger.id)
    if circuit is None or circuit[0].run.role != "branch":
        return
    small = not exceeds(charger_a(charger) or 0.0, SHARED_A) and not exceeds(own.volts, SHARED_V)
    if small and study.settings.edition == "2023":
        return
    users = {
        other.piece.id: other.piece
        for other in below(study, circuit[0].run.target)
        if isinstance(other.piece, (r.Use, r.DwellingLoad))
    }
    if len(users) > 1 and not _managed_together(study, set(users)):
        others = [piece.name for key, piece in users.items() if key != charger.id]
        yield found(
            "charger-own-circuit", charger.id,
            "{piece} shares a circuit of {device_a} with {others}.",
            piece=charger.name, device_a=supply_device_a(circuit[0]) or 0.0,
            others=" and ".join(sorted(others)),
        )  # fmt: skip


def _add_disconnect(study: Study, finding: Finding) -> Iterator[Edit]:
    facts = study.equipment(finding.where)
    rating_a = step_up(float(finding.values["rated_a"]), SWITCH_A)
    run = study.project.runs[facts.feed] if facts.feed else None
    parent = study.project.equipment[facts.parent] if facts.parent else None
    if isinstance(parent, r.Disconnect):
        label = f"Fit {parent.name} to lock open"
        yield relabelled(study, "equipment", parent.id, label, lockable=True)
        return
    if run is None or rating_a is None:
        return
    switch = r.Disconnect(
        id=new_id(), name=next_name(study.project, "disconnect"), since=r.WORK,
        structure=facts.piece.structure, rating_a=rating_a, lockable=True,
    )  # fmt: skip
    yield insert_on(study.project, run, switch)
    if run.device is not None:
        device = msgspec.structs.replace(run.device, lockable=True)
        label = f"Fit the breaker of {facts.piece.name} with a means to lock it open"
        yield relabelled(study, "runs", run.id, label, device=device)


def calls_for_disconnect(charger: r.Charger, run: RunFacts | None) -> bool | None:
    """Whether a charger needs a disconnect that locks open; None where that is not known.

    Above 60 A or above 150 V to ground (NEC 625.43).
    """
    if run is None or run.system is None:
        return None
    if exceeds(run.system.ground_v, DISCONNECT_V):
        return True
    return None if charger.nameplate_a is None else exceeds(charger.nameplate_a, DISCONNECT_A)


def locks_open(study: Study, facts: EquipmentFacts) -> r.Disconnect | r.Device | None:
    """Give the switch or the breaker ahead of a piece that locks open; None without one.

    A switch of which that is not stated counts.
    """
    parent = study.equipment(facts.parent).piece if facts.parent else None
    if isinstance(parent, r.Disconnect) and parent.lockable is not False:
        return parent
    run = feed_of(study, facts)
    device = run.run.device if run else None
    return device if device is not None and device.lockable is True else None


@on_piece(
    "charger-disconnect", r.Charger,
    topic=TOPIC, severity="violation", cite="evse_disconnect", remedies=_add_disconnect,
)  # fmt: skip
def charger_disconnect(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A charger above 60 A, or above 150 V to ground, has a disconnect that locks open.

    By the rating of the equipment, not of its circuit: an 80 A unit needs one, a 48 A unit on 60 A
    does not (NEC 625.43).
    """
    charger, run = facts.piece, feed_of(study, facts)
    assert isinstance(charger, r.Charger)
    if run is None or run.system is None or charger.nameplate_a is None:
        return
    if not calls_for_disconnect(charger, run) or locks_open(study, facts):
        return
    yield found(
        "charger-disconnect", charger.id,
        "{piece} is rated {rated_a} at {ground_v} to ground and has no disconnect that locks open.",
        piece=charger.name, rated_a=charger.nameplate_a, ground_v=run.system.ground_v,
    )  # fmt: skip


def _hardwire(study: Study, finding: Finding) -> Iterator[Edit]:
    charger = study.project.equipment[finding.where]
    label = f"Connect {charger.name} without a cord"
    yield relabelled(
        study, "equipment", charger.id, label, connection="hardwired", receptacle_a=None
    )
    setting_a = float(finding.values["allowed_a"])
    if setting_a >= LEAST_A:
        label = f"Set {charger.name} to {setting_a:g} A and lock it"
        yield relabelled(
            study, "equipment", charger.id, label, setting_a=setting_a, setting_locked=True
        )


@on_piece(
    "charger-cord-within-receptacle", r.Charger,
    topic=TOPIC, severity="warning", cite="evse_cord", remedies=_hardwire,
)  # fmt: skip
def charger_cord_within_receptacle(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A charger on a cord takes at most 80 % of its receptacle, which is 50 A at most.

    40 A on a 50 A receptacle; larger units are hardwired (NEC 625.44; readings of 60 A differ).
    """
    charger = facts.piece
    assert isinstance(charger, r.Charger)
    draw_a = charger_a(charger)
    if charger.connection != "receptacle" or draw_a is None:
        return
    receptacle_a = min(LARGEST_CORD_A, float(charger.receptacle_a or LARGEST_CORD_A))
    if exceeds(CONTINUOUS * draw_a, receptacle_a):
        yield found(
            "charger-cord-within-receptacle", charger.id,
            "{piece} takes {draw_a} by a cord; a receptacle of {receptacle_a} allows {allowed_a}.",
            piece=charger.name, draw_a=draw_a, receptacle_a=receptacle_a,
            allowed_a=receptacle_a / CONTINUOUS,
        )  # fmt: skip


def _least_setting(study: Study, finding: Finding) -> Iterator[Edit]:
    charger = study.project.equipment[finding.where]
    label = f"Set {charger.name} to {LEAST_A:g} A"
    yield relabelled(study, "equipment", charger.id, label, setting_a=LEAST_A)


@on_piece(
    "charger-setting-offered", r.Charger,
    topic=TOPIC, severity="warning", cite="SAE J1772", remedies=_least_setting,
)  # fmt: skip
def charger_setting_offered(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A charger is set to a current that its control pilot can offer.

    The pilot signals 6 A at least; below that a vehicle does not charge (SAE J1772).
    """
    charger = facts.piece
    assert isinstance(charger, r.Charger)
    if charger.setting_a is not None and exceeds(LEAST_A, charger.setting_a):
        yield found(
            "charger-setting-offered", charger.id,
            "{piece} is set to {setting_a}; the least that a charger can offer is {least_a}.",
            piece=charger.name, setting_a=charger.setting_a, least_a=LEAST_A,
        )  # fmt: skip


def _outside(study: Study, _finding: Finding) -> Iterator[Edit]:
    label = "Count chargers outside the optional method's pool"
    yield relabelled(study, "project", "project", label, optional_chargers="outside")


@on_piece(
    "charger-in-optional-pool", r.Charger,
    topic=TOPIC, severity="ask", cite="optional_dwelling", remedies=_outside,
)  # fmt: skip
def charger_in_optional_pool(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A charger counted in the optional method's pool is counted as the authority reads the code.

    Whether a charger is an appliance of the pool, of which 40 % counts beyond 10 kVA, or a load
    beside it at 100 % is read differently (NEC 220.82).
    """
    charger = facts.piece
    assert isinstance(charger, r.Charger)
    if study.settings.optional_chargers != "inside" or charger.serves is None:
        return
    pools = [
        parent.piece.name
        for _, parent in upward(study, charger.id)
        if parent.demand is not None and parent.demand.method == "optional dwelling"
    ]
    if pools:
        yield found(
            "charger-in-optional-pool", charger.id,
            "{piece}, {draw_a}, is counted in the pool of {pool}. Ask whether it may be.",
            piece=charger.name, draw_a=charger_a(charger) or 0.0, pool=pools[0],
        )  # fmt: skip


# What is seen on site -------------------------------------------------------------------------


def _protected(study: Study, facts: EquipmentFacts) -> bool | None:
    run = feed_of(study, facts)
    return run.run.gfci_protected if run else None


@ask_of_piece(
    "charger-receptacle-protected", r.Charger,
    topic=TOPIC, severity="violation", cite="evse_receptacle", stated=_protected,
    text="Is the charger's receptacle protected by a ground-fault device for people?",
)  # fmt: skip
def charger_receptacle_protected(_study: Study, facts: EquipmentFacts) -> bool:
    """A receptacle for charging has ground-fault protection for people.

    In every edition (NEC 625.54); the one in the charger does not protect its cord and plug.
    """
    return isinstance(facts.piece, r.Charger) and facts.piece.connection == "receptacle"


@ask_of_piece(
    "charger-outdoors-protected", r.Charger,
    topic=TOPIC, severity="ask", cite="evse_outdoor_gfci", stated=_protected,
    text="Does the authority want a ground-fault device for the hardwired charger outdoors, and is "
    "it there?",
)  # fmt: skip
def charger_outdoors_protected(study: Study, facts: EquipmentFacts) -> bool:
    """A hardwired charger outdoors at a dwelling is protected as the authority reads the code.

    From 2020 outdoor outlets of 50 A or less and 150 V or less to ground need ground-fault
    protection (NEC 210.8(F)); units with their own detector may trip it, and readings differ.
    """
    charger, run = facts.piece, feed_of(study, facts)
    assert isinstance(charger, r.Charger)
    if study.settings.edition == "2017" or run is None or run.protecting_a is None:
        return False
    hardwired = charger.connection != "receptacle" and charger.location == "outdoors"
    return hardwired and run.protecting_a <= OUTDOOR_GFCI_A and dwelling_near(study, facts)
