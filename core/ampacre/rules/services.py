"""Services: how many a structure has and for what reason, and what may hang ahead of them."""

from collections.abc import Iterator
from typing import Final

from ampacre.model import records as r
from ampacre.model.edits import free_spaces, refeed
from ampacre.model.naming import listed
from ampacre.model.project import Edit
from ampacre.rules.by_service import on_service, services_of
from ampacre.rules.paths import relabelled
from ampacre.rules.recall import recalled
from ampacre.rules.rule import Finding, exceeds, found, on_piece, on_project
from ampacre.rules.supplies import Service, structures_served, supplies
from ampacre.study.facts import EquipmentFacts
from ampacre.study.fed import below
from ampacre.study.study import Study

TOPIC = "services"

CAPACITY_A: Final = 2000.0
"""Load above which one service is not enough (NEC 230.2(C)(1), 225.30(C))."""


@recalled
def _heads(study: Study) -> dict[str, tuple[str, ...]]:
    """Give where services and feeders come into each structure that has several."""
    heads = {key: tuple(ids.entry for ids in each) for key, each in services_of(study).items()}
    for supply in supplies(study):
        heads[supply.structure] = (*heads.get(supply.structure, ()), supply.head.piece.id)
    return {structure: each for structure, each in heads.items() if len(each) > 1}


@on_project("one-service-per-structure", topic=TOPIC, severity="ask", cite="service_number")
def one_service_per_structure(study: Study) -> Iterator[Finding]:
    """A structure has one service, or a reason for more.

    Standby or parallel sources, loads above 2000 A, another voltage or use such as a rate of its
    own, or special permission (NEC 230.2); the authority judges the reason.
    """
    for key, each in services_of(study).items():
        structure = study.project.structures[key]
        if len(each) > 1 and structure.several_supplies is None:
            names = listed(study.equipment(ids.entry).piece.name for ids in each)
            yield found(
                "one-service-per-structure", each[1].entry,
                "{structure} has {count} services, at {names}; no reason is entered for more than "
                "one.",
                about=key, structure=structure.name, count=str(len(each)), names=names,
            )  # fmt: skip


def _without_reason(study: Study, finding: Finding) -> Iterator[Edit]:
    structure = study.project.structures[finding.about]
    label = f"strike the reason for several supplies of {structure.name}"
    yield relabelled(study, "structures", structure.id, label, several_supplies=None)


def _said(study: Study, reason: str) -> Iterator[tuple[r.Structure, list[EquipmentFacts]]]:
    """Give the structures of several supplies with this reason, and where these come in."""
    for key, heads in _heads(study).items():
        structure = study.project.structures[key]
        if structure.several_supplies == reason:
            yield structure, [study.equipment(head) for head in heads]


@on_project(
    "capacity-is-the-reason", topic=TOPIC, severity="violation", cite="service_number",
    remedies=_without_reason,
)  # fmt: skip
def capacity_is_the_reason(study: Study) -> Iterator[Finding]:
    """Several supplies for their capacity stand where the load is above 2000 A.

    The calculated loads of all supplies of the structure together (NEC 230.2(C)(1), 225.30(C)); a
    utility that can't give more single-phase is another reason, by its letter.
    """
    for structure, heads in _said(study, "above 2000 A"):
        demands = [head.demand for head in heads if head.demand is not None]
        load_a = sum(demand.heavier_a for demand in demands)
        if demands and not exceeds(load_a, CAPACITY_A):
            yield found(
                "capacity-is-the-reason", heads[0].piece.id,
                "{structure} has {count} supplies for loads above {limit_a}; together they carry "
                "{load_a}.",
                about=structure.id, structure=structure.name, count=str(len(heads)),
                limit_a=CAPACITY_A, load_a=load_a,
            )  # fmt: skip


@on_project(
    "voltage-is-the-reason", topic=TOPIC, severity="violation", cite="service_number",
    remedies=_without_reason,
)  # fmt: skip
def voltage_is_the_reason(study: Study) -> Iterator[Finding]:
    """Several supplies for their voltage or use differ in it.

    In voltage, phases or frequency, or in use such as a rate with a meter of its own (NEC 230.2(D),
    225.30(D)).
    """
    for structure, heads in _said(study, "different voltage or use"):
        systems = [head.system.name for head in heads if head.system is not None]
        if any(_has_rate_of_its_own(study, head) for head in heads):
            continue
        if len(systems) == len(heads) and len(set(systems)) == 1:
            yield found(
                "voltage-is-the-reason", heads[0].piece.id,
                "{structure} has {count} supplies for different voltages or uses; all are {system} "
                "V, and none has a meter of a second rate.",
                about=structure.id, structure=structure.name, count=str(len(heads)),
                system=systems[0],
            )  # fmt: skip


