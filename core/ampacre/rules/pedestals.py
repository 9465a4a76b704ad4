"""Pedestals for visitors' vehicles and boats: their receptacles and circuits."""

from collections.abc import Iterator

import msgspec

from ampacre.codebook.conductors import SIZES, area_cmil, size_word
from ampacre.codebook.grounding import egc
from ampacre.model import records as r
from ampacre.model.edits import alter, free_spaces
from ampacre.model.project import Edit
from ampacre.rules.grounding import pulled
from ampacre.rules.paths import feed_of, labelled, relabelled, upward
from ampacre.rules.questions import ask_of_piece
from ampacre.rules.reading import is_circuit, run_name
from ampacre.rules.resizing import with_device
from ampacre.rules.rule import Finding, exceeds, found, on_piece
from ampacre.study.facts import EquipmentFacts
from ampacre.study.study import Study

TOPIC = "pedestals"


def larger_device(study: Study, finding: Finding) -> Iterator[Edit]:
    """Fit the circuit of a pedestal with a device of the rating that it needs."""
    facts = study.equipment(finding.where)
    wanted_a = float(finding.values["needed_a"])
    for run, _ in upward(study, facts.piece.id):
        if run.run.protected_at == "supply":
            edit = with_device(study, run, wanted_a)
            if edit is not None:
                yield edit
            return


