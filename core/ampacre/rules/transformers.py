"""Transformers against their nameplates, in volt-amperes and on the heavier leg."""

import math
from collections.abc import Iterator

import msgspec

from ampacre.codebook.transformers import standard_kva
from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.model.project import Edit
from ampacre.model.system import SYSTEMS, System
from ampacre.rules.reading import an, supply_device_a
from ampacre.rules.rule import Finding, exceeds, found, on_piece
from ampacre.study.facts import EquipmentFacts
from ampacre.study.fed import circuits_out
from ampacre.study.study import Study

TOPIC = "load"

_NUMBERS = (
    "{load_kva}, {share_pct} of its {rated_kva} nameplate: {load_a} on the heavier leg, where "
    "{rated_kva} at {line_v} is {rated_a}"
)
_MAINS = "; the mains below it add up to {mains_a}, which is not its rating"


def full_load_a(kva: float, system: System) -> float:
    """Rated current of a winding [A]: kVA over volts between lines, over sqrt(3) for three phases.

    On a centre-tapped winding this is half the kVA on each half of the voltage.
    """
    return kva * 1000 / (system.line_v * (math.sqrt(3) if system.phases == 3 else 1.0))


def _mains_below_a(study: Study, key: str) -> float:
    """Sum of the first overcurrent devices on each path below a piece [A]; 0 where one is not read."""
    total = 0.0
    above = [key]
    while above:
        for run, piece in circuits_out(study, study.equipment(above.pop())):
            device_a = supply_device_a(run)
            main = getattr(piece, "main", None)
            if device_a is not None:
                total += device_a
            elif main is not None:
                if main.rating_a is None:
                    return 0.0
                total += main.rating_a
            else:
                above.append(piece.id)
    return total


def _overloaded(
    study: Study, facts: EquipmentFacts, owner: r.Owner, rule: str, before: str, after: str
) -> Iterator[Finding]:
    piece = facts.piece
    assert isinstance(piece, r.Transformer)
    system = SYSTEMS.get(piece.system)
    if piece.owner != owner or piece.kva is None or facts.demand is None or system is None:
        return
    load_kva = facts.demand.calculated_va / 1000
    load_a = facts.demand.heavier_a
    rated_a = full_load_a(piece.kva, system)
    if not (exceeds(load_kva, piece.kva) or exceeds(load_a, rated_a)):
        return
    mains_a = _mains_below_a(study, piece.id)
    yield found(
        rule, piece.id, before + _NUMBERS + (_MAINS if mains_a else "") + after,
        piece=piece.name, load_kva=load_kva, share_pct=100 * load_kva / piece.kva,
        rated_kva=piece.kva, load_a=load_a, rated_a=rated_a, line_v=system.line_v, mains_a=mains_a,
    )  # fmt: skip


def _larger_transformer(study: Study, finding: Finding) -> Iterator[Edit]:
    """Give the next standard size; its impedance is not known before its nameplate is read."""
    piece = study.project.equipment[finding.where]
    assert isinstance(piece, r.Transformer)
    system = SYSTEMS[piece.system]
    load_kva, load_a = float(finding.values["load_kva"]), float(finding.values["load_a"])
    for kva in standard_kva(system.phases):
        if exceeds(load_kva, kva) or exceeds(load_a, full_load_a(kva, system)):
            continue
        edit = alter(
            study.project, "equipment", piece.id,
            kva=kva, impedance_pct=None, impedance_basis=None, x_r=None,
        )  # fmt: skip
        verb = "Ask for" if piece.owner == "utility" else "Fit"
        label = f"{verb} {an(f'{kva:g} kVA transformer')} for {piece.name}"
        yield msgspec.structs.replace(edit, label=label)
        return


@on_piece(
    "transformer-carries-load", r.Transformer,
    topic=TOPIC, severity="violation", cite="transformer_nameplate",
    remedies=_larger_transformer,
)  # fmt: skip
def transformer_carries_load(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A transformer carries the calculated load by its nameplate.

    Its kVA face the calculated volt-amperes, and half the winding the heavier leg. The amperes of
    the devices behind it say nothing of it: 75 kVA at 240 V is 312 A.
    """
    return _overloaded(
        study, facts, "customer", "transformer-carries-load", "{piece} is loaded to ", "."
    )


@on_piece(
    "utility-transformer-over-nameplate", r.Transformer,
    topic=TOPIC, severity="warning", cite="transformer_nameplate", utility=True,
    remedies=_larger_transformer,
)  # fmt: skip
def utility_transformer_over_nameplate(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """The utility's transformer is not loaded above its nameplate by calculation.

    A question to the utility and no code section: a code calculation lies above the diversified
    demand by design, and the utility may load its transformers by measured peaks.
    """
    return _overloaded(
        study, facts, "utility", "utility-transformer-over-nameplate",
        "By calculation {piece} would carry ",
        ". Ask the utility whether it may stay, with any measured peak.",
    )  # fmt: skip