def _has_rate_of_its_own(study: Study, head: EquipmentFacts) -> bool:
    at: EquipmentFacts | None = head
    while at is not None:
        if isinstance(at.piece, r.Meter) and at.piece.role == "second rate":
            return True
        at = study.equipment(at.parent) if at.parent is not None else None
    return False


_SOURCES: Final[dict[str, tuple[type[r.Equipment], ...]]] = {
    "parallel power production": (r.Inverter, r.Battery, r.Generator),
    "emergency or standby": (r.Generator, r.Battery, r.TransferSwitch),
}


@on_project(
    "source-is-the-reason", topic=TOPIC, severity="violation", cite="service_number",
    remedies=_without_reason,
)  # fmt: skip
def source_is_the_reason(study: Study) -> Iterator[Finding]:
    """Several supplies for a source of power have that source.

    A parallel source for parallel power production, a generator, storage or transfer switch for
    standby (NEC 230.2(A), 225.30(A)).
    """
    for reason, kinds in _SOURCES.items():
        for structure, heads in _said(study, reason):
            there: list[r.Equipment] = [
                piece
                for piece in study.standing.equipment.values()
                if piece.structure == structure.id
            ]
            there += (each.piece for head in heads for each in below(study, head.piece.id))
            if not any(isinstance(piece, kinds) for piece in there):
                yield found(
                    "source-is-the-reason", heads[0].piece.id,
                    "{structure} has {count} supplies for {reason}; no such source stands there or "
                    "behind them.",
                    about=structure.id, structure=structure.name, count=str(len(heads)),
                    reason=reason,
                )  # fmt: skip


_OUTBUILDINGS: Final = ("accessory", "outdoor")


@on_service("one-set-per-service", topic=TOPIC, severity="violation", cite="service_sets")
def one_set_per_service(study: Study, service: Service) -> Iterator[Finding]:
    """One service supplies one structure, or a dwelling and its accessory structures.

    A drop or lateral has one set of service-entrance conductors; a one-family dwelling and its
    accessory structures may each have theirs (NEC 230.40 and its exception 3).
    """
    places = [study.project.structures[key] for key in structures_served(study, service.ids)]
    uses = [place.use for place in places]
    if len(places) < 2 or None in uses:
        return
    homes = [use for use in uses if use == "dwelling"]
    if len(homes) == 1 and all(use in _OUTBUILDINGS for use in uses if use != "dwelling"):
        return
    yield found(
        "one-set-per-service", service.entry.piece.id,
        "The service at {entry} goes on to disconnects in {places}: {count} structures that "
        "are not one dwelling with what belongs to it.",
        entry=service.entry.piece.name, count=str(len(places)),
        places=listed(place.name for place in places),
    )  # fmt: skip


def _behind_the_service(study: Study, finding: Finding) -> Iterator[Edit]:
    """Feed the piece from a panel at the service, where one has room."""
    facts = study.equipment(finding.where)
    if facts.feed is None:
        return
    run = study.project.runs[facts.feed]
    for each in study.all_equipment():
        panel = each.piece
        if isinstance(panel, r.Panel) and each.at_service:
            poles = len(study.run(run.id).legs)
            if free_spaces(study.project, panel, poles):
                yield refeed(study.project, run, panel, each.system)
                return


@on_piece(
    "service-disconnect-ahead", r.Use, r.DwellingLoad,
    topic=TOPIC, severity="violation", cite="service_ahead", remedies=_behind_the_service,
)  # fmt: skip
def service_disconnect_ahead(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """What uses power hangs behind a service disconnect.

    Only listed items connect ahead of it: meters, current transformers, surge devices, load
    management, standby and parallel sources (NEC 230.82).
    """
    if facts.ahead_of_service and facts.parent is not None:
        yield found(
            "service-disconnect-ahead", facts.piece.id,
            "{piece} is connected at {parent}, ahead of any service disconnect.",
            piece=facts.piece.name, parent=study.equipment(facts.parent).piece.name,
        )  # fmt: skip
