"""Service conductors: their least ampacity, the neutral that comes with them, and their way."""

from collections.abc import Iterator
from typing import Final

import msgspec

from ampacre.codebook.conductors import SIZES, area_cmil, size_word
from ampacre.codebook.raceways import RACEWAYS
from ampacre.model.edits import alter
from ampacre.model.naming import listed
from ampacre.model.project import Edit
from ampacre.rules.paths import labelled, next_larger, relabelled
from ampacre.rules.reading import assumed_terminals, is_circuit, known, run_name
from ampacre.rules.rule import Finding, exceeds, found, on_project, on_run
from ampacre.rules.supplies import in_dwelling, is_of_sources, least_means_a, rating_a
from ampacre.sizing.bonding import bonding_jumper
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.fed import circuits_out
from ampacre.study.study import Study

TOPIC = "services"

OUTSIDE_COVER_M: Final = 18 * 0.0254
"""Earth over a raceway under a building that puts it outside of it (NEC 230.6(4))."""


def _disconnects_behind(study: Study, facts: RunFacts) -> list[EquipmentFacts]:
    """Give the service disconnects that a run leads to, but for those of sources alone."""
    found = []
    above = [study.equipment(facts.run.target)]
    while above:
        each = above.pop()
        if each.at_service:
            found.append(each)
        elif each.ahead_of_service:
            above += (study.equipment(piece.id) for _, piece in circuits_out(study, each))
    disconnects = (each for each in found if not is_of_sources(study, each.piece.id))
    return sorted(disconnects, key=lambda each: each.piece.id)


def _larger(study: Study, finding: Finding) -> Iterator[Edit]:
    return next_larger(study, study.run(finding.where), float(finding.values["least_a"]))


