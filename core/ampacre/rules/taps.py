"""Feeder taps: conductors that a device protects only at their far end."""

from collections.abc import Iterator

from ampacre.codebook.devices import standard_below
from ampacre.model import records as r
from ampacre.model.project import Edit
from ampacre.rules.paths import end_main, has_main, next_larger, with_main
from ampacre.rules.reading import (
    assumed_terminals,
    is_circuit,
    known,
    run_name,
    supply_device_a,
)
from ampacre.rules.rule import Finding, exceeds, found, on_run
from ampacre.sizing.taps import TEN_FEET_M, TWENTY_FIVE_FEET_M
from ampacre.study.facts import RunFacts
from ampacre.study.fed import below
from ampacre.study.study import Study

TOPIC = "taps"

_SLACK_M = 1e-6


def _carried_a(facts: RunFacts) -> float | None:
    """What a run's known conductors carry [A]."""
    if facts.ampacity is None or known(facts.size) is None:
        return None
    return facts.ampacity.allowed_a


def _to_transformer(study: Study, facts: RunFacts) -> bool:
    return isinstance(study.standing.equipment[facts.run.target], r.Transformer)


def _larger_tap(study: Study, finding: Finding) -> Iterator[Edit]:
    return next_larger(study, study.run(finding.where), float(finding.values["needed_a"]))


@on_run(
    "tap-within-its-rule", topic=TOPIC, severity="violation", cite="taps", roles=("tap",),
    remedies=_larger_tap,
)  # fmt: skip
def tap_within_its_rule(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A tap is as large as its length asks for.

    To 10 ft a tenth of the feeder's device, to 25 ft a third; beyond that only outdoors (NEC
    240.21(B)(1), (2) and (5)).
    """
    ahead_a, carried_a = study.equipment(facts.run.source).device_ahead_a, _carried_a(facts)
    length_m = facts.run.length_m
    if ahead_a is None or carried_a is None or not length_m or _to_transformer(study, facts):
        return
    if facts.tap is None:
        needed_a, why = ahead_a, "no tap rule allows that length indoors"
    else:
        needed_a, why = facts.tap.least_a, f"it must carry {facts.tap.why}"
    if exceeds(needed_a, carried_a):
        yield found(
            "tap-within-its-rule", facts.run.id,
            "{run} is a tap of {length_m} behind {ahead_a} that carries {carried_a}: {why}, "
            "{needed_a}.{assumed}",
            run=run_name(study, facts.run), length_m=length_m, ahead_a=ahead_a,
            carried_a=carried_a, why=why, needed_a=needed_a, assumed=assumed_terminals(facts),
        )  # fmt: skip


@on_run(
    "tap-ends-in-device", topic=TOPIC, severity="violation", cite="tap_25", roles=("tap",),
    remedies=end_main,
)  # fmt: skip
def tap_ends_in_device(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A tap longer than 10 ft ends in one device that limits its load.

    A single breaker or set of fuses not above its ampacity (NEC 240.21(B)(2) and (5)).
    """
    carried_a, length_m = _carried_a(facts), facts.run.length_m
    target = study.standing.equipment[facts.run.target]
    if carried_a is None or not length_m or length_m <= TEN_FEET_M + _SLACK_M:
        return
    if has_main(target) or isinstance(target, r.Transformer):
        return
    yield found(
        "tap-ends-in-device", facts.run.id,
        "{run} is a tap of {length_m} and ends in {piece} without a device; it carries "
        "{carried_a}.",
        run=run_name(study, facts.run), length_m=length_m, piece=target.name,
        carried_a=carried_a,
    )  # fmt: skip


def _rating_a(piece: r.Equipment) -> float | None:
    """Rating of equipment that a short tap ends in without a main [A]."""
    if isinstance(piece, r.Panel):
        return piece.bus_a
    return piece.rating_a if isinstance(piece, (r.Disconnect, r.TransferSwitch)) else None


def _cover_end(study: Study, finding: Finding) -> Iterator[Edit]:
    yield from _larger_tap(study, finding)
    yield from end_main(study, finding)


