"""What supplies a structure: its services, its feeders, and where they are disconnected."""

import math
from collections.abc import Iterable, Iterator
from typing import NamedTuple, Self

import msgspec

from ampacre.codebook.devices import next_standard
from ampacre.codebook.outlets import DWELLING_A, ONE_CIRCUIT_A, OTHER_A, TWO_CIRCUITS_A
from ampacre.codebook.ratings import SWITCH_A
from ampacre.model import records as r
from ampacre.model.edits import alter, insert_on, new_id, next_name
from ampacre.model.project import Change, Edit
from ampacre.model.standing import work_of
from ampacre.rules.handfuls import gathered
from ampacre.rules.paths import dwelling_near, homes_fed, labelled, with_main
from ampacre.rules.recall import recalled
from ampacre.rules.resizing import step_up
from ampacre.rules.rule import exceeds
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.fed import below, circuits_out
from ampacre.study.study import Study

__all__ = [
    "Service",
    "ServiceIds",
    "Supply",
    "SupplyIds",
    "apart_m",
    "at_dwelling",
    "circuits_from",
    "counted",
    "every_leg",
    "fit_main",
    "has_main_lugs",
    "in_dwelling",
    "insert_disconnect",
    "is_of_sources",
    "least_means_a",
    "lugs_only",
    "means_behind",
    "rating_a",
    "serves_dwelling",
    "service_ids",
    "services",
    "structures_served",
    "supplies",
    "supply_ids",
]


class ServiceIds(NamedTuple):
    """A service by the ids of its pieces."""

    entry: str
    disconnects: tuple[str, ...]


class Service(NamedTuple):
    """One service: where it comes to the customer, and its disconnecting means."""

    entry: EquipmentFacts
    disconnects: tuple[EquipmentFacts, ...]

    @property
    def ids(self) -> ServiceIds:
        """The ids of its pieces."""
        return ServiceIds(self.entry.piece.id, tuple(each.piece.id for each in self.disconnects))

    @classmethod
    def of(cls, study: Study, entry: str, disconnects: Iterable[str]) -> Self:
        """Give a service by the ids of its pieces."""
        return cls(study.equipment(entry), tuple(study.equipment(key) for key in disconnects))


class Supply(NamedTuple):
    """A feeder or branch circuit into another structure: its run, and the first piece there."""

    structure: str
    run: RunFacts
    head: EquipmentFacts


class SupplyIds(NamedTuple):
    """A feeder or branch circuit into another structure by its ids."""

    structure: str
    run: str
    head: str


def services(study: Study) -> tuple[Service, ...]:
    """Find the services of all islands, each with its disconnects, in the order of ids.

    A service begins at the first piece that is not the utility's, or at the utility's meter. The
    disconnects of sources tied ahead of it are not among its own.
    """
    return tuple(Service.of(study, *ids) for ids in service_ids(study))


@recalled
def service_ids(study: Study) -> tuple[ServiceIds, ...]:
    """Find the entries of all services, each with its disconnects, by their ids."""
    found: dict[str, list[str]] = {}
    for key, entry, disconnects in sorted(_of_services(study)):
        found.setdefault(entry, []).extend([key] if disconnects else [])
    return tuple(
        ServiceIds(entry, tuple(disconnects)) for entry, disconnects in sorted(found.items())
    )


@gathered
def _of_services(study: Study, key: str) -> Iterator[tuple[str, str, bool]]:
    """Give a piece of a service, its entry, and whether it is among the disconnects."""
    facts = study.equipment(key)
    if (facts.ahead_of_service or facts.at_service) and not _is_utilitys(facts.piece):
        yield key, _entry(study, facts), facts.at_service and not is_of_sources(study, key)


def _is_utilitys(piece: r.Equipment) -> bool:
    """Whether a piece is on the utility's side of where services part."""
    if isinstance(piece, r.UtilitySource):
        return True
    return piece.owner == "utility" and not isinstance(piece, r.Meter)


@recalled
def is_of_sources(study: Study, key: str) -> bool:
    """Whether a disconnect has sources behind it and nothing else."""
    found = False
    for other in below(study, key):
        if isinstance(other.piece, (r.Inverter, r.Battery)):
            found = True
        elif not isinstance(other.piece, (r.Panel, r.Disconnect, r.Junction)):
            return False
    return found


def _entry(study: Study, facts: EquipmentFacts) -> str:
    at = facts
    while at.parent is not None:
        above = study.equipment(at.parent)
        if _is_utilitys(above.piece):
            break
        at = above
    return at.piece.id


