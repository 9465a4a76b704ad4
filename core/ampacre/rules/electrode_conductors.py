"""Grounding electrode conductors: their size, their metal, and what is not entered of them."""

from collections.abc import Iterator
from typing import Final

from ampacre.codebook.conductors import SIZES, area_cmil, size_word
from ampacre.model import records as r
from ampacre.model.naming import listed
from ampacre.model.project import Edit
from ampacre.rules.handfuls import gathered
from ampacre.rules.paths import relabelled
from ampacre.rules.rule import Finding, found, on_piece, on_project
from ampacre.study.facts import EquipmentFacts
from ampacre.study.study import Study

TOPIC = "grounding"

METAL_WORD: Final = {"cu": "copper", "al": "aluminum"}


def _as_needed(study: Study, finding: Finding) -> Iterator[Edit]:
    needed, metal = str(finding.values["needed"]), str(finding.values["metal"])
    record = study.project.grounding[finding.about]
    if needed in SIZES:
        label = f"run a {size_word(needed)} electrode conductor at {finding.values['place']}"
        yield relabelled(
            study, "grounding", record.id, label, conductor=needed, conductor_material=metal
        )


@on_piece(
    "electrode-conductor-size", topic=TOPIC, severity="violation", cite="gec_table",
    remedies=_as_needed,
)  # fmt: skip
def electrode_conductor_size(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A grounding electrode conductor is as large as the table asks for.

    By the largest ungrounded conductor of the service, source or feeder, parallel sets added up
    (NEC Table 250.66, 250.30(A)(5), 250.32(E)); to rods alone 6 AWG copper is always enough, to a
    footing 4 AWG (250.66(A), (B)). One whose metal is not entered is taken for copper.
    """
    needs = facts.grounding
    record = needs.record if needs is not None else None
    if needs is None or record is None or record.conductor is None:
        return
    metal = record.conductor_material or "cu"
    needed = needs.electrode.get(metal)
    if needed is not None and area_cmil(record.conductor) < area_cmil(needed):
        sets = f"{needs.hot_sets} sets of " if needs.hot_sets > 1 else ""
        yield found(
            "electrode-conductor-size", facts.piece.id,
            "The electrode conductor at {place} is {size} {word}; with {sets}{hot} {hot_word} "
            "conductors it must be {least} or larger.",
            about=record.id, place=facts.piece.name, size=size_word(record.conductor),
            word=METAL_WORD[metal], sets=sets, hot=size_word(needs.hot),
            hot_word=METAL_WORD[needs.hot_material], needed=needed, metal=metal,
            least=size_word(needed),
        )  # fmt: skip


@on_piece(
    "electrode-conductor-copper", topic=TOPIC, severity="violation",
    cite="electrode_conductor_metal", remedies=_as_needed,
)  # fmt: skip
def electrode_conductor_copper(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """To a footing or a ground ring the electrode conductor is copper.

    Aluminum stays off concrete and earth, and ends 18 in above it outdoors (NEC 250.64(A)).
    """
    needs = facts.grounding
    record = needs.record if needs is not None else None
    if needs is None or record is None or record.conductor_material != "al":
        return
    buried = [
        electrode.kind
        for electrode in record.electrodes
        if electrode.kind in ("concrete-encased", "ring")
    ]
    if buried:
        yield found(
            "electrode-conductor-copper", facts.piece.id,
            "The electrode conductor at {place} is aluminum and leads to a {kind} electrode, in "
            "concrete or earth.",
            about=record.id, place=facts.piece.name, kind=buried[0],
            needed=needs.electrode.get("cu", ""), metal="cu",
        )  # fmt: skip


@on_project("grounding-entered", topic=TOPIC, severity="advice", cite="common practice")
def grounding_entered(study: Study) -> Iterator[Finding]:
    """What grounds each service, separate source and structure is entered.

    Electrodes, their conductor and the bonding jumper stand in a grounding record of the piece or
    its structure (NEC 250.24, 250.30, 250.32); without one they are not checked.
    """
    lacking = _not_entered(study)
    if lacking:
        yield found(
            "grounding-entered", min(key for key, _ in lacking),
            "Nothing is entered of the grounding at {places}: electrodes, electrode conductor and "
            "bonding jumper there are not checked.",
            places=listed(sorted({name for _, name in lacking})),
        )  # fmt: skip


@gathered
def _not_entered(study: Study, key: str) -> Iterator[tuple[str, str]]:
    """Give a piece that grounds something by no record, and the name of what it grounds."""
    facts = study.equipment(key)
    lacks = facts.grounding is not None and facts.grounding.record is None
    if lacks and not isinstance(facts.piece, r.Pedestal):
        yield key, _grounded_name(study, facts)


def _grounded_name(study: Study, facts: EquipmentFacts) -> str:
    """Name the service or source itself, and of what a feeder supplies the structure."""
    piece = facts.piece
    structure = study.project.structures.get(piece.structure or "")
    if structure is None or facts.at_service or isinstance(piece, r.Transformer):
        return piece.name
    return structure.name
