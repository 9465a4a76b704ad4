"""Overcurrent devices as such: standard ratings, settings, the spaces that they stand in."""

from collections.abc import Iterator

import msgspec

from ampacre.codebook.devices import is_standard, next_standard, standard_below
from ampacre.codebook.ratings import SWITCH_A
from ampacre.model import records as r
from ampacre.model.edits import alter, free_spaces
from ampacre.model.project import Edit
from ampacre.rules.paths import feed_of, labelled, relabelled
from ampacre.rules.reading import an, is_circuit, known, main_of, run_name, supply_device_a
from ampacre.rules.resizing import step_up, with_device
from ampacre.rules.rule import Finding, exceeds, found, on_piece, on_run
from ampacre.sizing.protection import largest_device_a
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.study import Study

TOPIC = "devices"


def _standard_around(rating_a: float, load_a: float, edition: str) -> Iterator[float]:
    """Give the standard ratings next to one that is none, the lower where it carries the load."""
    lower, upper = standard_below(rating_a, edition), next_standard(rating_a, edition)
    if lower and not exceeds(load_a, lower):
        yield lower
    if upper is not None:
        yield upper


def _standard_device(study: Study, finding: Finding) -> Iterator[Edit]:
    facts = study.run(finding.where)
    rating_a = float(finding.values["rating_a"])
    for standard_a in _standard_around(rating_a, facts.sizing_a, study.settings.edition):
        edit = with_device(study, facts, standard_a)
        if edit is not None:
            yield edit


