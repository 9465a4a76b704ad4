"""Receptacles and the branch circuits that they are on."""

from collections.abc import Iterator
from typing import Final

from ampacre.codebook.devices import standard_below
from ampacre.model import records as r
from ampacre.model.project import Edit
from ampacre.rules.paths import feed_of, next_larger, relabelled
from ampacre.rules.reading import assumed_terminals, known, supply_device_a
from ampacre.rules.resizing import step_up, with_device
from ampacre.rules.rule import Finding, exceeds, found, on_piece
from ampacre.study.facts import EquipmentFacts
from ampacre.study.study import Study

TOPIC = "branch circuits"

_ALLOWED: Final[dict[float, tuple[r.ReceptacleAmperes, ...]]] = {
    15.0: (15,),
    20.0: (20, 15),
    30.0: (30,),
    40.0: (40, 50),
    50.0: (50,),
}
"""Receptacles that a branch circuit with two or more may have, by its rating (NEC 210.21(B)(3))."""

CORD_SHARE: Final = 0.8


def _several(load: r.Load) -> bool:
    """Whether a circuit has more than one receptacle: counted, or left to be a general one."""
    if load.receptacles is None:
        return load.category == "receptacles"
    return load.receptacles > 1


def _device_a(study: Study, facts: EquipmentFacts) -> float | None:
    run = feed_of(study, facts)
    return supply_device_a(run) if run else None


def _within_wire(study: Study, finding: Finding) -> Iterator[Edit]:
    run = feed_of(study, study.equipment(finding.where))
    if run is None:
        return
    smaller_a = standard_below(float(finding.values["carried_a"]), study.settings.edition)
    if smaller_a and not exceeds(run.sizing_a, smaller_a):
        edit = with_device(study, run, smaller_a)
        if edit is not None:
            yield edit
    yield from next_larger(study, run, float(finding.values["device_a"]))


