"""Branch circuits: what may share one, what an appliance's device may be, shared neutrals."""

from collections.abc import Iterator
from typing import Final

from ampacre.codebook.devices import next_standard
from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.model.project import Edit
from ampacre.model.system import legs_of_spaces
from ampacre.rules.paths import feed_of, labelled, relabelled
from ampacre.rules.reading import run_name, supply_device_a
from ampacre.rules.resizing import with_device
from ampacre.rules.rule import Finding, exceeds, found, on_piece, on_run
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.fed import below
from ampacre.study.study import Study

TOPIC = "branch circuits"

FIXED_SHARE: Final = 0.5
OWN_DEVICE_A: Final = 13.3
"""Above this an appliance's device may be 150 % of its current, below it 20 A (NEC 422.11(E))."""
APPLIANCE_FACTOR: Final = 1.5
PART_A, PART_DEVICE_A = 48.0, 60.0
"""Largest part of a resistance heater and its device (NEC 422.11(F), 424.22)."""


_FIXED: Final = (*r.HEATERS, *r.HOUSEHOLD, "cooling", "appliance")


def _is_fixed(piece: r.Equipment) -> bool:
    if isinstance(piece, r.Load):
        return piece.category in _FIXED and not piece.receptacles
    return isinstance(piece, r.Motor)


def _is_general(piece: r.Equipment) -> bool:
    return isinstance(piece, r.Load) and (
        piece.category in ("lighting", "receptacles") or bool(piece.receptacles)
    )