@on_run(
    "device-rating-standard", topic=TOPIC, severity="warning", cite="standard_ratings",
    remedies=_standard_device,
)  # fmt: skip
def device_rating_standard(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """The device of a run has a standard rating.

    Other ratings than those of NEC 240.6(A) are allowed but hardly made; an entry that is none is
    more often a slip. 10 A is a rating of breakers from 2023.
    """
    device = facts.run.device
    if device is None or device.rating_a is None or facts.run.protected_at != "supply":
        return
    if not is_standard(device.rating_a, study.settings.edition, device.kind):
        yield found(
            "device-rating-standard", facts.run.id,
            "The device of {run} is rated {rating_a}, which is no standard rating.",
            run=run_name(study, facts.run), rating_a=device.rating_a,
        )  # fmt: skip


def _standard_main(study: Study, finding: Finding) -> Iterator[Edit]:
    piece = study.project.equipment[finding.where]
    assert isinstance(piece, (r.Panel, r.Disconnect))
    demand = study.equipment(piece.id).demand
    load_a = demand.heavier_sizing_a if demand else 0.0
    rating_a = float(finding.values["rating_a"])
    for standard_a in _standard_around(rating_a, load_a, study.settings.edition):
        main = msgspec.structs.replace(piece.main or r.Device(), rating_a=standard_a)
        label = f"Fit {an(f'{standard_a:g} A main')} in {piece.name}"
        yield relabelled(study, "equipment", piece.id, label, main=main)


@on_piece(
    "main-rating-standard", r.Panel, r.Disconnect,
    topic=TOPIC, severity="warning", cite="standard_ratings", remedies=_standard_main,
)  # fmt: skip
def main_rating_standard(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """The main device of a panel or disconnect has a standard rating.

    Other ratings than those of NEC 240.6(A) are allowed but hardly made; an entry that is none is
    more often a slip.
    """
    main = main_of(facts.piece)
    if main is None or main.rating_a is None:
        return
    if not is_standard(main.rating_a, study.settings.edition, main.kind):
        yield found(
            "main-rating-standard", facts.piece.id,
            "The main of {piece} is rated {rating_a}, which is no standard rating.",
            piece=facts.piece.name, rating_a=main.rating_a,
        )  # fmt: skip


def _fifteen(study: Study, finding: Finding) -> Iterator[Edit]:
    facts = feed_of(study, study.equipment(finding.where))
    edit = with_device(study, facts, 15.0) if facts else None
    if edit is not None:
        yield edit


@on_piece(
    "small-circuit-without-receptacles", r.Load,
    topic=TOPIC, severity="violation", cite="ten_amp_branch", remedies=_fifteen,
)  # fmt: skip
def small_circuit_without_receptacles(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A branch circuit of 10 A supplies no receptacles.

    From 2023 a 10 A branch circuit may serve lighting and a few named loads (NEC 210.23(A)).
    """
    load = facts.piece
    assert isinstance(load, r.Load)
    if load.category != "receptacles" and not load.receptacles:
        return
    run = feed_of(study, facts)
    device_a = supply_device_a(run) if run else None
    if device_a is not None and not exceeds(device_a, 10.0):
        yield found(
            "small-circuit-without-receptacles", load.id,
            "{piece}: receptacles may not be on a circuit of {device_a}.",
            piece=load.name, device_a=device_a,
        )  # fmt: skip


def _locked_adjustment(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    if run.device is not None:
        device = msgspec.structs.replace(run.device, adjustment_locked=True)
        label = f"Keep the adjustment of the device of {run_name(study, run)} from users"
        yield relabelled(study, "runs", run.id, label, device=device)


@on_run(
    "adjustable-device-counts-highest", topic=TOPIC, severity="warning", cite="adjustable_trip",
    remedies=_locked_adjustment,
)  # fmt: skip
def adjustable_device_counts_highest(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """An adjustable device counts at its highest setting, unless access to it is restricted.

    The conductors must then be protected at that setting (NEC 240.6(B) and (C), 240.4).
    """
    device, carried = facts.run.device, facts.ampacity
    if device is None or device.highest_a is None or device.adjustment_locked or carried is None:
        return
    size, metal = known(facts.size), facts.material.value
    if size is None or metal is None or facts.run.protected_at != "supply":
        return
    allowed = largest_device_a(carried.allowed_a, size, metal, study.settings.edition)
    if exceeds(device.highest_a, allowed.rating_a) and is_circuit(study, facts):
        yield found(
            "adjustable-device-counts-highest", facts.run.id,
            "Anyone may set the device of {run} to {highest_a}; its conductors may have "
            "{allowed_a} at most.",
            run=run_name(study, facts.run), highest_a=device.highest_a,
            allowed_a=allowed.rating_a,
        )  # fmt: skip


def _other_spaces(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    panel = study.project.equipment[run.source]
    assert isinstance(panel, r.Panel)
    spaces = free_spaces(study.project, panel, len(run.spaces), moving=run)
    if spaces:
        where = " and ".join(map(str, spaces))
        edit = alter(study.project, "runs", run.id, spaces=spaces)
        yield labelled(edit, f"move the breaker of {run_name(study, run)} to spaces {where}")


@on_run(
    "spaces-on-different-legs", topic=TOPIC, severity="warning", cite="common practice",
    remedies=_other_spaces,
)  # fmt: skip
def spaces_on_different_legs(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """The poles of a breaker stand on different legs of the bus.

    Spaces across from each other are on the same leg: two poles there give no voltage between
    them, and a shared neutral would carry the sum of both (common practice).
    """
    run = facts.run
    poles = len(run.spaces)
    if poles < 2 or facts.system is None or study.equipment(run.source).system is None:
        return
    there = study.equipment(run.source).system
    if there is not None and len(facts.legs) < min(poles, len(there.legs)):
        yield found(
            "spaces-on-different-legs", run.id,
            "The breaker of {run} takes spaces {spaces}, which give it {legs} alone.",
            run=run_name(study, run), spaces=" and ".join(map(str, sorted(run.spaces))),
            legs=f"leg{'s' if len(facts.legs) > 1 else ''} {facts.legs}",
        )  # fmt: skip


def _wider_switch(study: Study, finding: Finding) -> Iterator[Edit]:
    rating_a = step_up(float(finding.values["device_a"]), SWITCH_A)
    if rating_a is not None:
        piece = study.project.equipment[finding.where]
        label = f"Fit {piece.name} with {an(f'{rating_a:g} A switch')}"
        yield relabelled(study, "equipment", piece.id, label, rating_a=rating_a)


@on_piece(
    "switch-behind-its-device", r.Disconnect, r.TransferSwitch,
    topic=TOPIC, severity="warning", cite="common practice", remedies=_wider_switch,
)  # fmt: skip
def switch_behind_its_device(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A switch is protected by a device not above its rating.

    A disconnect or transfer switch without a device of its own relies on the one ahead of it, as
    its listing says (common practice).
    """
    piece = facts.piece
    assert isinstance(piece, (r.Disconnect, r.TransferSwitch))
    device_a = facts.device_ahead_a
    if piece.rating_a is None or device_a is None or not exceeds(device_a, piece.rating_a):
        return
    yield found(
        "switch-behind-its-device", piece.id,
        "{piece} is rated {rating_a} and protected by a device of {device_a}.",
        piece=piece.name, rating_a=piece.rating_a, device_a=device_a,
    )  # fmt: skip
