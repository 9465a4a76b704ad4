"""What serves as grounding conductor: metal raceways, and one wire for several circuits."""

from collections.abc import Iterator
from typing import Final

from ampacre.codebook.conductors import SIZES, area_cmil, size_word
from ampacre.codebook.raceways import PLASTIC
from ampacre.model.project import Edit
from ampacre.model.words import value_word
from ampacre.rules.grounding import pull_copper
from ampacre.rules.paths import relabelled
from ampacre.rules.reading import is_circuit, run_name
from ampacre.rules.rule import Finding, exceeds, found, on_project, on_run
from ampacre.study.facts import RunFacts
from ampacre.study.study import Study

TOPIC = "grounding"

_NO_METAL: Final = {
    **dict.fromkeys(PLASTIC, "plastic raceway"), "direct burial": "the earth",
}  # fmt: skip


FLEXIBLE_M: Final = 1.8288
FLEXIBLE_A: Final = 20.0
LIQUIDTIGHT_A: Final = 60.0
_LIQUIDTIGHT_SIZES: Final = ("3/4", "1", "1-1/4")
"""Flexible metal grounds to 6 ft and 20 A, liquidtight of these trade sizes to 60 A (NEC 250.118)."""


def _grounds_to_a(kind: str, trade_size: str | None) -> float:
    """Largest device behind which flexible conduit may be the grounding conductor [A]."""
    wide = kind == "lfmc" and trade_size in _LIQUIDTIGHT_SIZES
    return LIQUIDTIGHT_A if wide else FLEXIBLE_A


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
    earth carry no fault current back, and flexible conduit only over 6 ft and behind 20 A, in some
    sizes of liquidtight 60 A (NEC 250.118).
    """
    kind = facts.run.raceway
    if kind is None or facts.run.conductors.grounding != "raceway":
        return
    if kind in ("fmc", "lfmc"):
        most_a = _grounds_to_a(kind, facts.run.trade_size)
        too_long = facts.run.length_m is not None and exceeds(facts.run.length_m, FLEXIBLE_M)
        if too_long or exceeds(facts.protecting_a or 0.0, most_a):
            yield found(
                "raceway-can-ground", facts.run.id,
                "The raceway of {run} is its grounding conductor; {kind} may be that over "
                "{length_m} at most and behind a device of {most_a} at most.",
                run=run_name(study, facts.run), kind=value_word(kind), length_m=FLEXIBLE_M,
                most_a=most_a,
            )  # fmt: skip
    elif kind in _NO_METAL:
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