@on_run(
    "service-wire-for-disconnect", topic=TOPIC, severity="violation", cite="service_wire_least",
    roles=("service",), remedies=_larger,
)  # fmt: skip
def service_wire_for_disconnect(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Service conductors carry the least rating of the disconnect that they lead to.

    100 A for a one-family dwelling, 60 A for most others, whatever the load (NEC 230.42(B),
    230.79).
    """
    if facts.ampacity is None or known(facts.size) is None or not is_circuit(study, facts):
        return
    wanted = [
        least_means_a(study, each, dwelling=in_dwelling(study, each))
        for each in _disconnects_behind(study, facts)
    ]
    least_a = max((a for a in wanted if a is not None), default=0.0)
    if exceeds(least_a, facts.ampacity.allowed_a):
        yield found(
            "service-wire-for-disconnect", facts.run.id,
            "{run} carries {carried_a}; the least disconnect for what it supplies is {least_a}."
            "{assumed}",
            run=run_name(study, facts.run), carried_a=facts.ampacity.allowed_a, least_a=least_a,
            assumed=assumed_terminals(facts),
        )  # fmt: skip


@on_run(
    "several-mains-above-wire", topic=TOPIC, severity="advice", cite="service_several_mains",
    roles=("service",),
)  # fmt: skip
def several_mains_above_wire(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Several mains may add up to more than their service conductors carry, while the load fits.

    The calculated load must stay within the ampacity (NEC 230.90(A) exception 3); nothing but that
    calculation then guards the conductors.
    """
    if facts.ampacity is None or known(facts.size) is None or not is_circuit(study, facts):
        return
    behind = _disconnects_behind(study, facts)
    ratings = [rating_a(study, each) for each in behind]
    together_a = sum(rating for rating in ratings if rating is not None)
    if len(behind) > 1 and exceeds(together_a, facts.ampacity.allowed_a):
        yield found(
            "several-mains-above-wire", facts.run.id,
            "The mains {names} add up to {together_a}; {run} carries {carried_a}, and the "
            "calculated load is {load_a}: every load added later has to be reckoned up.",
            names=listed(each.piece.name for each in behind), together_a=together_a,
            run=run_name(study, facts.run), carried_a=facts.ampacity.allowed_a,
            load_a=facts.calculated_a,
        )  # fmt: skip


def _bring_neutral(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    size = str(finding.values["floor"])
    if size in SIZES:
        wires = msgspec.structs.replace(run.conductors, neutral=size)
        label = f"bring a neutral of {finding.values['least']} with {run_name(study, run)}"
        yield relabelled(study, "runs", run.id, label, conductors=wires)


@on_run(
    "service-neutral-present", topic=TOPIC, severity="violation", cite="neutral_service",
    roles=("service",), remedies=_bring_neutral,
)  # fmt: skip
def service_neutral_present(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """The neutral of a grounded system comes to every service disconnect.

    Even where no load uses it: it is the way of ground faults back to the transformer (NEC
    250.24(C)). Not smaller than Table 250.102(C)(1) gives.
    """
    size, metal = facts.size.value, facts.material.value
    if facts.run.conductors.neutral != "none" or not facts.system or not facts.system.neutral:
        return
    if size is None or metal is None or not is_circuit(study, facts):
        return
    floor = bonding_jumper(area_cmil(size) * facts.sets.value, metal, metal)
    if floor is not None:
        yield found(
            "service-neutral-present", facts.run.id,
            "No neutral comes with {run}; with {size} conductors it must be {least} or larger.",
            run=run_name(study, facts.run), size=size_word(size), floor=floor.size,
            least=size_word(floor.size),
        )  # fmt: skip


def _deeper(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    label = f"lay {run_name(study, run)} under 18 in of earth"
    yield relabelled(study, "runs", run.id, label, cover_m=OUTSIDE_COVER_M)


@on_run(
    "service-wire-outside-building", topic=TOPIC, severity="violation", cite="service_outside",
    roles=("service",), remedies=_deeper,
)  # fmt: skip
def service_wire_outside_building(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Service conductors under a building are deep enough to count as outside of it.

    In a raceway under 18 in of earth, or under 2 in of concrete (NEC 230.6); else the disconnect
    belongs where they enter (230.70(A)(1)).
    """
    run = facts.run
    if run.place != "under building" or run.cover_m is None:
        return
    if exceeds(OUTSIDE_COVER_M, run.cover_m):
        yield found(
            "service-wire-outside-building", run.id,
            "{run} lies {cover_m} under a building; {least_m} of earth puts it outside.",
            run=run_name(study, run), cover_m=run.cover_m, least_m=OUTSIDE_COVER_M,
        )  # fmt: skip


def _take_out(study: Study, finding: Finding) -> Iterator[Edit]:
    raceway = study.project.raceways[finding.about]
    edit = Edit("", ())
    for key in study.raceway(raceway.id).runs:
        run = study.project.runs[key]
        if run.role not in ("service", "utility"):
            kept = tuple(part for part in run.segments if part.raceway != raceway.id)
            edit = edit.then(alter(study.project, "runs", key, segments=kept))
    yield labelled(edit, f"take what is no service out of {raceway.name}")


@on_project(
    "service-raceway-alone", topic=TOPIC, severity="violation", cite="service_raceway",
    remedies=_take_out,
)  # fmt: skip
def service_raceway_alone(study: Study) -> Iterator[Finding]:
    """A raceway of service conductors holds no others.

    Feeders and branch circuits have a device ahead of them, service conductors have not: a fault
    between them would pass by every device (NEC 230.7).
    """
    for facts in study.all_raceways():
        if facts.kind.value not in RACEWAYS:
            continue
        runs = [study.project.runs[key] for key in facts.runs]
        service = [run for run in runs if run.role in ("service", "utility")]
        others = [run for run in runs if run.role not in ("service", "utility")]
        if service and others:
            yield found(
                "service-raceway-alone", service[0].id,
                "{raceway} holds {service} and {others} together.",
                about=facts.raceway.id, raceway=facts.raceway.name,
                service=listed(run_name(study, run) for run in service),
                others=listed(run_name(study, run) for run in others),
            )  # fmt: skip