@on_piece(
    "pedestal-device-for-receptacle", r.Pedestal,
    topic=TOPIC, severity="warning", cite="receptacle_ratings", remedies=larger_device,
)  # fmt: skip
def pedestal_device_for_receptacle(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A pedestal's circuit is rated for its largest receptacle.

    A 50 A receptacle on a 30 A circuit trips when it is used as marked (NEC 210.21(B), 551.72).
    """
    piece, run = facts.piece, feed_of(study, facts)
    assert isinstance(piece, r.Pedestal)
    if run is None or run.protecting_a is None or not piece.receptacles_a:
        return
    largest_a = float(max(piece.receptacles_a))
    if exceeds(largest_a, run.protecting_a):
        yield found(
            "pedestal-device-for-receptacle", piece.id,
            "{piece} has a receptacle of {needed_a} behind a device of {device_a}.",
            piece=piece.name, needed_a=largest_a, device_a=run.protecting_a,
        )  # fmt: skip


def _two_legs(study: Study, finding: Finding) -> Iterator[Edit]:
    feed = study.equipment(finding.where).feed
    if feed is None:
        return
    run = study.project.runs[feed]
    panel = study.project.equipment[run.source]
    if not isinstance(panel, r.Panel):
        return
    spaces = free_spaces(study.project, panel, 2, moving=run)
    if spaces:
        edit = alter(study.project, "runs", run.id, spaces=spaces, legs="")
        yield labelled(edit, f"connect {run_name(study, run)} to two legs")


@on_piece(
    "pedestal-two-legs", r.Pedestal,
    topic=TOPIC, severity="violation", cite="rv_receptacles", remedies=_two_legs,
)  # fmt: skip
def pedestal_two_legs(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A pedestal with a 50 A receptacle is fed by two legs and a neutral.

    That receptacle gives 120/240 V, by two legs, a neutral and ground (NEC 551.71, 551.72).
    """
    piece, run = facts.piece, feed_of(study, facts)
    assert isinstance(piece, r.Pedestal)
    if 50 in piece.receptacles_a and run is not None and len(run.legs) == 1:
        yield found(
            "pedestal-two-legs", piece.id,
            "{piece} has a 50 A receptacle, for 120/240 V, on one leg of {volts_v}.",
            piece=piece.name, volts_v=run.volts,
        )  # fmt: skip


def _full_neutral(study: Study, finding: Finding) -> Iterator[Edit]:
    feed = study.equipment(finding.where).feed
    run = study.project.runs[feed] if feed else None
    if run is not None and run.conductors.size is not None:
        wires = msgspec.structs.replace(run.conductors, neutral=run.conductors.size)
        label = f"Use a {size_word(run.conductors.size)} neutral for {run_name(study, run)}"
        yield relabelled(study, "runs", run.id, label, conductors=wires)


@on_piece(
    "pedestal-full-neutral", r.Pedestal,
    topic=TOPIC, severity="violation", cite="rv_feeder", remedies=_full_neutral,
)  # fmt: skip
def pedestal_full_neutral(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A pedestal's neutral is as large as its other conductors.

    Vehicles load it with 120 V appliances; it is reduced only for fixed 240 V loads (NEC
    551.72(D)).
    """
    run = feed_of(study, facts)
    if run is None or not is_circuit(study, run):
        return
    size, neutral = run.run.conductors.size, run.run.conductors.neutral
    if size is None or neutral is None:
        return
    if neutral not in SIZES or area_cmil(neutral) < area_cmil(size):
        yield found(
            "pedestal-full-neutral", facts.piece.id,
            "The neutral of {piece} is {neutral}; its other conductors are {size}.",
            piece=facts.piece.name, size=size_word(size),
            neutral=size_word(neutral) if neutral in SIZES else "none",
        )  # fmt: skip


def _pull(study: Study, finding: Finding) -> Iterator[Edit]:
    run = feed_of(study, study.equipment(finding.where))
    if run is None or run.protecting_a is None:
        return
    listed = egc(run.protecting_a, "cu")
    needed = run.grounding_needed if run.grounding_needed in SIZES else None
    if listed is not None and listed.value in SIZES:
        first = pulled(study, run.run.id, listed.value, "cu")
        yield first if needed is None else pulled(study, run.run.id, needed, None)


@on_piece(
    "pedestal-grounding-wire", r.Pedestal,
    topic=TOPIC, severity="violation", cite="rv_grounding", remedies=_pull,
)  # fmt: skip
def pedestal_grounding_wire(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A pedestal is grounded by a conductor that runs with its circuit.

    A rod at the pedestal does not replace it, and the neutral is not bonded there (NEC 551.75,
    551.76).
    """
    run = feed_of(study, facts)
    if run is None or run.run.conductors.grounding != "none" or run.run.length_m == 0:
        return
    yield found(
        "pedestal-grounding-wire", facts.piece.id,
        "{piece} is fed without a grounding conductor.", piece=facts.piece.name,
    )  # fmt: skip


# What is seen on site -------------------------------------------------------------------------


def protected_stated(study: Study, facts: EquipmentFacts) -> bool | None:
    """Whether a pedestal's circuit is stated to have ground-fault protection for people."""
    run = feed_of(study, facts)
    return run.run.gfci_protected if run else None


@ask_of_piece(
    "private-pedestal-protected", r.Pedestal,
    topic=TOPIC, severity="ask", cite="gfci_dwelling", stated=protected_stated,
    text="Does the authority want ground-fault protection for these receptacles, and is it there?",
)  # fmt: skip
def private_pedestal_protected(study: Study, facts: EquipmentFacts) -> bool:
    """A pedestal that no park owns is protected as the authority reads the code.

    From 2020 outdoor receptacles of a dwelling to 250 V need ground-fault protection (NEC 210.8(A));
    whether that holds for those of a visitor's pedestal is read differently.
    """
    piece = facts.piece
    private = isinstance(piece, r.Pedestal) and piece.open_to_public is False and not piece.dock
    return private and study.settings.edition != "2017"


@ask_of_piece(
    "pedestal-breaker-each", r.Pedestal,
    topic=TOPIC, severity="violation", cite="single_receptacle",
    text="Does the pedestal have a breaker of the right rating for each receptacle?",
)  # fmt: skip
def pedestal_breaker_each(study: Study, facts: EquipmentFacts) -> bool:
    """Each receptacle of a pedestal has a device of its own rating.

    Where the circuit is rated above one of them (NEC 210.21(B), 551.72).
    """
    piece, run = facts.piece, feed_of(study, facts)
    if not isinstance(piece, r.Pedestal) or not piece.receptacles_a or run is None:
        return False
    return exceeds(run.protecting_a or 0.0, float(min(piece.receptacles_a)))


@ask_of_piece(
    "pedestal-neutral-apart", r.Pedestal,
    topic=TOPIC, severity="violation", cite="rv_grounding",
    text="Is the neutral kept apart from the enclosure and the grounding conductor there?",
)  # fmt: skip
def pedestal_neutral_apart(_study: Study, facts: EquipmentFacts) -> bool:
    """The neutral is not bonded at a pedestal.

    It is bonded at the service alone, else it shares current with earth (NEC 551.75, 551.76).
    """
    return facts.supplied
