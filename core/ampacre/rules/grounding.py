"""Grounding conductors and neutral bonds."""

from collections.abc import Iterator

import msgspec

from ampacre.codebook.conductors import SIZES, area_cmil, size_word
from ampacre.codebook.grounding import egc
from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.model.project import Edit
from ampacre.rules.reading import an, is_circuit, run_name
from ampacre.rules.resizing import grounding_needed
from ampacre.rules.rule import Finding, found, on_piece, on_run
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.study import Study

TOPIC = "grounding"

_BEHIND_THE_BOND: tuple[r.Role, ...] = ("feeder", "branch")


def pulled(study: Study, key: str, size: str, metal: r.Material | None) -> Edit:
    """Pull another grounding conductor with a run; `metal` None leaves the entered one."""
    run = study.project.runs[key]
    wires = msgspec.structs.replace(
        run.conductors,
        grounding=size,
        grounding_material=metal or run.conductors.grounding_material,
    )
    edit = alter(study.project, "runs", key, conductors=wires)
    word = {"cu": "copper ", "al": "aluminum "}.get(wires.grounding_material or "", "")
    what = an(f"{size_word(size)} {word}grounding conductor")
    label = f"Pull {what} with {run_name(study, run)}"
    return msgspec.structs.replace(edit, label=label)


def _as_needed(study: Study, finding: Finding) -> Iterator[Edit]:
    needed = str(finding.values["needed"])
    if needed in SIZES:
        yield pulled(study, finding.where, needed, None)


