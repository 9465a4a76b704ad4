"""Neutrals: what they carry, and the least size that the code allows whatever they carry."""

from collections.abc import Iterator

import msgspec

from ampacre.codebook.conductors import SIZES, ampacity, area_cmil, size_of_area, size_word
from ampacre.codebook.grounding import egc, supply_bonding_jumper
from ampacre.model.edits import alter
from ampacre.model.project import Edit
from ampacre.rules.reading import an, is_circuit, known, run_name
from ampacre.rules.rule import Finding, exceeds, found, on_run
from ampacre.sizing.ampacity import end_column
from ampacre.sizing.conductor import SMALLEST_IN_PARALLEL
from ampacre.study.facts import RunFacts
from ampacre.study.study import Study

TOPIC = "conductors"


def _with_neutral(study: Study, finding: Finding, size: str) -> Edit:
    run = study.project.runs[finding.where]
    wires = msgspec.structs.replace(run.conductors, neutral=size)
    edit = alter(study.project, "runs", run.id, conductors=wires)
    label = f"Use {an(f'{size_word(size)} neutral')} for {run_name(study, run)}"
    return msgspec.structs.replace(edit, label=label)


def _carried_a(size: str, facts: RunFacts) -> float:
    """Ampacity of a neutral uncorrected [A], parallel sets together; 0 for none."""
    column = end_column(facts.insulation.value, facts.wet, facts.terminal_c.value)
    found_a = ampacity(size, facts.material.value or "", column)
    return found_a.value * facts.sets.value if found_a else 0.0


def _carrying_neutral(study: Study, finding: Finding) -> Iterator[Edit]:
    facts = study.run(finding.where)
    needed_a = float(finding.values["neutral_a"])
    least = SMALLEST_IN_PARALLEL if facts.sets.value > 1 else SIZES[0]
    for size in SIZES[SIZES.index(least) :]:
        if not exceeds(needed_a, _carried_a(size, facts)):
            yield _with_neutral(study, finding, size)
            return


@on_run(
    "neutral-carries-load", topic=TOPIC, severity="violation", cite="neutral",
    roles=("service", "feeder", "branch"),
    remedies=_carrying_neutral,
)  # fmt: skip
def neutral_carries_load(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A neutral carries the greatest load between it and one leg.

    The neutral load of NEC 220.61, as if the other legs were idle, without 125 % on its
    continuous part, against the termination column or the neutral's own where that is lower.
    """
    if facts.demand is None or facts.run.conductors.neutral is None or not facts.material.value:
        return
    size = known(facts.neutral)
    if size is None or not is_circuit(study, facts):
        return
    carried_a = 0.0 if size == "none" else _carried_a(size, facts)
    if exceeds(facts.demand.neutral_a, carried_a):
        yield found(
            "neutral-carries-load", facts.run.id,
            "The neutral of {run} ({size}) carries {carried_a}; its load is {neutral_a}.",
            size="none" if size == "none" else size_word(size),
            run=run_name(study, facts.run), carried_a=carried_a,
            neutral_a=facts.demand.neutral_a,
        )  # fmt: skip


def _floor(rule: str, study: Study, facts: RunFacts, floor: str, why: str) -> Iterator[Finding]:
    size = facts.run.conductors.neutral
    if size is None or size == "none":
        return
    if area_cmil(size) < area_cmil(floor):
        yield found(
            rule, facts.run.id,
            "The neutral of {run} is {size}; it may not be smaller than {least} {why}.",
            run=run_name(study, facts.run), size=size_word(size), floor=floor,
            least=size_word(floor), why=why,
        )  # fmt: skip


def _least_neutral(study: Study, finding: Finding) -> Iterator[Edit]:
    floor = str(finding.values["floor"])
    if floor in SIZES:
        yield _with_neutral(study, finding, floor)


@on_run(
    "feeder-neutral-large-enough", topic=TOPIC, severity="violation", cite="neutral_feeder",
    roles=("feeder",),
    remedies=_least_neutral,
)  # fmt: skip
def feeder_neutral_large_enough(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A feeder's neutral is not smaller than its grounding conductor would have to be.

    It must carry a line-to-neutral fault until the device opens (NEC 215.2(A)(2), 250.122); in
    parallel sets all neutrals together do.
    """
    if facts.run.conductors.neutral is None:
        return
    metal = facts.material.value
    if facts.protecting_a is None or metal is None or not is_circuit(study, facts):
        return
    listed = egc(facts.protecting_a, metal)
    floor = size_of_area(area_cmil(listed.value) / facts.sets.value) if listed else None
    if floor is not None:
        yield from _floor("feeder-neutral-large-enough", study, facts, floor, "behind its device")


@on_run(
    "feeder-neutral-enlarged", topic=TOPIC, severity="ask", cite="neutral_feeder",
    roles=("feeder",),
    remedies=_least_neutral,
)  # fmt: skip
def feeder_neutral_enlarged(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A feeder's neutral is enlarged with its line conductors, as its grounding conductor is.

    Its least size is that of the grounding conductor by NEC 250.122, and (B) of it enlarges that
    in proportion. Some read the table alone.
    """
    enlarged, metal = facts.neutral_enlarged, facts.material.value
    size = facts.run.conductors.neutral
    if enlarged is None or metal is None or size in (None, "none") or facts.protecting_a is None:
        return
    listed = egc(facts.protecting_a, metal)
    if listed is not None and area_cmil(size) * facts.sets.value < area_cmil(listed.value):
        return
    if area_cmil(size) < area_cmil(enlarged) and is_circuit(study, facts):
        yield found(
            "feeder-neutral-enlarged", facts.run.id,
            "The neutral of {run} is {size}; enlarged with the line conductors, as the grounding "
            "conductor is, it would be {least}. Ask whether that is asked for here.",
            run=run_name(study, facts.run), size=size_word(size), least=size_word(enlarged),
            floor=enlarged,
        )  # fmt: skip


@on_run(
    "service-neutral-large-enough", topic=TOPIC, severity="violation", cite="neutral_service",
    roles=("service",),
    remedies=_least_neutral,
)  # fmt: skip
def service_neutral_large_enough(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A service's neutral is not smaller than the grounded conductor of the table.

    It is the fault path up to the bond (NEC 250.24(C), Table 250.102(C)(1)), by the area of the
    ungrounded conductors; it need not be larger than they are.
    """
    if facts.run.conductors.neutral is None:
        return
    size, metal = facts.size.value, facts.material.value
    if size is None or metal is None or facts.sets.value > 1:
        return
    floor = supply_bonding_jumper(area_cmil(size), metal, metal)
    if floor is not None and is_circuit(study, facts):
        why = f"with {size_word(size)} conductors"
        yield from _floor("service-neutral-large-enough", study, facts, floor.value, why)
