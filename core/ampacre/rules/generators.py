"""Generators: conductors, protection, neutral bond, voltage, and how they are stopped."""

from collections.abc import Iterator
from typing import Final, get_args

import msgspec

from ampacre.codebook.devices import next_standard
from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.model.project import Edit
from ampacre.model.system import SYSTEMS, SystemName
from ampacre.rules.paths import end_device_a, has_main, labelled, next_larger, relabelled
from ampacre.rules.questions import ask_of_piece
from ampacre.rules.reading import is_circuit, known, run_name, supply_device_a
from ampacre.rules.rule import Finding, exceeds, found, on_piece, on_run
from ampacre.rules.standby import switches_of
from ampacre.rules.transformers import full_load_a
from ampacre.sizing.protection import largest_device_a
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.study import Study

TOPIC = "generators"

NAMEPLATE_FACTOR: Final = 1.15
REMOTE_STOP_KW: Final = 15.0


def _rated_a(piece: r.Equipment) -> float | None:
    """Nameplate current of a generator [A]."""
    if not isinstance(piece, r.Generator) or piece.system not in SYSTEMS:
        return None
    kva = piece.kva or piece.kw
    return full_load_a(kva, SYSTEMS[piece.system]) if kva else None


def _larger_output(study: Study, finding: Finding) -> Iterator[Edit]:
    return next_larger(study, study.run(finding.where), float(finding.values["needed_a"]))


