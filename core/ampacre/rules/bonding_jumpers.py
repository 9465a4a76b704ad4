"""Bonding: jumpers of services and separate sources, of pipes and steel, and terminals for others."""

from collections.abc import Iterator
from typing import Final

from ampacre.codebook.conductors import SIZES, area_cmil, size_word
from ampacre.model import records as r
from ampacre.model.project import Edit
from ampacre.rules.electrode_conductors import METAL_WORD
from ampacre.rules.grounding import pulled
from ampacre.rules.paths import relabelled
from ampacre.rules.reading import is_circuit, run_name
from ampacre.rules.rule import Finding, found, on_piece, on_run
from ampacre.rules.standby import switches_of
from ampacre.sizing.bonding import bonding_jumper
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.fed import circuits_out
from ampacre.study.study import Study

TOPIC = "grounding"

LEAST_TERMINALS: Final = 3
"""Bonds that a terminal set for communication systems takes (NEC 250.94)."""


def _jumper(study: Study, finding: Finding) -> Iterator[Edit]:
    needed, metal = str(finding.values["needed"]), str(finding.values["metal"])
    if needed in SIZES:
        label = f"fit a {size_word(needed)} {METAL_WORD[metal]} bonding jumper in {finding.values['place']}"
        yield relabelled(
            study, "grounding", finding.about, label, bonding_jumper=needed,
            bonding_jumper_material=metal,
        )  # fmt: skip


def _jumper_too_small(rule: str, kind: str, facts: EquipmentFacts) -> Iterator[Finding]:
    needs = facts.grounding
    record = needs.record if needs is not None else None
    if needs is None or record is None or record.bonding_jumper is None:
        return
    metal = record.bonding_jumper_material or "cu"
    needed = needs.jumper.get(metal)
    if needs.jumper_kind != kind or needed is None:
        return
    if area_cmil(record.bonding_jumper) < area_cmil(needed):
        sets = f"{needs.hot_sets} sets of " if needs.hot_sets > 1 else ""
        yield found(
            rule, facts.piece.id,
            "The {kind} in {place} is {size} {word}; with {sets}{hot} {hot_word} conductors it "
            "must be {least} or larger.",
            about=record.id, kind=kind, place=facts.piece.name,
            size=size_word(record.bonding_jumper), word=METAL_WORD[metal], sets=sets,
            hot=size_word(needs.hot), hot_word=METAL_WORD[needs.hot_material], needed=needed,
            metal=metal, least=size_word(needed),
        )  # fmt: skip


