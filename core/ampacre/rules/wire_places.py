"""Conductors and cables by the place that they lie in: wet, underground, under a building."""

from collections.abc import Iterator
from typing import Final

import msgspec

from ampacre.codebook.burial import underground
from ampacre.codebook.conductors import direct_burial_rated, wet_rated
from ampacre.model import records as r
from ampacre.model.project import Edit
from ampacre.rules.paths import relabelled
from ampacre.rules.reading import is_circuit, run_name
from ampacre.rules.rule import Finding, found, on_run
from ampacre.study.facts import RunFacts
from ampacre.study.study import Study

TOPIC = "conductors"

_CABLES: Final = ("NM-B", "UF-B", "SER", "SEU")
_ENTRANCE: Final = ("SER", "SEU")
_WET_TWIN: Final[dict[str, r.Insulation]] = {"THHN": "THWN-2", "XHHW": "XHHW-2"}


def _in_the_ground(run: r.Run) -> bool:
    return run.raceway == "direct burial" or (run.place is not None and underground(run.place))


def _is_wet(run: r.Run) -> bool:
    return _in_the_ground(run) or run.place in ("outdoors", "on roof", "overhead")


def _reinsulated(study: Study, key: str, kind: r.Insulation) -> Edit:
    run = study.project.runs[key]
    wires = msgspec.structs.replace(run.conductors, insulation=kind)
    label = f"Use {kind} for {run_name(study, run)}"
    return relabelled(study, "runs", key, label, conductors=wires)


def _wet_kind(study: Study, finding: Finding) -> Iterator[Edit]:
    kind = str(finding.values["insulation"])
    yield _reinsulated(study, finding.where, _WET_TWIN.get(kind, "XHHW-2"))


@on_run("wire-wet-rated", topic=TOPIC, severity="violation", cite="wet_places", remedies=_wet_kind)
def wire_wet_rated(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Wire outdoors and underground has an insulation for wet places.

    The inside of an underground raceway, and of one outdoors above ground, is a wet place (NEC
    300.5(B), 300.9); types with a W are made for it.
    """
    run, kind = facts.run, facts.run.conductors.insulation
    if kind is None or kind in _CABLES or not _is_wet(run) or wet_rated(kind):
        return
    if is_circuit(study, facts):
        yield found(
            "wire-wet-rated", run.id,
            "{run} lies {place}, a wet place; {insulation} is made for dry ones.",
            run=run_name(study, run), place=_place_word(run), insulation=kind,
        )  # fmt: skip


def _place_word(run: r.Run) -> str:
    if run.place is None or run.place == "yard":
        return "in the ground"
    return run.place


def _buried_cable(study: Study, finding: Finding) -> Iterator[Edit]:
    yield _reinsulated(study, finding.where, "UF-B")


@on_run(
    "indoor-cable-indoors", topic=TOPIC, severity="violation", cite="nm_places",
    remedies=_buried_cable,
)  # fmt: skip
def indoor_cable_indoors(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Nonmetallic-sheathed cable stays indoors, in dry places.

    NM-B is not for wet or damp places, nor for raceways in them (NEC 334.12(B)).
    """
    run = facts.run
    if run.conductors.insulation == "NM-B" and _is_wet(run) and is_circuit(study, facts):
        yield found(
            "indoor-cable-indoors", run.id,
            "{run} is NM-B cable and lies {place}; it is for dry places indoors.",
            run=run_name(study, run), place=_place_word(run),
        )  # fmt: skip


def _underground_service(study: Study, finding: Finding) -> Iterator[Edit]:
    yield _reinsulated(study, finding.where, "USE-2")


@on_run(
    "entrance-cable-above-ground", topic=TOPIC, severity="violation", cite="se_places",
    remedies=_underground_service,
)  # fmt: skip
def entrance_cable_above_ground(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Service-entrance cable does not lie in the ground.

    SER and SEU are not for underground use, with or without a raceway; USE is (NEC 338.12(A)).
    """
    run = facts.run
    kind = run.conductors.insulation
    if kind in _ENTRANCE and _in_the_ground(run) and is_circuit(study, facts):
        yield found(
            "entrance-cable-above-ground", run.id,
            "{run} is {insulation} cable and lies {place}; it is for use above ground.",
            run=run_name(study, run), insulation=kind, place=_place_word(run),
        )  # fmt: skip


@on_run(
    "buried-wire-of-its-kind", topic=TOPIC, severity="violation", cite="buried_types",
    remedies=_underground_service,
)  # fmt: skip
def buried_wire_of_its_kind(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Wire that lies in the ground without a raceway is of a type made for it.

    USE and UF among the common ones (NEC 310.10, 338.10, 340.10); others need a raceway.
    """
    run = facts.run
    kind = run.conductors.insulation
    if run.raceway != "direct burial" or kind is None or kind in _CABLES:
        return
    if not direct_burial_rated(kind) and is_circuit(study, facts):
        yield found(
            "buried-wire-of-its-kind", run.id,
            "{run} is buried without a raceway; {insulation} is not made for that.",
            run=run_name(study, run), insulation=kind,
        )  # fmt: skip


def _into_raceway(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    label = f"Put {run_name(study, run)} into a plastic raceway"
    yield relabelled(study, "runs", run.id, label, raceway="pvc")


@on_run(
    "under-building-in-raceway", topic=TOPIC, severity="violation", cite="under_building",
    remedies=_into_raceway,
)  # fmt: skip
def under_building_in_raceway(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Wiring under a building is in a raceway.

    It can't be dug up there (NEC 300.5(C)); only cables identified for it are excepted.
    """
    run = facts.run
    if run.place == "under building" and run.raceway in ("direct burial", "cable"):
        yield found(
            "under-building-in-raceway", run.id,
            "{run} lies under a building without a raceway.", run=run_name(study, run),
        )  # fmt: skip
