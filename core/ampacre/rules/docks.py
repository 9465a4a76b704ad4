"""Shore power on docks: receptacles and ground-fault protection of equipment."""

from collections.abc import Iterator
from typing import Final

from ampacre.model import records as r
from ampacre.model.project import Edit
from ampacre.rules.paths import feed_of, relabelled, upward
from ampacre.rules.questions import ask_of_piece
from ampacre.rules.reading import run_name
from ampacre.rules.rule import Finding, exceeds, found, on_piece
from ampacre.study.facts import EquipmentFacts
from ampacre.study.study import Study

TOPIC = "pedestals"

LEAST_RECEPTACLE_A: Final = 30
SHORE_TRIP_A: Final = 0.03
FEEDER_TRIP_A: Final = 0.1
"""Ground-fault protection of equipment on docks trips at these or less (NEC 555.35)."""


def _on_dock(piece: r.Equipment) -> bool:
    return isinstance(piece, r.Pedestal) and piece.dock


def _shore_receptacle(study: Study, finding: Finding) -> Iterator[Edit]:
    piece = study.project.equipment[finding.where]
    label = f"Fit {piece.name} with a {LEAST_RECEPTACLE_A} A shore-power receptacle"
    yield relabelled(study, "equipment", piece.id, label, receptacles_a=(LEAST_RECEPTACLE_A,))


@on_piece(
    "shore-receptacle-least", r.Pedestal,
    topic=TOPIC, severity="violation", cite="shore_receptacle", remedies=_shore_receptacle,
)  # fmt: skip
def shore_receptacle_least(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """Shore power comes from a receptacle of 30 A or more.

    A single locking or pin receptacle on a circuit of its own (NEC 555.33(A); 2017: 555.19(A)(4)).
    """
    piece = facts.piece
    assert isinstance(piece, r.Pedestal)
    largest = max(piece.receptacles_a, default=0)
    if piece.dock and largest < LEAST_RECEPTACLE_A:
        yield found(
            "shore-receptacle-least", piece.id,
            "{piece} gives shore power from a receptacle of {largest_a}; {least_a} is the least.",
            piece=piece.name, largest_a=float(largest), least_a=float(LEAST_RECEPTACLE_A),
        )  # fmt: skip


def _lower_trip(study: Study, finding: Finding) -> Iterator[Edit]:
    key = str(finding.values["run_id"])
    run = study.project.runs[key]
    limit_a = float(finding.values["limit_a"])
    label = f"Fit {run_name(study, run)} with ground-fault protection of {1000 * limit_a:g} mA"
    yield relabelled(study, "runs", key, label, ground_fault_trip_a=limit_a)


@on_piece(
    "shore-power-trip", r.Pedestal,
    topic=TOPIC, severity="violation", cite="shore_protection", remedies=_lower_trip,
)  # fmt: skip
def shore_power_trip(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """The circuit of a shore-power receptacle trips on ground faults of 30 mA.

    Protection of equipment, at each receptacle or branch from 2020 (NEC 555.35(A)(1); 2023:
    555.35(B)(1); 2017: 555.3).
    """
    run = feed_of(study, facts) if _on_dock(facts.piece) else None
    trip_a = run.run.ground_fault_trip_a if run else None
    if run is not None and trip_a is not None and exceeds(trip_a, SHORE_TRIP_A):
        yield found(
            "shore-power-trip", facts.piece.id,
            "The circuit of {piece} trips on a ground fault of {trip}; 30 mA is the most.",
            piece=facts.piece.name, trip=f"{1000 * trip_a:g} mA", limit_a=SHORE_TRIP_A,
            run_id=run.run.id,
        )  # fmt: skip


@on_piece(
    "dock-feeder-trip", r.Pedestal,
    topic=TOPIC, severity="violation", cite="dock_feeder", remedies=_lower_trip,
)  # fmt: skip
def dock_feeder_trip(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """The feeder of a dock trips on ground faults of 100 mA.

    From 2020 (NEC 555.35(A)(3); 2023: 555.35(A)). The nearest feeder ahead of a shore-power
    pedestal is taken to be the dock's.
    """
    if not _on_dock(facts.piece) or study.settings.edition == "2017":
        return
    for run, _ in upward(study, facts.piece.id):
        if run.run.role != "feeder":
            continue
        trip_a = run.run.ground_fault_trip_a
        if trip_a is not None and exceeds(trip_a, FEEDER_TRIP_A):
            yield found(
                "dock-feeder-trip", facts.piece.id,
                "{run}, the feeder of {piece}, trips on a ground fault of {trip}; 100 mA is the "
                "most.",
                run=run_name(study, run.run), piece=facts.piece.name,
                trip=f"{1000 * trip_a:g} mA", limit_a=FEEDER_TRIP_A, run_id=run.run.id,
            )  # fmt: skip
        return


@ask_of_piece(
    "dock-outlets-protected", r.Pedestal,
    topic=TOPIC, severity="violation", cite="dock_outlets",
    text="Do the dock's other outlets have ground-fault protection for people?",
)  # fmt: skip
def dock_outlets_protected(study: Study, facts: EquipmentFacts) -> bool:
    """Other outlets on a dock have ground-fault protection for people.

    Receptacles of 15 and 20 A from 2020; from 2023 all outlets to 60 A, lifts and pumps too (NEC
    555.35(B)(2)).
    """
    return _on_dock(facts.piece) and study.settings.edition != "2017"


@ask_of_piece(
    "dock-receptacle-height", r.Pedestal,
    topic=TOPIC, severity="violation", cite="dock_height",
    text="Are the receptacles 12 in or more above the deck of the dock?",
)  # fmt: skip
def dock_receptacle_height(_study: Study, facts: EquipmentFacts) -> bool:
    """Receptacles on a dock are 12 in above its deck.

    So that neither waves nor rising water reach them (NEC 555.33; 2017: 555.19).
    """
    return _on_dock(facts.piece)
