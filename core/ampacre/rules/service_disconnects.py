"""Service disconnects: how many, in what enclosures, where, and how large."""

from collections.abc import Iterator
from typing import Final

from ampacre.codebook.ratings import SWITCH_A
from ampacre.model import records as r
from ampacre.model.naming import listed
from ampacre.model.project import Edit
from ampacre.rules.by_service import on_service
from ampacre.rules.paths import relabelled
from ampacre.rules.resizing import step_up
from ampacre.rules.rule import Finding, exceeds, found, on_piece
from ampacre.rules.supplies import (
    Service,
    circuits_from,
    counted,
    every_leg,
    fit_main,
    has_main_lugs,
    in_dwelling,
    least_means_a,
    rating_a,
    services,
)
from ampacre.study.facts import EquipmentFacts
from ampacre.study.study import Study

TOPIC = "services"

MOST: Final = 6
"""Service disconnects at one place (NEC 230.71)."""
ADJACENT_M: Final = 24 * 0.0254
"""What counts as immediately adjacent: a nipple of 24 in (common practice)."""


def _groups(service: Service) -> dict[str | None, list[EquipmentFacts]]:
    """Give a service's disconnects by the structure that they stand in."""
    found: dict[str | None, list[EquipmentFacts]] = {}
    for facts in service.disconnects:
        found.setdefault(facts.piece.structure, []).append(facts)
    return found


def _one_main(study: Study, finding: Finding) -> Iterator[Edit]:
    for service in services(study):
        for group in _groups(service).values():
            lugs = [facts for facts in group if has_main_lugs(facts)]
            if finding.where == group[0].piece.id and len(lugs) == 1:
                yield from fit_main(study, lugs[0].piece.id, 0.0)


@on_service(
    "service-disconnects-six", topic=TOPIC, severity="violation", cite="service_disconnects",
    remedies=_one_main,
)  # fmt: skip
def service_disconnects_six(study: Study, service: Service) -> Iterator[Finding]:
    """A service is switched off by six motions of the hand at most.

    Six disconnects at one structure; in a panel with main lugs every breaker is one (NEC 230.71).
    """
    for group in _groups(service).values():
        count = counted(study, group)
        if count > MOST:
            yield found(
                "service-disconnects-six", group[0].piece.id,
                "The service at {entry} has {count} disconnects, in {names}; six are the most.",
                entry=service.entry.piece.name, count=str(count),
                names=listed(facts.piece.name for facts in group),
            )  # fmt: skip


def _apart(study: Study, finding: Finding) -> Iterator[Edit]:
    piece = study.project.equipment[finding.where]
    if isinstance(piece, r.Panel) and has_main_lugs(study.equipment(piece.id)):
        yield from fit_main(study, piece.id, 0.0)
    elif isinstance(piece, (r.Panel, r.Disconnect)):
        label = f"give {piece.name} an enclosure of its own"
        yield relabelled(study, "equipment", piece.id, label, enclosure="")


@on_service(
    "service-disconnects-apart", topic=TOPIC, severity="violation", cite="service_disconnects",
    remedies=_apart,
)  # fmt: skip
def service_disconnects_apart(study: Study, service: Service) -> Iterator[Finding]:
    """Several service disconnects stand each in an enclosure of its own.

    From 2020: two to six only in separate enclosures, panels with a main each, switchboard
    sections or compartments of a metering center (NEC 230.71(B)). Several breakers in one panel no
    longer serve.
    """
    if study.settings.edition == "2017":
        return
    shared: dict[str, r.Equipment] = {}
    for facts in service.disconnects:
        piece = facts.piece
        assert isinstance(piece, (r.Panel, r.Disconnect))
        count = len(circuits_from(study, facts)) if has_main_lugs(facts) else 1
        if count > 1:
            yield found(
                "service-disconnects-apart", piece.id,
                "{piece} has no main; its {count} breakers are service disconnects in one "
                "enclosure.",
                piece=piece.name, count=str(count),
            )  # fmt: skip
        other = shared.setdefault(piece.enclosure, piece) if piece.enclosure else piece
        if other is not piece:
            yield found(
                "service-disconnects-apart", piece.id,
                "{piece} and {other} are service disconnects in one enclosure, {enclosure}.",
                about=other.id, piece=piece.name, other=other.name, enclosure=piece.enclosure,
            )  # fmt: skip


def _together(study: Study, finding: Finding) -> Iterator[Edit]:
    piece, other = (study.project.equipment[key] for key in (finding.where, finding.about))
    for moved, to in ((piece, other), (other, piece)):
        label = f"move {moved.name} {to.location}, to {to.name}"
        yield relabelled(study, "equipment", moved.id, label, location=to.location)


