"""What serves as grounding conductor: metal raceways, and one wire for several circuits."""

from collections.abc import Iterator
from typing import Final

from ampacre.codebook.conductors import SIZES, area_cmil, size_word
from ampacre.model.project import Edit
from ampacre.rules.grounding import pull_copper
from ampacre.rules.paths import relabelled
from ampacre.rules.reading import is_circuit, run_name
from ampacre.rules.rule import Finding, found, on_project, on_run
from ampacre.study.facts import RunFacts
from ampacre.study.study import Study

TOPIC = "grounding"

_NO_METAL: Final = {"pvc": "plastic raceway", "direct burial": "the earth"}


def _wire(study: Study, finding: Finding) -> Iterator[Edit]:
    edit = pull_copper(study, finding.where)
    if edit is not None:
        yield edit


@on_run(
    "raceway-can-ground", topic=TOPIC, severity="violation", cite="egc_types",
    roles=("feeder", "branch", "tap", "transformer secondary", "generator output"),
    remedies=_wire,
)  # fmt: skip
def raceway_can_ground(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A raceway that is the grounding conductor is of metal.

    Rigid, intermediate and thin-wall steel, aluminum conduit and listed cable armour; plastic and
    earth carry no fault current back (NEC 250.118).
    """
    kind = facts.run.raceway
    if facts.run.conductors.grounding == "raceway" and kind in _NO_METAL:
        yield found(
            "raceway-can-ground", facts.run.id,
            "The raceway of {run} is its grounding conductor, and it lies in {kind}.",
            run=run_name(study, facts.run), kind=_NO_METAL[kind],
        )  # fmt: skip


def _larger(study: Study, finding: Finding) -> Iterator[Edit]:
    needed = str(finding.values["needed"])
    if needed in SIZES:
        raceway = study.project.raceways[finding.about]
        label = f"pull a {size_word(needed)} grounding conductor in {raceway.name}"
        yield relabelled(study, "raceways", raceway.id, label, grounding=needed)


@on_project(
    "shared-grounding-wire-size", topic=TOPIC, severity="violation", cite="egc_shared",
    remedies=_larger,
)  # fmt: skip
def shared_grounding_wire_size(study: Study) -> Iterator[Finding]:
    """One grounding conductor for several circuits is as large as the most demanding asks for.

    By the largest device among them, or by the circuit whose enlarged conductors ask for more (NEC
    250.122(C) and (B)).
    """
    for facts in study.all_raceways():
        size, needed = facts.raceway.grounding, facts.grounding_needed
        if size is None or needed is None or not facts.runs:
            continue
        if size != needed and area_cmil(size) < area_cmil(needed):
            circuits = [study.run(key) for key in facts.runs]
            devices = [run.protecting_a for run in circuits if run.protecting_a is not None]
            yield found(
                "shared-grounding-wire-size", min(facts.runs),
                "The grounding conductor in {raceway} is {size}; for its {count} circuits, up to "
                "{device_a}, it must be {least} or larger.",
                about=facts.raceway.id, raceway=facts.raceway.name, size=size_word(size),
                count=str(sum(is_circuit(study, run) for run in circuits)),
                device_a=max(devices, default=0.0), needed=needed, least=size_word(needed),
            )  # fmt: skip
