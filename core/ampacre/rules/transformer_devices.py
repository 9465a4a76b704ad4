"""Devices of a customer's transformer."""

from collections.abc import Iterator
from typing import NamedTuple

from ampacre.codebook.devices import standard_below
from ampacre.model import records as r
from ampacre.model.project import Edit
from ampacre.model.system import SYSTEMS
from ampacre.rules.paths import (
    feed_of,
    has_main,
    protected_a,
    with_main,
)
from ampacre.rules.questions import ask_of_piece
from ampacre.rules.reading import main_of, supply_device_a
from ampacre.rules.resizing import with_device
from ampacre.rules.rule import Finding, exceeds, found, on_piece
from ampacre.sizing.transformers import rated_current_a, transformer_device_a
from ampacre.study.facts import EquipmentFacts
from ampacre.study.fed import circuits_out
from ampacre.study.study import Study

TOPIC = "transformers"

MOST_SECONDARIES = 6


class Protection(NamedTuple):
    """A transformer's rated currents and devices [A].

    `alone_a` is the largest primary device without one on the secondary, `primary_limit_a` and
    `secondary_limit_a` those where both sides have one. `secondaries_a` are the devices behind it,
    None where one of them is missing or not known; `unprotected` tells which.
    """

    primary_a: float
    alone_a: float
    primary_limit_a: float
    secondary_limit_a: float
    secondaries_a: tuple[float, ...] | None
    unprotected: bool


def _protection(study: Study, facts: EquipmentFacts) -> Protection | None:
    piece, feed = facts.piece, feed_of(study, facts)
    assert isinstance(piece, r.Transformer)
    system = SYSTEMS.get(piece.system)
    if feed is None or feed.system is None or piece.kva is None or system is None:
        return None
    primary_a = protected_a(study, feed)
    if primary_a is None or not feed.volts or feed.system.name == "primary":
        return None
    edition = study.settings.edition
    rated_in = rated_current_a(piece.kva, feed.volts, 3 if len(feed.legs) == 3 else 1)
    rated_out = rated_current_a(piece.kva, system.line_v, system.phases)
    unprotected, ratings = False, []
    for run, target in circuits_out(study, facts):
        if run.run.protected_at == "supply":
            ratings.append(supply_device_a(run))
        elif has_main(target):
            main = main_of(target)
            ratings.append(main.rating_a if main else None)
        else:
            unprotected = True
    stated = tuple(rating for rating in ratings if rating is not None)
    return Protection(
        primary_a,
        transformer_device_a("primary", rated_in, edition, with_secondary=False),
        transformer_device_a("primary", rated_in, edition, with_secondary=True),
        transformer_device_a("secondary", rated_out, edition, with_secondary=True),
        None if unprotected or len(stated) < len(ratings) else stated,
        unprotected or not ratings,
    )


def _smaller_primary(study: Study, finding: Finding) -> Iterator[Edit]:
    feed = feed_of(study, study.equipment(finding.where))
    allowed_a = standard_below(float(finding.values["allowed_a"]), study.settings.edition)
    if feed is None or feed.run.protected_at != "supply" or not allowed_a:
        return
    if not exceeds(feed.sizing_a, allowed_a):
        edit = with_device(study, feed, allowed_a)
        if edit is not None:
            yield edit