@on_run(
    "short-tap-covers-its-end", topic=TOPIC, severity="violation", cite="tap_10", roles=("tap",),
    remedies=_cover_end,
)  # fmt: skip
def short_tap_covers_its_end(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A tap of 10 ft or less carries the rating of the equipment that it ends in.

    Of the bus or switch, where that has no device of its own (NEC 240.21(B)(1)).
    """
    carried_a, length_m = _carried_a(facts), facts.run.length_m
    target = study.standing.equipment[facts.run.target]
    if carried_a is None or not length_m or length_m > TEN_FEET_M + _SLACK_M or has_main(target):
        return
    rating_a = _rating_a(target)
    if rating_a is not None and exceeds(rating_a, carried_a):
        yield found(
            "short-tap-covers-its-end", facts.run.id,
            "{run} carries {carried_a} and ends in {piece}, rated {needed_a}, which has no device.",
            run=run_name(study, facts.run), carried_a=carried_a, piece=target.name,
            needed_a=rating_a,
        )  # fmt: skip


def _main_between(study: Study, finding: Finding) -> Iterator[Edit]:
    """Fit the piece between the two taps with a main, so that the second is no tap of a tap."""
    run = study.project.runs[finding.where]
    feed = study.equipment(run.source).feed
    carried_a = _carried_a(study.run(feed)) if feed else None
    fitting = standard_below(carried_a or 0.0, study.settings.edition)
    edit = with_main(study, run.source, fitting) if fitting else None
    if edit is not None:
        yield edit


@on_run(
    "tap-not-from-tap", topic=TOPIC, severity="violation", cite="tap_chain", roles=("tap",),
    remedies=_main_between,
)  # fmt: skip
def tap_not_from_tap(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A tap does not supply another tap.

    Conductors under a tap rule feed others only through a device that protects those (NEC 240.21).
    """
    source = study.equipment(facts.run.source)
    ahead = study.run(source.feed) if source.feed is not None else None
    if ahead is None or ahead.run.role != "tap" or has_main(source.piece):
        return
    yield found(
        "tap-not-from-tap", facts.run.id,
        "{run} is a tap from {piece}, which is at the end of a tap itself.",
        run=run_name(study, facts.run), piece=source.piece.name,
    )  # fmt: skip


@on_run(
    "transformer-tap-within-its-rule", topic=TOPIC, severity="violation", cite="tap_transformer",
    roles=("tap",), remedies=_larger_tap,
)  # fmt: skip
def transformer_tap_within_its_rule(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A tap that supplies a transformer is short and carries a third of the feeder's device.

    Primary and secondary conductors together to 25 ft, each for its voltage; the secondary's own
    share is judged with the transformer (NEC 240.21(B)(3)).
    """
    if not _to_transformer(study, facts):
        return
    ahead_a, carried_a = study.equipment(facts.run.source).device_ahead_a, _carried_a(facts)
    length_m = facts.run.length_m
    if ahead_a is None or carried_a is None or length_m is None:
        return
    behind = study.equipment(facts.run.target).runs_out
    behind_m = max((study.run(key).run.length_m or 0.0 for key in behind), default=0.0)
    too_long = length_m + behind_m > TWENTY_FIVE_FEET_M + _SLACK_M
    needed_a = ahead_a if too_long else ahead_a / 3
    if exceeds(needed_a, carried_a):
        yield found(
            "transformer-tap-within-its-rule", facts.run.id,
            "{run} taps {ahead_a} for a transformer over {length_m}, with the secondary {total_m}; "
            "it carries {carried_a} and must carry {needed_a}{why}.",
            run=run_name(study, facts.run), ahead_a=ahead_a, length_m=length_m,
            total_m=length_m + behind_m, carried_a=carried_a, needed_a=needed_a,
            why=", as beyond 25 ft it is no tap" if too_long else ", a third",
        )  # fmt: skip


def _sources_on_feeder_a(study: Study, key: str) -> float:
    """Devices of the sources behind the device that a tap's feeder starts at, added [A]."""
    facts = study.equipment(key)
    while facts.feed is not None and facts.parent is not None:
        run = study.run(facts.feed)
        if run.run.protected_at == "supply" or has_main(facts.piece):
            break
        facts = study.equipment(facts.parent)
    total_a = 0.0
    for other in below(study, facts.piece.id):
        if isinstance(other.piece, (r.Inverter, r.Battery)) and other.feed is not None:
            total_a += supply_device_a(study.run(other.feed)) or 0.0
    return total_a


@on_run(
    "tap-beside-sources", topic=TOPIC, severity="violation", cite="source_tap", roles=("tap",),
    remedies=_larger_tap,
)  # fmt: skip
def tap_beside_sources(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A tap on a feeder with sources carries a third of all devices that feed it.

    The feeder's device and those of the inverters on it, for taps of more than 10 ft (NEC
    705.12(A)(3)).
    """
    ahead_a, carried_a = study.equipment(facts.run.source).device_ahead_a, _carried_a(facts)
    length_m = facts.run.length_m
    if ahead_a is None or carried_a is None or not length_m or length_m <= TEN_FEET_M + _SLACK_M:
        return
    sources_a = _sources_on_feeder_a(study, facts.run.source)
    needed_a = (ahead_a + sources_a) / 3
    if sources_a and exceeds(needed_a, carried_a) and is_circuit(study, facts):
        yield found(
            "tap-beside-sources", facts.run.id,
            "{run} carries {carried_a}; its feeder's device of {ahead_a} and those of sources, "
            "{sources_a}, ask for a third of both, {needed_a}.",
            run=run_name(study, facts.run), carried_a=carried_a, ahead_a=ahead_a,
            sources_a=sources_a, needed_a=needed_a,
        )  # fmt: skip
