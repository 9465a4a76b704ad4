"""Structures that feeders supply: how many supplies, and of what kind."""

from collections.abc import Iterator
from typing import Final

from ampacre.codebook.raceways import METAL
from ampacre.model import records as r
from ampacre.model.naming import listed
from ampacre.model.project import Edit
from ampacre.rules.by_service import services_of
from ampacre.rules.grounding import pull_copper
from ampacre.rules.handfuls import gathered_of_runs
from ampacre.rules.paths import relabelled, upward
from ampacre.rules.reading import is_circuit, run_name
from ampacre.rules.rule import Finding, exceeds, found, on_project, on_run
from ampacre.rules.supplies import Supply, apart_m, has_main_lugs, means_behind, supplies
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.study import Study

TOPIC = "structures"

MOST_FEEDERS: Final = 6
"""Feeders of one panel that may supply one structure (NEC 225.30(B))."""


def supplies_of(study: Study) -> dict[str, list[Supply]]:
    """Give the feeders and branch circuits into each structure that has any."""
    found: dict[str, list[Supply]] = {}
    for supply in supplies(study):
        found.setdefault(supply.structure, []).append(supply)
    return found


@on_project("one-supply-per-structure", topic=TOPIC, severity="ask", cite="supply_number")
def one_supply_per_structure(study: Study) -> Iterator[Finding]:
    """A structure has one feeder or branch circuit, or a reason for more.

    A multiwire circuit counts as one. Reasons are standby and parallel sources, chargers listed
    for it, loads above 2000 A, another voltage or use, documented switching, from 2020 up to six
    feeders of one panel (NEC 225.30); the authority judges them.
    """
    served = services_of(study)
    for key, each in supplies_of(study).items():
        structure = study.project.structures[key]
        count = len(each) + len(served.get(key, ()))
        if count < 2 or structure.several_supplies is not None:
            continue
        names = [run_name(study, supply.run.run) for supply in each]
        names += (
            f"the service at {study.equipment(ids.entry).piece.name}" for ids in served.get(key, ())
        )
        yield found(
            "one-supply-per-structure", each[-1].run.run.id,
            "{structure} has {count} supplies: {names}; no reason is entered for more than one.",
            about=key, structure=structure.name, count=str(count), names=listed(names),
        )  # fmt: skip


@on_project("feeders-of-one-panel", topic=TOPIC, severity="violation", cite="supplies_one_source")
def feeders_of_one_panel(study: Study) -> Iterator[Finding]:
    """Several feeders of one panel to one structure are six at most, each with a disconnect.

    All from one panel, each into one disconnect, grouped and marked; from 2020 (NEC 225.30(B)).
    """
    for key, each in supplies_of(study).items():
        structure = study.project.structures[key]
        if structure.several_supplies != "several feeders of one panel" or len(each) < 2:
            continue
        sources = sorted({supply.run.run.source for supply in each})
        without = [s.head.piece.name for s in each if len(means_behind(study, s.head) or ()) != 1]
        if study.settings.edition == "2017":
            why = "no edition before 2020 has that reason"
        elif len(each) > MOST_FEEDERS:
            why = "six are the most"
        elif len(sources) > 1:
            names = listed(study.standing.equipment[source].name for source in sources)
            why = f"they come from {names}"
        elif without:
            why = f"{listed(without)} is not one disconnect"
        else:
            continue
        yield found(
            "feeders-of-one-panel", each[0].run.run.id,
            "{structure} has {count} supplies as feeders of one panel; {why}.",
            about=key, structure=structure.name, count=str(len(each)), why=why,
        )  # fmt: skip


def _grounded(study: Study, finding: Finding) -> Iterator[Edit]:
    edit = pull_copper(study, finding.where)
    if edit is not None:
        yield edit


def _is_three_wire(study: Study, facts: RunFacts) -> bool:
    """Whether a run goes without grounding conductor to another structure, bonded there."""
    run = facts.run
    if run.conductors.grounding != "none" or not is_circuit(study, facts):
        return False
    target = study.standing.equipment[run.target]
    here, there = study.standing.equipment[run.source].structure, target.structure
    return here is not None and there is not None and here != there and _bonded(target)


def _bonded(piece: r.Equipment) -> bool:
    return bool(getattr(piece, "neutral_bonded", None))