@on_piece(
    "transformer-primary-protected", r.Transformer,
    topic=TOPIC, severity="violation", cite="transformer_protection", remedies=_smaller_primary,
)  # fmt: skip
def transformer_primary_protected(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A transformer's primary device is not above its limit.

    Alone 125 % of the rated primary current and the next standard rating, 167 % below 9 A; 250 %
    where the secondary is protected too (NEC Table 450.3(B)).
    """
    both = _protection(study, facts)
    if both is None or not exceeds(both.primary_a, both.alone_a):
        return
    if both.secondaries_a is None and not both.unprotected:
        return
    allowed_a = both.alone_a if both.unprotected else both.primary_limit_a
    if exceeds(both.primary_a, allowed_a):
        how = "with no device on its secondary" if both.unprotected else "with both protected"
        yield found(
            "transformer-primary-protected", facts.piece.id,
            "The primary device of {piece} is {primary_a}; {how} it may be {allowed_a} at most.",
            piece=facts.piece.name, primary_a=both.primary_a, how=how, allowed_a=allowed_a,
        )  # fmt: skip


def _smaller_secondary(study: Study, finding: Finding) -> Iterator[Edit]:
    allowed_a = standard_below(float(finding.values["allowed_a"]), study.settings.edition)
    facts = study.equipment(finding.where)
    for run, target in circuits_out(study, facts):
        if not allowed_a or exceeds(run.sizing_a, allowed_a):
            return
        if run.run.protected_at == "supply":
            edit = with_device(study, run, allowed_a)
        else:
            edit = with_main(study, target.id, allowed_a)
        if edit is not None:
            yield edit


@on_piece(
    "transformer-secondary-protected", r.Transformer,
    topic=TOPIC, severity="violation", cite="transformer_protection",
    remedies=_smaller_secondary,
)  # fmt: skip
def transformer_secondary_protected(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A transformer's secondary device is not above 125 % of its rated current.

    Where the primary device is above what it may be alone; the next standard rating is allowed from
    9 A up (NEC Table 450.3(B)).
    """
    both = _protection(study, facts)
    if both is None or both.secondaries_a is None or len(both.secondaries_a) != 1:
        return
    (secondary_a,) = both.secondaries_a
    if not exceeds(both.primary_a, both.alone_a):
        return
    if exceeds(secondary_a, both.secondary_limit_a):
        yield found(
            "transformer-secondary-protected", facts.piece.id,
            "The secondary device of {piece} is {secondary_a}; behind a primary device of "
            "{primary_a} it may be {allowed_a} at most.",
            piece=facts.piece.name, secondary_a=secondary_a, primary_a=both.primary_a,
            allowed_a=both.secondary_limit_a,
        )  # fmt: skip


@on_piece(
    "transformer-secondary-devices", r.Transformer,
    topic=TOPIC, severity="violation", cite="transformer_protection", remedies=_smaller_primary,
)  # fmt: skip
def transformer_secondary_devices(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """Several secondary devices are six at most and together not above the limit of one.

    Grouped in one place (NEC Table 450.3(B), note 2), where the primary alone does not protect the
    transformer.
    """
    both = _protection(study, facts)
    if both is None or both.secondaries_a is None or len(both.secondaries_a) < 2:
        return
    count, sum_a = len(both.secondaries_a), sum(both.secondaries_a)
    if not exceeds(both.primary_a, both.alone_a):
        return
    if count > MOST_SECONDARIES or exceeds(sum_a, both.secondary_limit_a):
        yield found(
            "transformer-secondary-devices", facts.piece.id,
            "{piece} has {count} secondary devices of {sum_a} together; behind {primary_a} they "
            "may be six, of {limit_a} together. A primary device of {allowed_a} needs none.",
            piece=facts.piece.name, count=str(count), sum_a=sum_a, primary_a=both.primary_a,
            limit_a=both.secondary_limit_a, allowed_a=both.alone_a,
        )  # fmt: skip


@on_piece(
    "transformer-steps-down", r.Transformer, topic=TOPIC, severity="advice", cite="reverse_feed"
)
def transformer_steps_down(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A transformer that steps up is made for it, or allowed by its maker to be fed in reverse.

    Dry units fed from their low side draw more when switched on, and the neutral of that side is
    left open (NEC 450.11(B)).
    """
    feed = feed_of(study, facts)
    if feed is None or facts.system is None or not feed.volts or facts.piece.owner == "utility":
        return
    if exceeds(facts.system.line_v, feed.volts):
        yield found(
            "transformer-steps-down", facts.piece.id,
            "{piece} steps {arrives_v} up to {gives_v}: see that its maker allows it to be fed "
            "that way.",
            piece=facts.piece.name, arrives_v=feed.volts, gives_v=facts.system.line_v,
        )  # fmt: skip


@ask_of_piece(
    "transformer-disconnect-near", r.Transformer,
    topic=TOPIC, severity="violation", cite="transformer_disconnect",
    text="Is a disconnect for the transformer in sight of it, or lockable and named on it?",
)  # fmt: skip
def transformer_disconnect_near(_study: Study, facts: EquipmentFacts) -> bool:
    """A customer's transformer has a disconnect in sight, or one that locks and is named on it.

    On the primary side, so that the transformer can be worked on (NEC 450.14).
    """
    return facts.supplied and facts.feed is not None
