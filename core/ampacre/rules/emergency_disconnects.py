"""Emergency disconnects of dwellings: outdoors, where responders reach them."""

from collections.abc import Iterator
from typing import Final

from ampacre.model import records as r
from ampacre.model.naming import listed
from ampacre.model.project import Edit
from ampacre.rules.by_service import on_service
from ampacre.rules.paths import dwelling_near, relabelled
from ampacre.rules.rule import Finding, exceeds, found, on_piece, on_project
from ampacre.rules.supplies import Service, apart_m, insert_disconnect, means_behind, supplies
from ampacre.study.facts import EquipmentFacts
from ampacre.study.study import Study

TOPIC = "services"

IN_SIGHT_M: Final = 50 * 0.3048
"""Within sight is visible and not more than 50 ft away (NEC Article 100)."""


def _purposed_above(study: Study, facts: EquipmentFacts) -> Iterator[EquipmentFacts]:
    """Give the meter and emergency disconnects on the supply side of a piece."""
    at = facts
    while at.parent is not None:
        at = study.equipment(at.parent)
        if isinstance(at.piece, r.Disconnect) and at.piece.purpose is not None:
            yield at


def _all_indoors(candidates: list[EquipmentFacts]) -> bool:
    """Whether all stand indoors; not where the place of one is not entered."""
    return bool(candidates) and all(facts.piece.location == "indoors" for facts in candidates)


def _outdoors(study: Study, finding: Finding) -> Iterator[Edit]:
    facts = study.equipment(finding.where)
    yield from insert_disconnect(study, facts, "emergency disconnect")
    label = f"move {facts.piece.name} outdoors"
    yield relabelled(study, "equipment", finding.where, label, location="outdoors")


@on_service(
    "emergency-disconnect-at-service", topic=TOPIC, severity="violation",
    cite="emergency_disconnect", remedies=_outdoors,
)  # fmt: skip
def emergency_disconnect_at_service(study: Study, service: Service) -> Iterator[Finding]:
    """A dwelling's service can be switched off outdoors.

    From 2020 at one- and two-family dwellings: the service disconnect, a meter disconnect or an
    emergency disconnect ahead of it, readily accessible outdoors (NEC 230.85).
    """
    if study.settings.edition == "2017":
        return
    homes = [facts for facts in service.disconnects if dwelling_near(study, facts)]
    ahead = {above.piece.id: above for facts in homes for above in _purposed_above(study, facts)}
    if homes and _all_indoors([*homes, *ahead.values()]):
        yield found(
            "emergency-disconnect-at-service", homes[0].piece.id,
            "All that switches off the service of this dwelling stands indoors: {names}.",
            names=listed(facts.piece.name for facts in [*homes, *ahead.values()]),
        )  # fmt: skip


@on_project(
    "emergency-disconnect-at-feeder", topic=TOPIC, severity="violation",
    cite="emergency_disconnect_feeder", remedies=_outdoors,
)  # fmt: skip
def emergency_disconnect_at_feeder(study: Study) -> Iterator[Finding]:
    """A dwelling that a feeder supplies can be switched off outdoors.

    From 2023, on the dwelling or within sight of it (NEC 225.41): a house behind a service that
    stands elsewhere on the property has a disconnect of its own.
    """
    if study.settings.edition != "2023":
        return
    for supply in supplies(study):
        if supply.run.run.role == "branch" or not dwelling_near(study, supply.head):
            continue
        means = list(means_behind(study, supply.head) or ())
        if not _all_indoors(means) or _disconnect_in_sight(study, supply.head):
            continue
        yield found(
            "emergency-disconnect-at-feeder", means[0].piece.id,
            "{structure} is a dwelling that a feeder supplies; all that switches it off stands "
            "indoors: {names}.",
            structure=study.project.structures[supply.structure].name,
            names=listed(facts.piece.name for facts in means),
        )  # fmt: skip


def _disconnect_in_sight(study: Study, facts: EquipmentFacts) -> bool:
    """Whether the feeder starts at, or passes, something outdoors that switches it off near by."""
    at = facts
    while at.parent is not None:
        at = study.equipment(at.parent)
        if not isinstance(at.piece, (r.Panel, r.Disconnect)) or at.piece.location != "outdoors":
            continue
        distance_m = apart_m(study, facts.piece.structure, at.piece.structure)
        if distance_m is not None and not exceeds(distance_m, IN_SIGHT_M):
            return True
    return False


def _to_the_dwelling(study: Study, finding: Finding) -> Iterator[Edit]:
    piece = study.project.equipment[finding.where]
    dwelling = study.project.structures[finding.about]
    label = f"move {piece.name} to {dwelling.name}"
    yield relabelled(study, "equipment", piece.id, label, structure=dwelling.id)


@on_piece(
    "emergency-disconnect-in-sight", r.Disconnect,
    topic=TOPIC, severity="violation", cite="emergency_disconnect", remedies=_to_the_dwelling,
)  # fmt: skip
def emergency_disconnect_in_sight(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """An emergency disconnect stands on the dwelling or within sight of it.

    Visible and 50 ft away at most (NEC 230.85, 225.41, Article 100), by the places of the
    structures.
    """
    piece = facts.piece
    assert isinstance(piece, r.Disconnect)
    own = study.project.structures.get(piece.structure or "")
    if piece.purpose != "emergency disconnect" or study.settings.edition == "2017":
        return
    if own is None or own.use == "dwelling":
        return
    for key in _dwellings_behind(study, facts):
        distance_m = apart_m(study, piece.structure, key)
        if distance_m is not None and exceeds(distance_m, IN_SIGHT_M):
            yield found(
                "emergency-disconnect-in-sight", piece.id,
                "{piece} is the emergency disconnect of {dwelling}, {distance_m} away from it; "
                "{most_m} is within sight.",
                about=key, piece=piece.name, dwelling=study.project.structures[key].name,
                distance_m=distance_m, most_m=IN_SIGHT_M,
            )  # fmt: skip


def _dwellings_behind(study: Study, facts: EquipmentFacts) -> list[str]:
    """Give the dwellings, by id of the structure, that come first on each way from a piece."""
    found = set()
    above = [facts]
    while above:
        at = above.pop()
        for key in at.runs_out:
            run = study.run(key).run
            below = study.equipment(run.target if run.source == at.piece.id else run.source)
            structure = study.project.structures.get(below.piece.structure or "")
            if structure is not None and structure.use == "dwelling":
                found.add(structure.id)
            else:
                above.append(below)
    return sorted(found)