def structures_served(study: Study, service: ServiceIds) -> list[str]:
    """Give the structures that a service's disconnects stand in, or that it comes to."""
    heads = service.disconnects or (service.entry,)
    places = {study.standing.equipment[key].structure for key in heads}
    return sorted(place for place in places if place is not None)


def supplies(study: Study) -> tuple[Supply, ...]:
    """Give the feeders and branch circuits that lead into another structure, in the order of ids.

    Circuits that share a neutral are one multiwire circuit and count once; what comes from a
    standby source does not count.
    """
    return tuple(
        Supply(each.structure, study.run(each.run), study.equipment(each.head))
        for each in supply_ids(study)
    )


@recalled
def supply_ids(study: Study) -> tuple[SupplyIds, ...]:
    """Find what leads into another structure, by ids, in the order of those of the first pieces."""
    found = []
    seen: set[str | None] = set()
    for each, neutral_with in sorted(_leading_in(study), key=lambda led: led[0].head):
        if neutral_with not in seen:
            found.append(each)
            seen.add(each.run)
    return tuple(found)


@gathered
def _leading_in(study: Study, key: str) -> Iterator[tuple[SupplyIds, str | None]]:
    """Give the run into a piece of another structure, and the one whose neutral it shares."""
    here = study.standing.equipment[key].structure
    if here is None:
        return
    facts = study.equipment(key)
    if facts.feed is None or facts.parent is None or facts.ahead_of_service or facts.at_service:
        return
    there = study.standing.equipment[facts.parent].structure
    if there is None or here == there:
        return
    run = study.standing.runs[facts.feed]
    if run.role != "generator output" and run.owner == "customer":
        yield SupplyIds(here, run.id, key), run.neutral_with


def serves_dwelling(facts: EquipmentFacts) -> bool:
    """Whether a dwelling is among the load of a piece."""
    return any(key.category == "dwelling general" for key in facts.tally or {})


def in_dwelling(study: Study, facts: EquipmentFacts) -> bool:
    """Whether a piece stands in a dwelling, or nowhere in particular and supplies one."""
    if facts.piece.structure is None:
        return serves_dwelling(facts)
    return dwelling_near(study, facts)


def at_dwelling(study: Study, facts: EquipmentFacts) -> bool:
    """Whether a piece is a dwelling's own, so that what the code asks elsewhere is not asked of it.

    By its structure; where none is entered, by a dwelling's load that hangs from it, or because all
    that it supplies is a dwelling's. A service in a yard that supplies a barn too is none.
    """
    if facts.piece.structure is not None or not serves_dwelling(facts):
        return dwelling_near(study, facts)
    if all(key.dwelling for key in facts.tally or {}):
        return True
    return bool(homes_fed(study, facts))


def has_main_lugs(facts: EquipmentFacts) -> bool:
    """Whether a panel is known to have main lugs only: stated so, or new without a main."""
    return lugs_only(facts.piece)


def lugs_only(piece: r.Equipment) -> bool:
    """Whether a piece is a panel known to have main lugs only: stated so, or new without a main."""
    if not isinstance(piece, r.Panel) or piece.main is not None:
        return False
    return piece.main_lugs is True or (work_of(piece) == "new" and piece.main_lugs is None)


def circuits_from(study: Study, facts: EquipmentFacts) -> list[RunFacts]:
    """Give the circuits that leave a piece, those of sources left out."""
    return [
        run
        for run, piece in circuits_out(study, facts)
        if not isinstance(piece, (r.Inverter, r.Battery))
    ]


def means_behind(study: Study, head: EquipmentFacts) -> tuple[EquipmentFacts, ...] | None:
    """Give the first disconnecting means of each way from a piece on, within its structure.

    None where something uses the supply with no disconnecting means ahead of it.
    """
    found: list[EquipmentFacts] = []
    above = [head]
    while above:
        facts = above.pop()
        if isinstance(facts.piece, (r.Panel, r.Disconnect)):
            found.append(facts)
        elif isinstance(facts.piece, (r.Use, r.DwellingLoad)):
            return None
        else:
            above += (
                study.equipment(piece.id)
                for _, piece in circuits_out(study, facts)
                if piece.structure == head.piece.structure
            )
    return tuple(sorted(found, key=lambda facts: facts.piece.id))