@on_run(
    "generator-wire-by-nameplate", topic=TOPIC, severity="violation", cite="generator_conductor",
    roles=("generator output",), remedies=_larger_output,
)  # fmt: skip
def generator_wire_by_nameplate(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Conductors from a generator to its first device carry 115 % of its nameplate current.

    100 % where it can't be overloaded by design (NEC 445.13). Behind a device at the generator the
    device is compared with them instead.
    """
    rated_a = _rated_a(study.standing.equipment[facts.run.source])
    if rated_a is None or facts.ampacity is None or facts.run.protected_at == "supply":
        return
    needed_a, carried_a = NAMEPLATE_FACTOR * rated_a, facts.ampacity.allowed_a
    if known(facts.size) is not None and exceeds(needed_a, carried_a) and is_circuit(study, facts):
        yield found(
            "generator-wire-by-nameplate", facts.run.id,
            "{run} carries {carried_a}; the generator gives {rated_a} by its nameplate, and 115 % "
            "of it is {needed_a}.",
            run=run_name(study, facts.run), carried_a=carried_a, rated_a=rated_a,
            needed_a=needed_a,
        )  # fmt: skip


def _output_device(study: Study, finding: Finding) -> Iterator[Edit]:
    facts = study.run(finding.where)
    allowed_a, rated_a = (float(finding.values[name]) for name in ("allowed_a", "rated_a"))
    if allowed_a and not exceeds(rated_a, allowed_a):
        device = msgspec.structs.replace(facts.run.device or r.Device(), rating_a=allowed_a)
        label = f"Fit a {allowed_a:g} A device for {run_name(study, facts.run)}"
        yield relabelled(study, "runs", facts.run.id, label, device=device)
    yield from next_larger(study, facts, float(finding.values["device_a"]))


@on_run(
    "generator-wire-protected", topic=TOPIC, severity="violation", cite="device_rating",
    roles=("generator output",), remedies=_output_device,
)  # fmt: skip
def generator_wire_protected(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Conductors behind a generator's own device are protected by it.

    At their ampacity or the next standard rating above it (NEC 240.4, 445.13).
    """
    device_a, carried = supply_device_a(facts), facts.ampacity
    size, metal = known(facts.size), facts.material.value
    if device_a is None or carried is None or size is None or metal is None:
        return
    allowed = largest_device_a(carried.allowed_a, size, metal, study.settings.edition)
    if exceeds(device_a, allowed.rating_a) and is_circuit(study, facts):
        yield found(
            "generator-wire-protected", facts.run.id,
            "{run} carries {carried_a} and may have a device of {allowed_a} at most; the one at "
            "the generator is {device_a}.",
            run=run_name(study, facts.run), carried_a=carried.allowed_a,
            allowed_a=allowed.rating_a, device_a=device_a,
            rated_a=_rated_a(study.standing.equipment[facts.run.source]) or device_a,
        )  # fmt: skip


def _device_at_set(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    rating_a = next_standard(float(finding.values["rated_a"]), study.settings.edition)
    if rating_a is not None:
        device = msgspec.structs.replace(run.device or r.Device(), rating_a=rating_a)
        label = f"Fit a {rating_a:g} A breaker at the generator"
        yield relabelled(study, "runs", run.id, label, device=device, protected_at="supply")


@on_run(
    "generator-has-protection", topic=TOPIC, severity="warning", cite="generator_protection",
    roles=("generator output",), remedies=_device_at_set,
)  # fmt: skip
def generator_has_protection(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A generator has a device against overload.

    A breaker or fuses on its output, unless it protects itself by design (NEC 445.12).
    """
    run = facts.run
    source, target = (study.standing.equipment[key] for key in (run.source, run.target))
    rated_a = _rated_a(source)
    if rated_a is None or run.protected_at == "supply" or has_main(target):
        return
    if end_device_a(study, facts) is None:
        yield found(
            "generator-has-protection", run.id,
            "{run} leaves {piece}, which gives {rated_a}, and no device stands at either end.",
            run=run_name(study, run), piece=source.name, rated_a=rated_a,
        )  # fmt: skip


def _bonded(study: Study, finding: Finding) -> Iterator[Edit]:
    piece = study.project.equipment[finding.where]
    assert isinstance(piece, r.Generator)
    bond = not piece.neutral_bonded
    label = f"{'Bond' if bond else 'Lift'} the neutral {'in' if bond else 'bond of'} {piece.name}"
    yield relabelled(study, "equipment", piece.id, label, neutral_bonded=bond)


def _switching(study: Study, piece: r.Generator) -> set[bool]:
    """Whether the transfer switches of a set switch the neutral; those not known left out."""
    stated = {
        getattr(each.piece, "neutral_switched", None) for each in switches_of(study, piece.id)
    }
    return {switched for switched in stated if switched is not None}


def _has_neutral(piece: r.Generator) -> bool:
    return piece.system in SYSTEMS and SYSTEMS[piece.system].neutral


@on_piece(
    "generator-bond-not-doubled", r.Generator,
    topic=TOPIC, severity="violation", cite="second_bond", remedies=_bonded,
)  # fmt: skip
def generator_bond_not_doubled(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A generator behind a solid neutral has no bond of its own.

    Where the transfer switch leaves the neutral connected, the bond at the service is that of the
    generator too; a second one puts neutral current on grounding conductors (NEC 250.24(A)(5),
    250.30).
    """
    piece = facts.piece
    assert isinstance(piece, r.Generator)
    if piece.neutral_bonded and _has_neutral(piece) and _switching(study, piece) == {False}:
        yield found(
            "generator-bond-not-doubled", piece.id,
            "The neutral of {piece} is bonded in the set, and its transfer switch leaves it "
            "connected to the bond of the service.",
            piece=piece.name,
        )  # fmt: skip


@on_piece(
    "generator-bond-present", r.Generator,
    topic=TOPIC, severity="violation", cite="separately_derived", remedies=_bonded,
)  # fmt: skip
def generator_bond_present(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A generator behind a switched neutral is bonded.

    Its neutral then has no other bond: it is a separately derived system, with one bonding jumper
    and an electrode conductor at the set (NEC 250.30).
    """
    piece = facts.piece
    assert isinstance(piece, r.Generator)
    if piece.neutral_bonded is False and _has_neutral(piece) and _switching(study, piece) == {True}:
        yield found(
            "generator-bond-present", piece.id,
            "The transfer switch of {piece} switches the neutral, and it is bonded nowhere on that "
            "side.",
            piece=piece.name,
        )  # fmt: skip


def _alike(study: Study, finding: Finding) -> Iterator[Edit]:
    piece = study.project.equipment[finding.where]
    assert isinstance(piece, r.Generator)
    wanted = bool(piece.neutral_bonded)
    edit = Edit("", ())
    for switch in switches_of(study, piece.id):
        if getattr(switch.piece, "neutral_switched", None) is not wanted:
            one = alter(study.project, "equipment", switch.piece.id, neutral_switched=wanted)
            edit = edit.then(one)
    how = "switch" if wanted else "leave"
    yield labelled(edit, f"let every transfer switch of {piece.name} {how} the neutral")


@on_piece(
    "generator-switches-agree", r.Generator,
    topic=TOPIC, severity="violation", cite="separately_derived", remedies=_alike,
)  # fmt: skip
def generator_switches_agree(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """The transfer switches of one generator treat its neutral alike.

    With one solid and one switched neutral no bond at the set is right for both (NEC 250.30).
    """
    piece = facts.piece
    assert isinstance(piece, r.Generator)
    if len(_switching(study, piece)) > 1:
        names = [switch.piece.name for switch in switches_of(study, piece.id)]
        yield found(
            "generator-switches-agree", piece.id,
            "Of the transfer switches of {piece} ({switches}) some switch the neutral and some "
            "leave it.",
            piece=piece.name, switches=", ".join(names),
        )  # fmt: skip


def _same_system(study: Study, finding: Finding) -> Iterator[Edit]:
    piece = study.project.equipment[finding.where]
    wanted = str(finding.values["normal"])
    if wanted in get_args(SystemName):
        label = f"Take a {wanted} V set for {piece.name}"
        yield relabelled(study, "equipment", piece.id, label, system=wanted)


@on_piece(
    "generator-system-as-normal", r.Generator,
    topic=TOPIC, severity="violation", cite="transfer_equipment", remedies=_same_system,
)  # fmt: skip
def generator_system_as_normal(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A generator gives the voltage that its transfer switch has on the normal side.

    The load behind the switch is made for that (NEC 702.5, 110.4).
    """
    piece = facts.piece
    assert isinstance(piece, r.Generator)
    own = SYSTEMS.get(piece.system)
    for switch in switches_of(study, piece.id):
        normal = switch.system
        if own is None or normal is None or normal.name == "primary":
            continue
        if (own.legs, round(own.line_v)) != (normal.legs, round(normal.line_v)):
            yield found(
                "generator-system-as-normal", piece.id,
                "{piece} gives {own} V; {switch} has {normal} V on its normal side.",
                about=switch.piece.id, piece=piece.name, own=own.name, switch=switch.piece.name,
                normal=normal.name,
            )  # fmt: skip


def _at_dwelling(study: Study, facts: EquipmentFacts) -> bool:
    """Whether a dwelling is among the load of a set's transfer switches."""
    for switch in switches_of(study, facts.piece.id):
        tally = switch.tally or {}
        if any(key.category == "dwelling general" for key in tally):
            return True
    return False


def _lockable(study: Study, facts: EquipmentFacts) -> bool | None:
    """Whether the device at the set is stated to lock open."""
    for _, key in study.network.leaving(facts.piece.id):
        device = study.run(key).run.device
        if device is not None and device.lockable is not None:
            return device.lockable
    return None


@ask_of_piece(
    "generator-disconnect-locks", r.Generator,
    topic=TOPIC, severity="violation", cite="generator_disconnect", stated=_lockable,
    text="Does the generator have a disconnect for all legs that locks open?",
)  # fmt: skip
def generator_disconnect_locks(_study: Study, _facts: EquipmentFacts) -> bool:
    """A generator has a disconnect that locks open.

    For all ungrounded conductors; it may be in the set's cabinet with a label outside (NEC 445.18).
    """
    return True


@ask_of_piece(
    "generator-stop-outdoors", r.Generator,
    topic=TOPIC, severity="violation", cite="generator_stop",
    text="Is there an emergency stop for the engine outdoors, within reach?",
)  # fmt: skip
def generator_stop_outdoors(study: Study, facts: EquipmentFacts) -> bool:
    """A generator at a dwelling can be stopped from outdoors.

    From 2020 at one- and two-family dwellings, readily accessible (NEC 445.18(D); 2023: 445.19(C)).
    """
    return study.settings.edition != "2017" and _at_dwelling(study, facts)


@ask_of_piece(
    "generator-stop-remote", r.Generator,
    topic=TOPIC, severity="violation", cite="generator_remote",
    text="Is there a stop for the engine outside the generator's room or enclosure?",
)  # fmt: skip
def generator_stop_remote(study: Study, facts: EquipmentFacts) -> bool:
    """A generator above 15 kW elsewhere than at a dwelling has a remote stop.

    Outside the room or the weatherproof enclosure (NEC 445.19(B)).
    """
    piece = facts.piece
    assert isinstance(piece, r.Generator)
    return (piece.kw or 0.0) > REMOTE_STOP_KW and not _at_dwelling(study, facts)