@on_piece("fixed-load-half", r.Junction, topic=TOPIC, severity="warning", cite="fixed_load")
def fixed_load_half(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """Equipment fastened in place takes at most half of a circuit that serves others too.

    Where a branch circuit also serves lights or receptacles (NEC 210.23).
    """
    run = feed_of(study, facts)
    device_a = supply_device_a(run) if run and run.run.role == "branch" else None
    if device_a is None:
        return
    behind = list(below(study, facts.piece.id))
    fixed_a = 0.0
    for other in behind:
        feed = feed_of(study, other)
        if feed is not None and _is_fixed(other.piece):
            fixed_a += feed.calculated_a
    shared = any(_is_general(other.piece) for other in behind)
    if shared and exceeds(fixed_a, FIXED_SHARE * device_a):
        yield found(
            "fixed-load-half", facts.piece.id,
            "Equipment fastened in place takes {fixed_a} of the {device_a} circuit at {piece}, "
            "which serves other outlets too; {allowed_a} is the most.",
            piece=facts.piece.name, fixed_a=fixed_a, device_a=device_a,
            allowed_a=FIXED_SHARE * device_a,
        )  # fmt: skip


def _appliance_limit_a(load_a: float, edition: str) -> float:
    if not exceeds(load_a, OWN_DEVICE_A):
        return 20.0
    return next_standard(APPLIANCE_FACTOR * load_a, edition) or APPLIANCE_FACTOR * load_a


def _own_device(study: Study, finding: Finding) -> Iterator[Edit]:
    run = feed_of(study, study.equipment(finding.where))
    allowed_a = float(finding.values["allowed_a"])
    edit = with_device(study, run, allowed_a) if run else None
    if run is not None and edit is not None and not exceeds(run.sizing_a, allowed_a):
        yield edit


@on_piece(
    "appliance-device-limit", r.Load,
    topic=TOPIC, severity="warning", cite="appliance_device", remedies=_own_device,
)  # fmt: skip
def appliance_device_limit(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """The device of a single appliance is not above 150 % of its current.

    The next standard rating above is allowed, and 20 A where it takes 13.3 A or less. An appliance
    marked with its largest device goes by that (NEC 422.11(E)).
    """
    load = facts.piece
    assert isinstance(load, r.Load)
    run = feed_of(study, facts)
    single = load.category in ("appliance", *r.HOUSEHOLD) and (load.receptacles or 0) <= 1
    if not single or run is None:
        return
    device_a = supply_device_a(run)
    if device_a is None or run.demand is None or not run.calculated_a:
        return
    # a range's circuit may be calculated at less than its nameplate
    load_a = run.calculated_a * run.demand.connected_va / run.demand.calculated_va
    allowed_a = _appliance_limit_a(load_a, study.settings.edition)
    if exceeds(device_a, allowed_a):
        yield found(
            "appliance-device-limit", load.id,
            "{piece} takes {load_a} and may have a device of {allowed_a} at most, unless it is "
            "marked with more; its device is {device_a}.",
            piece=load.name, load_a=load_a, allowed_a=allowed_a, device_a=device_a,
        )  # fmt: skip


@on_piece("heater-in-parts", r.Load, topic=TOPIC, severity="warning", cite="heating_elements")
def heater_in_parts(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A resistance heater above 48 A is divided, each part behind a device of 60 A at most.

    Its maker divides it and provides the devices, or it has several circuits (NEC 422.11(F),
    424.22).
    """
    load = facts.piece
    assert isinstance(load, r.Load)
    run = feed_of(study, facts) if load.category in r.HEATERS else None
    if run is None or not exceeds(run.calculated_a, PART_A):
        return
    device_a = supply_device_a(run)
    if device_a is not None and exceeds(device_a, PART_DEVICE_A):
        yield found(
            "heater-in-parts", load.id,
            "{piece} takes {load_a} behind one device of {device_a}: it must be divided into parts "
            "of {part_a} at most, each behind {part_device_a}.",
            piece=load.name, load_a=run.calculated_a, device_a=device_a, part_a=PART_A,
            part_device_a=PART_DEVICE_A,
        )  # fmt: skip


def _circuits(study: Study, finding: Finding) -> Iterator[Edit]:
    piece = study.project.equipment[finding.where]
    assert isinstance(piece, r.DwellingLoad)
    label = f"Give {piece.name} two small-appliance circuits and one for laundry"
    yield relabelled(
        study, "equipment", piece.id, label,
        small_appliance_circuits=max(2, piece.small_appliance_circuits),
        laundry_circuits=max(1, piece.laundry_circuits),
    )  # fmt: skip


@on_piece(
    "dwelling-required-circuits", r.DwellingLoad,
    topic=TOPIC, severity="violation", cite="dwelling_circuits", remedies=_circuits,
)  # fmt: skip
def dwelling_required_circuits(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A dwelling has two or more small-appliance circuits and one for laundry.

    20 A circuits that serve nothing else (NEC 210.11(C)); 1,500 VA each in the calculation.
    """
    piece = facts.piece
    assert isinstance(piece, r.DwellingLoad)
    small, laundry = piece.small_appliance_circuits, piece.laundry_circuits
    if piece.floor_area_m2 and (small < 2 or laundry < 1):
        yield found(
            "dwelling-required-circuits", piece.id,
            "{piece} has {small} small-appliance circuits and {laundry} for laundry; it needs 2 "
            "and 1.",
            piece=piece.name, small=str(small), laundry=str(laundry),
        )  # fmt: skip


def _own_neutral(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    label = f"Pull a neutral of its own for {run_name(study, run)}"
    yield relabelled(study, "runs", run.id, label, neutral_with=None)


def _to_another_leg(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    panel, system = study.project.equipment[run.source], study.equipment(run.source).system
    partner = _partner(study, study.run(run.id))
    if isinstance(panel, r.Panel) and system is not None and partner and len(run.spaces) == 1:
        space = _free_space(study, panel, avoiding=partner.legs)
        if space is not None:
            edit = alter(study.project, "runs", run.id, spaces=(space,))
            yield labelled(edit, f"move {run_name(study, run)} to space {space}, on another leg")
    yield from _own_neutral(study, finding)


def _free_space(study: Study, panel: r.Panel, *, avoiding: str) -> int | None:
    """Find a free space of a panel on none of these legs."""
    system = study.equipment(panel.id).system
    taken = {
        space
        for run in study.project.runs.values()
        if run.source == panel.id and run.until is None
        for space in run.spaces
    }
    if system is None:
        return None
    for space in range(1, panel.spaces + 1):
        if space not in taken and legs_of_spaces((space,), system) not in avoiding:
            return space
    return None


def _partner(study: Study, facts: RunFacts) -> RunFacts | None:
    """Give the circuit whose neutral a run shares, where it stands."""
    key = facts.run.neutral_with
    return study.run(key) if key is not None and key in study.standing.runs else None


@on_run(
    "shared-neutral-on-different-legs", topic=TOPIC, severity="violation", cite="multiwire",
    roles=("branch",), remedies=_to_another_leg,
)  # fmt: skip
def shared_neutral_on_different_legs(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Circuits that share a neutral are on different legs.

    On the same leg the neutral carries the sum of both circuits, with no device to protect it; a
    multiwire circuit has a voltage between its ungrounded conductors (NEC 210.4, Article 100).
    """
    partner = _partner(study, facts) if facts.run.neutral_with else None
    if partner is None or not facts.legs or not set(facts.legs) & set(partner.legs):
        return
    yield found(
        "shared-neutral-on-different-legs", facts.run.id,
        "{run} shares the neutral of {partner}, and both are on leg {legs}: it carries up to "
        "{sum_a}.",
        run=run_name(study, facts.run), partner=run_name(study, partner.run),
        legs="".join(sorted(set(facts.legs) & set(partner.legs))),
        sum_a=facts.calculated_a + partner.calculated_a,
    )  # fmt: skip


@on_run(
    "shared-neutral-of-one-panel", topic=TOPIC, severity="violation", cite="multiwire_origin",
    roles=("branch",), remedies=_own_neutral,
)  # fmt: skip
def shared_neutral_of_one_panel(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Circuits that share a neutral come from one panel.

    All conductors of a multiwire circuit originate from the same panelboard (NEC 210.4(A)).
    """
    partner = _partner(study, facts) if facts.run.neutral_with else None
    if partner is not None and partner.run.source != facts.run.source:
        pieces = study.project.equipment
        yield found(
            "shared-neutral-of-one-panel", facts.run.id,
            "{run} leaves {here}; the circuit whose neutral it shares leaves {there}.",
            run=run_name(study, facts.run), here=pieces[facts.run.source].name,
            there=pieces[partner.run.source].name,
        )  # fmt: skip


def _off_the_high_leg(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    panel = study.project.equipment[run.source]
    if isinstance(panel, r.Panel) and run.spaces:
        space = _free_space(study, panel, avoiding="B")
        if space is not None:
            edit = alter(study.project, "runs", run.id, spaces=(space,))
            yield labelled(edit, f"move {run_name(study, run)} to space {space}")


@on_run(
    "high-leg-not-to-neutral", topic=TOPIC, severity="violation", cite="high_leg_phase",
    remedies=_off_the_high_leg,
)  # fmt: skip
def high_leg_not_to_neutral(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """No load stands between the high leg and the neutral.

    The B leg of a 120/240 V high-leg delta is 208 V from the neutral (NEC 408.3(E), 110.15).
    """
    system = facts.system
    if system is None or system.name != "120/240 high-leg" or facts.legs != "B":
        return
    yield found(
        "high-leg-not-to-neutral", facts.run.id,
        "{run} is on the high leg alone, {leg_v} from the neutral.",
        run=run_name(study, facts.run), leg_v=facts.volts,
    )  # fmt: skip