@on_piece(
    "main-jumper-size", r.Panel, r.Disconnect,
    topic=TOPIC, severity="violation", cite="main_jumper", remedies=_jumper,
)  # fmt: skip
def main_jumper_size(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A main bonding jumper is as large as the table asks for.

    By the ungrounded service conductors (NEC 250.28(D), Table 250.102(C)(1)); above 1100 kcmil of
    copper 12.5 % of their area. One that comes with listed equipment need not be entered.
    """
    yield from _jumper_too_small("main-jumper-size", "main bonding jumper", facts)


@on_piece(
    "system-jumper-size", r.Transformer,
    topic=TOPIC, severity="violation", cite="separate_bond", remedies=_jumper,
)  # fmt: skip
def system_jumper_size(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A system bonding jumper is as large as the table asks for.

    By the ungrounded conductors of the separately derived system (NEC 250.30(A)(1), Table
    250.102(C)(1)).
    """
    yield from _jumper_too_small("system-jumper-size", "system bonding jumper", facts)


def _first_disconnects(study: Study, facts: EquipmentFacts) -> list[r.Panel | r.Disconnect]:
    found: list[r.Panel | r.Disconnect] = []
    above = [facts]
    while above:
        for _, piece in circuits_out(study, above.pop()):
            if isinstance(piece, (r.Panel, r.Disconnect)):
                found.append(piece)
            elif isinstance(piece, (r.Meter, r.Junction, r.TransferSwitch)):
                above.append(study.equipment(piece.id))
    return found


def _bond_source(study: Study, finding: Finding) -> Iterator[Edit]:
    for piece in (
        study.project.equipment[finding.where],
        *_first_disconnects(study, study.equipment(finding.where)),
    ):
        label = f"bond the neutral in {piece.name}"
        yield relabelled(study, "equipment", piece.id, label, neutral_bonded=True)


@on_piece(
    "separate-source-bonded", r.Transformer,
    topic=TOPIC, severity="violation", cite="separate_bond", remedies=_bond_source,
)  # fmt: skip
def separate_source_bonded(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A separately derived system is bonded, at its transformer or its first disconnect.

    With one system bonding jumper; without it a ground fault has no way back to the winding (NEC
    250.30(A)(1)).
    """
    piece = facts.piece
    assert isinstance(piece, r.Transformer)
    grounded = facts.system is not None and facts.system.neutral
    if (
        facts.ahead_of_service
        or not facts.supplied
        or not grounded
        or piece.neutral_bonded is not False
    ):
        return
    first = _first_disconnects(study, facts)
    if first and all(each.neutral_bonded is False for each in first):
        yield found(
            "separate-source-bonded", piece.id,
            "The neutral of {piece} is bonded neither in it nor in {disconnect}.",
            piece=piece.name, disconnect=first[0].name,
        )  # fmt: skip


def _pull_as_needed(study: Study, finding: Finding) -> Iterator[Edit]:
    needed = str(finding.values["needed"])
    if needed in SIZES:
        metal = study.run(finding.where).grounding_material.value
        yield pulled(study, finding.where, needed, "al" if metal == "al" else "cu")


def _wire_too_small(
    study: Study, rule: str, facts: RunFacts, needed: str | None, what: str
) -> Iterator[Finding]:
    size = facts.run.conductors.grounding
    if size is None or size == "raceway" or needed is None or not is_circuit(study, facts):
        return
    if size == "none" or area_cmil(size) < area_cmil(needed):
        yield found(
            rule, facts.run.id,
            "The {what} of {run} is {size}; it must be {least} or larger.",
            what=what, run=run_name(study, facts.run),
            size="missing" if size == "none" else size_word(size), needed=needed,
            least=size_word(needed),
        )  # fmt: skip


@on_run(
    "supply-jumper-size", topic=TOPIC, severity="violation", cite="supply_jumper",
    roles=("transformer secondary",), remedies=_pull_as_needed,
)  # fmt: skip
def supply_jumper_size(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A supply-side bonding jumper runs with the conductors from a transformer.

    To the first disconnect in another enclosure, by the size of the secondary conductors (NEC
    250.30(A)(2), 250.102(C)).
    """
    what = "supply-side bonding jumper"
    yield from _wire_too_small(study, "supply-jumper-size", facts, facts.grounding_needed, what)


def _is_separate(study: Study, generator: str) -> bool | None:
    """Whether a generator is separately derived: its transfer switches open the neutral."""
    opened = {
        getattr(each.piece, "neutral_switched", None) for each in switches_of(study, generator)
    }
    return opened.pop() if len(opened) == 1 else None


@on_run(
    "generator-grounding-wire", topic=TOPIC, severity="violation", cite="supply_jumper",
    roles=("generator output",), remedies=_pull_as_needed,
)  # fmt: skip
def generator_grounding_wire(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """The grounding wire from a generator is a bonding jumper where the set has its own bond.

    Behind a switched neutral the set is separately derived and the wire goes by its conductors
    (NEC 250.30(A)(2)); behind a solid one it is a grounding conductor by the device at the set
    (250.122).
    """
    size, hot_metal = facts.size.value, facts.material.value
    metal, separate = facts.grounding_material.value, _is_separate(study, facts.run.source)
    if size is None or hot_metal is None or metal is None or separate is None:
        return
    needed, what = facts.grounding_needed, "grounding conductor"
    if separate:
        sized = bonding_jumper(area_cmil(size) * facts.sets.value, hot_metal, metal)
        needed, what = sized.size if sized else None, "supply-side bonding jumper"
    yield from _wire_too_small(study, "generator-grounding-wire", facts, needed, what)


def _bond(study: Study, finding: Finding) -> Iterator[Edit]:
    needed, field = str(finding.values["needed"]), str(finding.values["field"])
    if needed in SIZES:
        label = f"bond {finding.values['what']} of {finding.values['structure']} with {size_word(needed)} copper"
        values = {field: needed, "bond_material": "cu"}
        yield relabelled(study, "grounding", finding.about, label, **values)


def _unbonded(rule: str, study: Study, facts: EquipmentFacts, field: str) -> Iterator[Finding]:
    needs = facts.grounding
    structure = study.project.structures.get(facts.piece.structure or "")
    if needs is None or needs.record is None or structure is None or not needs.hot:
        return
    there, what = {
        "water_pipe_bond": (structure.metal_water_pipe, "the metal water pipes"),
        "steel_bond": (structure.steel_frame, "the steel frame"),
    }[field]
    bond: str | None = getattr(needs.record, field)
    if not there or bond is None:
        return
    metal = needs.record.bond_material or "cu"
    cmil = area_cmil(needs.hot) * needs.hot_sets
    needed = bonding_jumper(cmil, needs.hot_material, metal)
    copper = bonding_jumper(cmil, needs.hot_material, "cu")
    if needed is None or copper is None:
        return
    if bond == "none" or area_cmil(bond) < area_cmil(needed.size):
        yield found(
            rule, facts.piece.id,
            "The bond of {what} of {structure} is {size}; with {hot} conductors it must be "
            "{least} or larger.",
            about=needs.record.id, what=what, structure=structure.name,
            size="missing" if bond == "none" else size_word(bond), hot=size_word(needs.hot),
            least=size_word(needed.size), needed=copper.size, field=field,
        )  # fmt: skip


@on_piece(
    "water-pipes-bonded", topic=TOPIC, severity="violation", cite="water_pipe_bond",
    remedies=_bond,
)  # fmt: skip
def water_pipes_bonded(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """Metal water pipes in a structure are bonded with a large enough conductor.

    By the service conductors, in other structures by those of their feeder (NEC 250.104(A), Table
    250.102(C)(1)).
    """
    yield from _unbonded("water-pipes-bonded", study, facts, "water_pipe_bond")


@on_piece("steel-frame-bonded", topic=TOPIC, severity="warning", cite="steel_bond", remedies=_bond)
def steel_frame_bonded(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """The exposed steel frame of a structure is bonded with a large enough conductor.

    Where it may become live; by the service or feeder conductors (NEC 250.104(C), Table
    250.102(C)(1)).
    """
    yield from _unbonded("steel-frame-bonded", study, facts, "steel_bond")


def _three_terminals(study: Study, finding: Finding) -> Iterator[Edit]:
    label = f"fit a bonding terminal set at {finding.values['place']}"
    yield relabelled(study, "grounding", finding.about, label, bonding_terminals=LEAST_TERMINALS)


@on_piece(
    "communication-bonds-have-terminals", topic=TOPIC, severity="warning",
    cite="intersystem_terminal", remedies=_three_terminals,
)  # fmt: skip
def communication_bonds_have_terminals(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """Communication systems find three or more terminals for their bonds.

    Outside, at the service or meter and at the disconnect of each further structure, with 6 AWG
    copper to them (NEC 250.94).
    """
    record = facts.grounding.record if facts.grounding is not None else None
    count = record.bonding_terminals if record is not None else None
    if record is not None and count is not None and count < LEAST_TERMINALS:
        yield found(
            "communication-bonds-have-terminals", facts.piece.id,
            "{place} has {count} terminals for the bonds of communication systems; three are the "
            "least.",
            about=record.id, place=facts.piece.name, count=str(count),
        )  # fmt: skip