@on_piece(
    "receptacle-circuit-not-rounded", r.Load,
    topic=TOPIC, severity="violation", cite="next_size_up", remedies=_within_wire,
)  # fmt: skip
def receptacle_circuit_not_rounded(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """The conductors of a circuit with several receptacles carry the full rating of its device.

    The next standard rating above an ampacity is not allowed there, as anything may be plugged in
    (NEC 240.4(B)(1)).
    """
    load = facts.piece
    assert isinstance(load, r.Load)
    run = feed_of(study, facts)
    if not _several(load) or run is None or run.ampacity is None or known(run.size) is None:
        return
    device_a = supply_device_a(run)
    if device_a is not None and exceeds(device_a, run.ampacity.allowed_a):
        yield found(
            "receptacle-circuit-not-rounded", load.id,
            "{piece}: a circuit with several receptacles has a device of {device_a} on conductors "
            "that carry {carried_a}.{assumed}",
            piece=load.name, device_a=device_a, carried_a=run.ampacity.allowed_a,
            assumed=assumed_terminals(run),
        )  # fmt: skip


def _ratings(edition: str) -> tuple[float, ...]:
    return (10.0, *_ALLOWED) if edition == "2023" else tuple(_ALLOWED)


def _listed_rating(study: Study, finding: Finding) -> Iterator[Edit]:
    run = feed_of(study, study.equipment(finding.where))
    if run is None:
        return
    device_a = float(finding.values["device_a"])
    lower = [rating for rating in _ratings(study.settings.edition) if rating < device_a]
    wanted = [max(lower)] if lower and not exceeds(run.sizing_a, max(lower)) else []
    upper = step_up(device_a, _ALLOWED)
    for rating_a in [*wanted, *([upper] if upper else [])]:
        edit = with_device(study, run, rating_a)
        if edit is not None:
            yield edit


@on_piece(
    "several-receptacles-rating", r.Load,
    topic=TOPIC, severity="warning", cite="branch_ratings", remedies=_listed_rating,
)  # fmt: skip
def several_receptacles_rating(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A branch circuit with several receptacles is rated 15, 20, 30, 40 or 50 A.

    Circuits of one outlet may have any rating (NEC 210.18; 10 A was added in 2023).
    """
    load = facts.piece
    assert isinstance(load, r.Load)
    if not _several(load):
        return
    device_a = _device_a(study, facts)
    if device_a is not None and device_a not in _ratings(study.settings.edition):
        yield found(
            "several-receptacles-rating", load.id,
            "{piece}: a circuit of {device_a} may not have several receptacles.",
            piece=load.name, device_a=device_a,
        )  # fmt: skip


def _other_receptacle(study: Study, finding: Finding, rating_a: r.ReceptacleAmperes) -> Edit:
    piece = study.project.equipment[finding.where]
    label = f"Fit {rating_a} A receptacles at {piece.name}"
    return relabelled(study, "equipment", piece.id, label, receptacle_a=rating_a)


def _as_the_circuit(study: Study, finding: Finding) -> Iterator[Edit]:
    run = feed_of(study, study.equipment(finding.where))
    receptacle_a = float(finding.values["receptacle_a"])
    if run is not None and not exceeds(run.sizing_a, receptacle_a):
        edit = with_device(study, run, receptacle_a)
        if edit is not None:
            yield edit
    device_a = float(finding.values["device_a"])
    larger: tuple[r.ReceptacleAmperes, ...] = (15, 20, 30, 40, 50, 60)
    fitting = [rating for rating in larger if rating >= device_a]
    if fitting:
        yield _other_receptacle(study, finding, fitting[0])


@on_piece(
    "single-receptacle-rating", r.Load,
    topic=TOPIC, severity="violation", cite="single_receptacle", remedies=_as_the_circuit,
)  # fmt: skip
def single_receptacle_rating(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A single receptacle on a circuit of its own is rated for the circuit.

    Not below the rating of the branch circuit, whatever is plugged in (NEC 210.21(B)(1)).
    """
    load = facts.piece
    assert isinstance(load, r.Load)
    if load.receptacles != 1 or load.receptacle_a is None:
        return
    device_a = _device_a(study, facts)
    if device_a is not None and exceeds(device_a, load.receptacle_a):
        yield found(
            "single-receptacle-rating", load.id,
            "{piece}: a receptacle of {receptacle_a} is alone on a circuit of {device_a}.",
            piece=load.name, receptacle_a=float(load.receptacle_a), device_a=device_a,
        )  # fmt: skip


def _matching(study: Study, finding: Finding) -> Iterator[Edit]:
    allowed = _ALLOWED[float(finding.values["device_a"])]
    yield _other_receptacle(study, finding, allowed[0])


@on_piece(
    "receptacles-match-circuit", r.Load,
    topic=TOPIC, severity="violation", cite="receptacle_ratings", remedies=_matching,
)  # fmt: skip
def receptacles_match_circuit(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """Several receptacles on one circuit are of the ratings that go with it.

    15 A on 15, 15 or 20 A on 20, 30 A on 30, 40 or 50 A on 40, 50 A on 50 (NEC 210.21(B)(3)).
    """
    load = facts.piece
    assert isinstance(load, r.Load)
    if not _several(load) or load.receptacle_a is None:
        return
    device_a = _device_a(study, facts)
    allowed = _ALLOWED.get(device_a) if device_a is not None else None
    if device_a is not None and allowed is not None and load.receptacle_a not in allowed:
        yield found(
            "receptacles-match-circuit", load.id,
            "{piece}: receptacles of {receptacle_a} are on a circuit of {device_a}, which takes "
            "those of {allowed} A.",
            piece=load.name, receptacle_a=float(load.receptacle_a), device_a=device_a,
            allowed=" or ".join(str(rating) for rating in allowed),
        )  # fmt: skip


def _larger_circuit(study: Study, finding: Finding) -> Iterator[Edit]:
    run = feed_of(study, study.equipment(finding.where))
    rating_a = step_up(float(finding.values["load_a"]) / CORD_SHARE, _ALLOWED)
    edit = with_device(study, run, rating_a) if run and rating_a else None
    if edit is not None:
        yield edit


@on_piece(
    "cord-load-share", r.Load,
    topic=TOPIC, severity="warning", cite="cord_load", remedies=_larger_circuit,
)  # fmt: skip
def cord_load_share(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """One appliance on a cord takes at most 80 % of a circuit that has other receptacles.

    12 A on a 15 A circuit, 16 A on 20 A; receptacles of less than the circuit's rating count with
    theirs (NEC 210.21(B)(2), 210.23).
    """
    load = facts.piece
    assert isinstance(load, r.Load)
    if load.category != "appliance" or not _several(load):
        return
    run, device_a = feed_of(study, facts), _device_a(study, facts)
    if run is None or device_a is None:
        return
    rated_a = min(device_a, float(load.receptacle_a or device_a))
    if exceeds(run.calculated_a, CORD_SHARE * rated_a):
        yield found(
            "cord-load-share", load.id,
            "{piece} takes {load_a} by its cord; among other receptacles {allowed_a} is the most "
            "on {rated_a}.",
            piece=load.name, load_a=run.calculated_a, allowed_a=CORD_SHARE * rated_a,
            rated_a=rated_a,
        )  # fmt: skip
