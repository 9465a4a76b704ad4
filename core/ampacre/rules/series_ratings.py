"""Devices that rely on another: series ratings, unmarked devices, the utility's figures."""

from collections.abc import Iterator
from typing import Final

import msgspec

from ampacre.codebook.devices import INTERRUPTING_KA
from ampacre.model import records as r
from ampacre.model.project import Edit
from ampacre.rules.paths import feed_of, has_main, relabelled
from ampacre.rules.questions import ask_of_piece
from ampacre.rules.reading import how_far, run_name
from ampacre.rules.resizing import step_up
from ampacre.rules.rule import Finding, exceeds, found, on_piece, on_run
from ampacre.sizing.series import series_counts
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.fed import below
from ampacre.study.leaves import motor_a
from ampacre.study.study import Study

TOPIC = "fault current"

UNMARKED_KA: Final = {"breaker": 5.0, "fuse": 10.0}
"""What a device without a marked rating counts as (NEC 240.83(C), 240.60(C))."""


def _fault_ka(study: Study, facts: RunFacts) -> float:
    fault = study.equipment(facts.run.source).fault
    return fault.greatest.seen_ka(len(facts.legs)) if fault else 0.0


def _marked(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    rating_ka = step_up(float(finding.values["fault_ka"]), map(float, INTERRUPTING_KA))
    if rating_ka is not None and run.device is not None:
        device = msgspec.structs.replace(run.device, unmarked=False, interrupting_ka=rating_ka)
        label = f"Fit a device of {rating_ka:g} kA for {run_name(study, run)}"
        yield relabelled(study, "runs", run.id, label, device=device)


@on_run(
    "unmarked-device-interrupts", topic=TOPIC, severity="violation", cite="unmarked_breaker",
    remedies=_marked,
)  # fmt: skip
def unmarked_device_interrupts(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A device without a marked interrupting rating faces no more than that stands for.

    5 kA for a breaker (NEC 240.83(C)), 10 kA for a fuse (240.60(C)).
    """
    device = facts.run.device
    if device is None or not device.unmarked or facts.run.protected_at != "supply":
        return
    fault = study.equipment(facts.run.source).fault
    counted_ka, fault_ka = UNMARKED_KA[device.kind], _fault_ka(study, facts)
    if fault is not None and device.interrupting_ka is None and exceeds(fault_ka, counted_ka):
        severity, reaches = how_far(fault)
        yield found(
            "unmarked-device-interrupts", facts.run.id,
            "The {kind} of {run} bears no interrupting rating and counts as {counted_ka}; the "
            "fault there {reaches} {fault_ka}.",
            severity=severity, reaches=reaches, kind=device.kind, run=run_name(study, facts.run), counted_ka=counted_ka,
            fault_ka=fault_ka,
        )  # fmt: skip


def _marked_main(study: Study, finding: Finding) -> Iterator[Edit]:
    piece = study.project.equipment[finding.where]
    rating_ka = step_up(float(finding.values["fault_ka"]), map(float, INTERRUPTING_KA))
    main = piece.main if isinstance(piece, (r.Panel, r.Disconnect)) else None
    if rating_ka is not None and main is not None:
        marked = msgspec.structs.replace(main, unmarked=False, interrupting_ka=rating_ka)
        label = f"Fit a main of {rating_ka:g} kA in {piece.name}"
        yield relabelled(study, "equipment", piece.id, label, main=marked)


@on_piece(
    "unmarked-main-interrupts", r.Panel, r.Disconnect,
    topic=TOPIC, severity="violation", cite="unmarked_breaker", remedies=_marked_main,
)  # fmt: skip
def unmarked_main_interrupts(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A main without a marked interrupting rating faces no more than that stands for.

    5 kA for a breaker (NEC 240.83(C)), 10 kA for fuses (240.60(C)).
    """
    piece = facts.piece
    assert isinstance(piece, (r.Panel, r.Disconnect))
    main = piece.main
    if main is None or not main.unmarked or facts.fault is None or facts.system is None:
        return
    counted_ka = UNMARKED_KA[main.kind]
    fault_ka = facts.fault.greatest.seen_ka(len(facts.system.legs))
    if main.interrupting_ka is None and exceeds(fault_ka, counted_ka):
        severity, reaches = how_far(facts.fault)
        yield found(
            "unmarked-main-interrupts", piece.id,
            "The main of {piece} bears no interrupting rating and counts as {counted_ka}; the "
            "fault there {reaches} {fault_ka}.",
            severity=severity, reaches=reaches, piece=piece.name, counted_ka=counted_ka, fault_ka=fault_ka,
        )  # fmt: skip


def _fully_rated(study: Study, finding: Finding) -> Iterator[Edit]:
    """Fit a device that interrupts the fault by itself, so that no combination is needed."""
    run = study.project.runs[finding.where]
    fault_ka = _fault_ka(study, study.run(run.id))
    rating_ka = step_up(fault_ka, map(float, INTERRUPTING_KA))
    if rating_ka is not None and run.device is not None:
        device = msgspec.structs.replace(
            run.device, series_ka=None, series_basis=None, interrupting_ka=rating_ka
        )
        label = f"Fit a device of {rating_ka:g} kA for {run_name(study, run)}"
        yield relabelled(study, "runs", run.id, label, device=device)


def _relies_on_series(study: Study, facts: RunFacts) -> bool:
    """Whether a device faces more than its own rating, so that it needs the one ahead.

    Where the fault is only bounded it is not known.
    """
    device = facts.run.device
    if device is None or device.series_ka is None or facts.run.protected_at != "supply":
        return False
    fault = study.equipment(facts.run.source).fault
    if fault is not None and fault.at_most:
        return False
    own_ka = device.interrupting_ka or UNMARKED_KA[device.kind]
    return exceeds(_fault_ka(study, facts), own_ka)


@on_run(
    "series-rating-stated", topic=TOPIC, severity="violation", cite="series_rating",
    remedies=_fully_rated,
)  # fmt: skip
def series_rating_stated(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A series rating is one that was tested, and is marked on the equipment.

    In new work a tested combination marked by the maker; in an existing installation also one that
    a licensed engineer selected (NEC 240.86(A) and (B)).
    """
    device = facts.run.device
    if device is None or device.series_basis == "tested" or not _relies_on_series(study, facts):
        return
    if device.series_basis == "engineered" and facts.work == "existing":
        return
    told = "an engineer's selection, in new work" if device.series_basis else "nobody's statement"
    yield found(
        "series-rating-stated", facts.run.id,
        "The device of {run} faces {fault_ka} and relies on a series rating of {series_ka} by "
        "{told}; it takes a tested combination.",
        run=run_name(study, facts.run), fault_ka=_fault_ka(study, facts),
        series_ka=device.series_ka or 0.0, told=told,
    )  # fmt: skip


@on_run(
    "series-rating-has-pair", topic=TOPIC, severity="violation", cite="series_rating",
    remedies=_fully_rated,
)  # fmt: skip
def series_rating_has_pair(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A series rating has the device ahead that it was tested with.

    Both open together on a large fault; without a device ahead there is no combination (NEC 240.86).
    """
    if facts.run.device is None or not _relies_on_series(study, facts):
        return
    source = study.equipment(facts.run.source)
    if source.device_ahead_a is None and not source.ahead_unread:
        yield found(
            "series-rating-has-pair", facts.run.id,
            "The device of {run} relies on a series rating of {series_ka}, and no device stands "
            "ahead of {piece}.",
            run=run_name(study, facts.run), series_ka=facts.run.device.series_ka or 0.0,
            piece=source.piece.name,
        )  # fmt: skip


def _motors_between_a(study: Study, facts: RunFacts) -> float:
    """Full-load currents of the motors on the bus that a device leaves, itself left out [A].

    The bus reaches up to the device that the combination was tested with.
    """
    top = study.equipment(facts.run.source)
    while top.feed is not None and top.parent is not None:
        run = study.run(top.feed)
        if run.run.protected_at == "supply" or has_main(top.piece):
            break
        top = study.equipment(top.parent)
    inside = {other.piece.id for other in below(study, facts.run.target)} | {facts.run.target}
    total_a = 0.0
    for other in below(study, top.piece.id):
        feed = feed_of(study, other)
        if isinstance(other.piece, r.Motor) and other.piece.id not in inside and feed is not None:
            known_a = motor_a(other.piece, feed.legs, feed.system) if feed.system else None
            total_a += known_a or 0.0
    return total_a


@on_run(
    "series-rating-few-motors", topic=TOPIC, severity="violation", cite="series_rating_motors",
    remedies=_fully_rated,
)  # fmt: skip
def series_rating_few_motors(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Motors between the devices of a series rating draw little.

    Their full-load currents together not above 1 % of the lower device's own interrupting rating:
    100 A at 10 kA, as they feed into the fault past the device ahead (NEC 240.86(C)).
    """
    device = facts.run.device
    if device is None or device.series_ka is None or not _relies_on_series(study, facts):
        return
    own_ka = device.interrupting_ka or UNMARKED_KA[device.kind]
    between_a = _motors_between_a(study, facts)
    if not series_counts(own_ka, between_a):
        yield found(
            "series-rating-few-motors", facts.run.id,
            "Motors of {motors_a} stand between the devices of {run}; a series rating of a "
            "{own_ka} device allows {allowed_a}.",
            motors_a=between_a, run=run_name(study, facts.run), own_ka=own_ka,
            allowed_a=0.01 * own_ka * 1000,
        )  # fmt: skip


def _swapped(study: Study, finding: Finding) -> Iterator[Edit]:
    piece = study.project.equipment[finding.where]
    assert isinstance(piece, r.UtilitySource)
    label = f"Exchange the two fault figures of {piece.name}"
    yield relabelled(
        study, "equipment", piece.id, label,
        fault_ka=piece.fault_min_ka, fault_min_ka=piece.fault_ka,
    )  # fmt: skip


@on_piece(
    "utility-fault-in-order", r.UtilitySource,
    topic=TOPIC, severity="warning", cite="common practice", utility=True, remedies=_swapped,
)  # fmt: skip
def utility_fault_in_order(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """The utility's least fault current is not above its greatest.

    Ratings are compared with the greatest, clearing with the least; exchanged, both would pass
    wrongly (common practice).
    """
    piece = facts.piece
    assert isinstance(piece, r.UtilitySource)
    if piece.fault_ka is None or piece.fault_min_ka is None:
        return
    if exceeds(piece.fault_min_ka, piece.fault_ka):
        yield found(
            "utility-fault-in-order", piece.id,
            "{piece}: the least fault current is {least_ka}, above the greatest of {greatest_ka}.",
            piece=piece.name, least_ka=piece.fault_min_ka, greatest_ka=piece.fault_ka,
        )  # fmt: skip


@ask_of_piece(
    "fault-mark-renewed", r.Panel, r.Disconnect,
    topic=TOPIC, severity="warning", cite="fault_marking",
    text="Is the fault current marked at the service the new one, with its date?",
)  # fmt: skip
def fault_mark_renewed(study: Study, facts: EquipmentFacts) -> bool:
    """The fault current marked at a service is renewed when what feeds it changes.

    With another transformer or a generator the ratings are verified and the mark renewed (NEC
    110.24(B)); dwellings need none.
    """
    if not facts.at_service or facts.work != "existing":
        return False
    tally = facts.tally or {}
    if all(key.category == "dwelling general" or key.dwelling for key in tally):
        return False
    at = facts
    while at.parent is not None:
        at = study.equipment(at.parent)
        if isinstance(at.piece, r.Transformer):
            return at.work == "new"
    return False