def rating_a(study: Study, facts: EquipmentFacts) -> float | None:
    """Rating of a disconnecting means [A]: its main, its switch, or its breakers together."""
    piece = facts.piece
    assert isinstance(piece, (r.Panel, r.Disconnect))
    if piece.main is not None:
        return piece.main.rating_a or facts.chosen.get("main.rating_a")
    if isinstance(piece, r.Disconnect):
        return piece.rating_a or facts.chosen.get("rating_a")
    if not has_main_lugs(facts):
        return None
    breakers = [run.device.value for run in circuits_from(study, facts)]
    known = [rating for rating in breakers if rating is not None]
    return sum(known) if known and len(known) == len(breakers) else None


def counted(study: Study, disconnects: Iterable[EquipmentFacts]) -> int:
    """Count disconnecting means: a panel with main lugs has as many as it has circuits."""
    return sum(
        len(circuits_from(study, facts)) if has_main_lugs(facts) else 1 for facts in disconnects
    )


def least_means_a(study: Study, facts: EquipmentFacts, *, dwelling: bool) -> float | None:
    """Least rating of a disconnecting means [A] by what it supplies (NEC 230.79, 225.39).

    None where nothing hangs from it yet.
    """
    if dwelling:
        return DWELLING_A
    circuits = circuits_from(study, facts)
    if not circuits:
        return None
    if all(run.run.role == "branch" for run in circuits):
        if len(circuits) == 1:
            return ONE_CIRCUIT_A
        if len(circuits) == 2 and all(len(run.legs) == 1 for run in circuits):
            return TWO_CIRCUITS_A
    return OTHER_A


def fit_main(study: Study, key: str, least_a: float) -> Iterator[Edit]:
    """Fit a panel or disconnect with a main for its load and at least so much, if its bus allows."""
    facts = study.equipment(key)
    load_a = facts.demand.heavier_sizing_a if facts.demand else 0.0
    wanted = next_standard(max(least_a, load_a), study.settings.edition)
    bus_a = facts.piece.bus_a if isinstance(facts.piece, r.Panel) else None
    if wanted is not None and (bus_a is None or not exceeds(wanted, bus_a)):
        edit = with_main(study, key, wanted)
        if edit is not None:
            yield edit


def insert_disconnect(
    study: Study, facts: EquipmentFacts, purpose: str | None = None
) -> Iterator[Edit]:
    """Put a switch outdoors into the run to a piece; `purpose` as records name it."""
    if facts.feed is None:
        return
    run = study.project.runs[facts.feed]
    load_a = facts.demand.heavier_a if facts.demand else 0.0
    wanted = step_up(max(load_a, facts.device_ahead_a or 0.0, OTHER_A), SWITCH_A)
    if wanted is None:
        return
    switch = r.Disconnect(
        id=new_id(),
        name=next_name(study.project, "disconnect"),
        structure=facts.piece.structure,
        location="outdoors",
        since=r.WORK,
        rating_a=wanted,
        purpose="emergency disconnect" if purpose else None,
    )
    edit = insert_on(study.project, run, switch)
    placed, before, joint = edit.changes
    assert isinstance(joint.after, r.Run)
    carried = msgspec.structs.replace(
        joint.after, role=run.role, protected_at="none", owner="customer"
    )
    changes = (placed, before, Change("runs", joint.key, None, carried))
    what = purpose or f"{wanted:g} A switch"
    article = "an" if what[0] in "aeiou8" else "a"
    yield labelled(
        msgspec.structs.replace(edit, changes=changes),
        f"put {article} {what} outdoors ahead of {facts.piece.name}",
    )


def every_leg(study: Study, key: str, legs: int) -> Iterator[Edit]:
    """Fit a disconnecting means that opens so many legs."""
    piece = study.project.equipment[key]
    if legs in (1, 2, 3):
        edit = alter(study.project, "equipment", key, poles=legs)
        yield labelled(edit, f"fit {piece.name} with {legs} poles")


def apart_m(study: Study, one: str | None, other: str | None) -> float | None:
    """Distance between two structures [m]; None where the place of one is not entered."""
    if one is None or other is None:
        return None
    ends = [study.project.structures.get(key) for key in (one, other)]
    places = [(end.east_m, end.north_m) for end in ends if end is not None]
    if len(places) < 2:
        return None
    (east, north), (other_east, other_north) = places
    if east is None or north is None or other_east is None or other_north is None:
        return None
    return math.hypot(east - other_east, north - other_north)