@on_run(
    "three-wire-without-trip", topic=TOPIC, severity="violation", cite="three_wire",
    roles=("feeder", "branch"), remedies=_grounded,
)  # fmt: skip
def three_wire_without_trip(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A three-wire feeder that is kept has no ground-fault protection of equipment ahead of it.

    The neutral that is bonded at its far end returns through the earth and the metal about, and
    such a device would count that as a fault (NEC 250.32(B)(1) exception 1).
    """
    if not _is_three_wire(study, facts):
        return
    for run in (facts, *(above for above, _ in upward(study, facts.run.source))):
        trip_a = run.run.ground_fault_trip_a
        if trip_a is not None:
            yield found(
                "three-wire-without-trip", facts.run.id,
                "{run} has no grounding conductor and a bonded neutral at its end; {protected} "
                "trips on ground faults of {trip_a}.",
                about=run.run.id, run=run_name(study, facts.run),
                protected=run_name(study, run.run), trip_a=trip_a,
            )  # fmt: skip


@on_run(
    "three-wire-without-metal", topic=TOPIC, severity="violation", cite="three_wire",
    roles=("feeder", "branch"), remedies=_grounded,
)  # fmt: skip
def three_wire_without_metal(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A three-wire feeder that is kept has no metal path beside it.

    No metal raceway of its own, and no other run between the structures with a grounding conductor
    or a metal raceway: neutral current would flow on it (NEC 250.32(B)(1) exception 1).
    """
    if not _is_three_wire(study, facts):
        return
    ends = _ends(study, facts.run)
    for key, other_ends in _metal_paths(study):
        if other_ends == ends:
            own = key == facts.run.id
            yield found(
                "three-wire-without-metal", facts.run.id,
                "{run} has no grounding conductor and a bonded neutral at its end; {path} is a "
                "metal path between {one} and {two}.",
                about=key, run=run_name(study, facts.run),
                path="its own raceway" if own else run_name(study, study.standing.runs[key]),
                one=_end_name(study, facts.run.source), two=_end_name(study, facts.run.target),
            )  # fmt: skip


@gathered_of_runs
def _metal_paths(study: Study, key: str) -> Iterator[tuple[str, frozenset[str | None]]]:
    """Give a run of metal raceway or with a grounding conductor, and the structures it joins."""
    facts = study.run(key)
    metal = facts.raceway.how == "entered" and facts.raceway.value in METAL
    if metal or facts.run.conductors.grounding not in (None, "none"):
        yield key, _ends(study, facts.run)


def _ends(study: Study, run: r.Run) -> frozenset[str | None]:
    pieces = study.standing.equipment
    return frozenset((pieces[run.source].structure, pieces[run.target].structure))


def _end_name(study: Study, key: str) -> str:
    return study.project.structures[study.standing.equipment[key].structure or ""].name


def _long_enough(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    least_m = float(finding.values["distance_m"])
    label = f"make {run_name(study, run)} as long as the structures are apart"
    yield relabelled(study, "runs", run.id, label, length_m=least_m)


@on_run(
    "run-reaches-its-structure", topic=TOPIC, severity="warning", cite="common practice",
    remedies=_long_enough, utility=True,
)  # fmt: skip
def run_reaches_its_structure(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A run is as long as the structures that it joins are apart.

    A shorter length gives too little drop and too large a fault current, and too little wire is
    bought (common practice). By the places that are entered for the structures.
    """
    ends = [study.standing.equipment[key].structure for key in (facts.run.source, facts.run.target)]
    distance_m, length_m = apart_m(study, *ends), facts.run.length_m
    if distance_m is not None and length_m is not None and exceeds(distance_m, length_m):
        yield found(
            "run-reaches-its-structure", facts.run.id,
            "{run} is {length_m} long; the structures that it joins are {distance_m} apart.",
            run=run_name(study, facts.run), length_m=length_m, distance_m=distance_m,
        )  # fmt: skip


@on_project("structure-uses-entered", topic=TOPIC, severity="advice", cite="common practice")
def structure_uses_entered(study: Study) -> Iterator[Finding]:
    """What a structure is used for is entered, and which panels have no main.

    How many disconnects it may have, how large they must be and where one must stand outdoors rest
    on it (NEC 225.33, 225.39, 230.79, 230.85); till then these are not checked.
    """
    heads = {key: study.equipment(each[0].entry) for key, each in services_of(study).items()}
    heads |= {supply.structure: supply.head for supply in supplies(study)}
    without_use = [key for key in heads if study.project.structures[key].use is None]
    unread = [
        facts.piece
        for head in heads.values()
        for facts in means_behind(study, head) or ()
        if _main_not_known(facts)
    ]
    if without_use:
        yield found(
            "structure-uses-entered", heads[without_use[0]].piece.id,
            "It is not entered what is used as what: {places}. Disconnects there are checked in "
            "part.",
            places=listed(sorted(study.project.structures[key].name for key in without_use)),
        )  # fmt: skip
    if unread:
        yield found(
            "structure-uses-entered", unread[0].id,
            "It is not entered whether there is a main in {panels}. How many disconnects switch "
            "off the supply is not checked there.",
            about="mains", panels=listed(sorted(piece.name for piece in unread)),
        )  # fmt: skip


def _main_not_known(facts: EquipmentFacts) -> bool:
    piece = facts.piece
    if not isinstance(piece, r.Panel) or piece.main is not None or has_main_lugs(facts):
        return False
    return piece.main_lugs is None