@on_run(
    "grounding-wire-large-enough", topic=TOPIC, severity="violation", cite="egc_table",
    roles=_BEHIND_THE_BOND,
    remedies=_as_needed,
)  # fmt: skip
def grounding_wire_large_enough(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A run's grounding conductor is large enough for its device and for enlarged conductors.

    By the device (NEC Table 250.122); where the conductors are larger than ampacity alone asks
    for, enlarged in the same proportion of areas (250.122(B)).
    """
    size, needed = facts.run.conductors.grounding, facts.grounding_needed
    if size is None or needed is None or size in ("none", "raceway"):
        return
    if size == needed or area_cmil(size) >= area_cmil(needed) or not is_circuit(study, facts):
        return
    enlarged = ""
    if facts.upsized_from and facts.size.value:
        here, enough = size_word(facts.size.value), size_word(facts.upsized_from)
        enlarged = f", as its {here} conductors are larger than the {enough} that would do"
    yield found(
        "grounding-wire-large-enough", facts.run.id,
        "The grounding conductor of {run} is {size}; behind {device_a} it must be "
        "{least}{enlarged}.",
        run=run_name(study, facts.run), size=size_word(size),
        device_a=facts.protecting_a or 0.0, needed=needed, least=size_word(needed),
        enlarged=enlarged,
    )  # fmt: skip


def pull_copper(study: Study, key: str) -> Edit | None:
    """Pull a copper grounding conductor with a run that has none, as large as it has to be."""
    facts = study.run(key)
    if facts.protecting_a is None:
        return None
    by_table = egc(facts.protecting_a, "cu")
    size = grounding_needed(study, facts, facts.run.conductors, facts.protecting_a, "cu")
    size = size or (by_table.value if by_table else None)
    return pulled(study, key, size, "cu") if size in SIZES else None


def _pull(study: Study, finding: Finding) -> Iterator[Edit]:
    edit = pull_copper(study, finding.where)
    if edit is not None:
        yield edit


@on_run(
    "structure-has-grounding-wire", topic=TOPIC, severity="violation", cite="detached_feeder",
    roles=_BEHIND_THE_BOND,
    remedies=_pull,
)  # fmt: skip
def structure_has_grounding_wire(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A feeder to another structure has a grounding conductor.

    It runs with the feeder and is bonded to the structure's disconnect and electrode (NEC
    250.32(B)). Only a three-wire feeder that was lawful when it was run may be kept, with no
    metal path between the structures.
    """
    run = facts.run
    if run.conductors.grounding != "none":
        return
    ends = study.standing.equipment
    here, there = ends[run.source].structure, ends[run.target].structure
    if here is None or there is None or here == there or not is_circuit(study, facts):
        return
    yield found(
        "structure-has-grounding-wire", run.id,
        "No grounding conductor goes with {run}, which leads to {structure}.",
        run=run_name(study, run), structure=study.project.structures[there].name,
    )  # fmt: skip


def _lift_bond(study: Study, finding: Finding) -> Iterator[Edit]:
    """Lift the bond, once a grounding conductor leads back to the one that stays.

    Without one the neutral is the only fault path; lifting the bond alone would take it away.
    """
    piece = study.project.equipment[finding.where]
    label = f"lift the neutral bond in {piece.name}"
    edit = alter(study.project, "equipment", piece.id, neutral_bonded=False)
    for run in _up_to_the_bond(study, piece.id):
        if run.conductors.grounding == "none":
            grounded = pull_copper(study, run.id)
            if grounded is None:
                return
            edit = grounded.then(edit)
            label = f"{grounded.label}, then {label}"
    yield msgspec.structs.replace(edit, label=label[0].upper() + label[1:])


def _up_to_the_bond(study: Study, key: str) -> Iterator[r.Run]:
    """Give the runs from a piece up to where the bond of its system belongs."""
    facts = study.equipment(key)
    while not facts.may_bond and facts.feed is not None and facts.parent is not None:
        yield study.project.runs[facts.feed]
        facts = study.equipment(facts.parent)


@on_piece(
    "no-second-bond", r.Panel, r.Disconnect,
    topic=TOPIC, severity="violation", cite="second_bond", remedies=_lift_bond,
)  # fmt: skip
def no_second_bond(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """The neutral is not bonded again past the service disconnect.

    A second bond lets neutral current flow over grounding conductors and metal (NEC 250.24(A)(5),
    250.142(B)). A separately derived system may have its one bond at its first disconnect (250.30).
    """
    piece = facts.piece
    assert isinstance(piece, (r.Panel, r.Disconnect))
    if not piece.neutral_bonded or not facts.supplied or facts.may_bond:
        return
    if not _bonds_its_source(study, facts):
        yield found(
            "no-second-bond", piece.id,
            "The neutral is bonded in {piece}, past the bond of the system that feeds it.",
            piece=piece.name,
        )  # fmt: skip


def _bonds_its_source(study: Study, facts: EquipmentFacts) -> bool:
    """Whether this is the first disconnect of a separate source that is not bonded itself."""
    at = facts
    while at.parent is not None:
        at = study.equipment(at.parent)
        if isinstance(at.piece, r.Transformer):
            return at.piece.neutral_bonded is False
        if not isinstance(at.piece, (r.Meter, r.Junction)):
            return False
    return False


def _bond(study: Study, finding: Finding) -> Iterator[Edit]:
    piece = study.project.equipment[finding.where]
    edit = alter(study.project, "equipment", piece.id, neutral_bonded=True)
    yield msgspec.structs.replace(edit, label=f"Bond the neutral in {piece.name}")


@on_piece(
    "service-bonded", r.Panel, r.Disconnect,
    topic=TOPIC, severity="violation", cite="NEC 250.24, 250.28", remedies=_bond,
)  # fmt: skip
def service_bonded(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """The neutral is bonded at the service disconnect.

    A main bonding jumper joins neutral, enclosure and grounding conductors there; without it no
    ground fault finds its way back (NEC 250.24, 250.28).
    """
    piece = facts.piece
    assert isinstance(piece, (r.Panel, r.Disconnect))
    if not facts.at_service or piece.neutral_bonded is not False:
        return
    if facts.system is not None and facts.system.neutral:
        yield found(
            "service-bonded", piece.id,
            "The neutral is not bonded in {piece}, the service disconnect.",
            piece=piece.name,
        )  # fmt: skip