@on_service(
    "service-disconnects-grouped", topic=TOPIC, severity="violation",
    cite="service_disconnects_grouped", remedies=_together,
)  # fmt: skip
def service_disconnects_grouped(_study: Study, service: Service) -> Iterator[Finding]:
    """The disconnects of one service at one structure stand together.

    Only those of standby systems and fire pumps stand apart (NEC 230.72).
    """
    for group in _groups(service).values():
        placed = [facts.piece for facts in group if facts.piece.location is not None]
        for piece in placed[1:]:
            if piece.location != placed[0].location:
                yield found(
                    "service-disconnects-grouped", piece.id,
                    "{piece} stands {here}, {other} {there}: disconnects of one service stand "
                    "together.",
                    about=placed[0].id, piece=piece.name, other=placed[0].name,
                    here=str(piece.location), there=str(placed[0].location),
                )  # fmt: skip
                break


def larger_means(study: Study, finding: Finding) -> Iterator[Edit]:
    """Fit a disconnecting means of the least rating."""
    facts = study.equipment(finding.where)
    least_a = float(finding.values["least_a"])
    piece = facts.piece
    if isinstance(piece, r.Disconnect) and piece.main is None:
        wanted = step_up(least_a, SWITCH_A)
        if wanted is not None:
            label = f"fit {piece.name} as a {wanted:g} A switch"
            yield relabelled(study, "equipment", piece.id, label, rating_a=wanted)
    else:
        yield from fit_main(study, piece.id, least_a)


@on_service(
    "service-rating-enough", topic=TOPIC, severity="violation", cite="service_disconnect_size",
    remedies=larger_means,
)  # fmt: skip
def service_rating_enough(study: Study, service: Service) -> Iterator[Finding]:
    """A service disconnect is not below the least rating for what it supplies.

    100 A for a one-family dwelling, 15 A for one limited circuit, 30 A for two two-wire circuits,
    60 A for anything else; several add up (NEC 230.79, 230.80).
    """
    for group in _groups(service).values():
        ratings = [rating_a(study, facts) for facts in group]
        known = [rating for rating in ratings if rating is not None]
        least = [least_means_a(study, facts, dwelling=in_dwelling(study, facts)) for facts in group]
        wanted = [a for a in least if a is not None]
        if not wanted or len(known) < len(ratings):
            continue
        if exceeds(max(wanted), sum(known)):
            yield found(
                "service-rating-enough", group[0].piece.id,
                "The service disconnect {names} is rated {rated_a}; {least_a} is the least for "
                "what it supplies.",
                names=listed(facts.piece.name for facts in group), rated_a=sum(known),
                least_a=max(wanted),
            )  # fmt: skip


def _device_here(study: Study, finding: Finding) -> Iterator[Edit]:
    least = least_means_a(study, study.equipment(finding.where), dwelling=False)
    yield from fit_main(study, finding.where, least or 0.0)


@on_piece(
    "service-device-at-disconnect", r.Disconnect,
    topic=TOPIC, severity="violation", cite="service_device_place", remedies=_device_here,
)  # fmt: skip
def service_device_at_disconnect(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """The overcurrent device of a service is in its disconnect or right beside it.

    A switch without fuses needs the device immediately adjacent (NEC 230.90, 230.91); a nipple of
    24 in is taken for that (common practice).
    """
    piece = facts.piece
    assert isinstance(piece, r.Disconnect)
    if not facts.at_service or piece.main is not None:
        return
    for run in circuits_from(study, facts):
        length_m = run.run.length_m
        if run.run.protected_at == "supply" or length_m is None or length_m <= ADJACENT_M:
            continue
        target = study.standing.equipment[run.run.target]
        yield found(
            "service-device-at-disconnect", piece.id,
            "{piece} is a switch without a device; the one that protects the service is at "
            "{target}, {length_m} away.",
            about=run.run.id, piece=piece.name, target=target.name, length_m=length_m,
        )  # fmt: skip


def _all_legs(study: Study, finding: Finding) -> Iterator[Edit]:
    return every_leg(study, finding.where, int(str(finding.values["legs"])))


@on_piece(
    "service-switch-opens-all-legs", r.Panel, r.Disconnect,
    topic=TOPIC, severity="violation", cite="service_every_leg", remedies=_all_legs,
)  # fmt: skip
def service_switch_opens_all_legs(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A service disconnect opens all ungrounded conductors at once.

    As many poles as legs arrive (NEC 230.74); the neutral may stay on a terminal that it can be
    lifted from (230.75).
    """
    piece = facts.piece
    assert isinstance(piece, (r.Panel, r.Disconnect))
    if facts.at_service and facts.system is not None and piece.poles is not None:
        legs = len(facts.system.legs)
        if piece.poles < legs:
            yield found(
                "service-switch-opens-all-legs", piece.id,
                "{piece} opens {poles} of the {legs} legs of the service.",
                piece=piece.name, poles=str(piece.poles), legs=str(legs),
            )  # fmt: skip
