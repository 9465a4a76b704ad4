"""Disconnecting means of structures that feeders supply: present, how many, how large."""

from collections.abc import Iterator
from typing import Final

from ampacre.model import records as r
from ampacre.model.naming import listed
from ampacre.model.project import Edit
from ampacre.rules.rule import Finding, exceeds, found, on_project
from ampacre.rules.service_disconnects import larger_means
from ampacre.rules.structures import supplies_of
from ampacre.rules.supplies import (
    counted,
    every_leg,
    fit_main,
    has_main_lugs,
    insert_disconnect,
    least_means_a,
    means_behind,
    rating_a,
    serves_dwelling,
    supplies,
)
from ampacre.study.facts import EquipmentFacts
from ampacre.study.study import Study

TOPIC = "structures"

MOST: Final = 6
"""Disconnects of a structure for each supply (NEC 225.33)."""
_BUILDINGS: Final = ("dwelling", "accessory", "farm building", "commercial")


def _means(study: Study) -> Iterator[tuple[str, tuple[EquipmentFacts, ...]]]:
    """Give the disconnecting means of each supply of a structure, with the structure's name."""
    for supply in supplies(study):
        means = means_behind(study, supply.head)
        if means:
            yield study.project.structures[supply.structure].name, means


def _switch_ahead(study: Study, finding: Finding) -> Iterator[Edit]:
    return insert_disconnect(study, study.equipment(finding.where))


def _is_dwelling(study: Study, facts: EquipmentFacts) -> bool:
    """Whether a means supplies a dwelling; an outbuilding of one is a structure like others."""
    structure = study.project.structures.get(facts.piece.structure or "")
    return serves_dwelling(facts) or (structure is not None and structure.use == "dwelling")


@on_project(
    "structure-has-disconnect", topic=TOPIC, severity="violation", cite="detached_disconnect",
    remedies=_switch_ahead,
)  # fmt: skip
def structure_has_disconnect(study: Study) -> Iterator[Finding]:
    """A building that is supplied from another has a disconnecting means of its own.

    For all ungrounded conductors that supply it, at a readily accessible place nearest to where
    they enter (NEC 225.31, 225.32; from 2023 both in 225.31).
    """
    for key, each in supplies_of(study).items():
        structure = study.project.structures[key]
        if structure.use not in _BUILDINGS:
            continue
        for supply in each:
            if means_behind(study, supply.head) is None:
                yield found(
                    "structure-has-disconnect", supply.head.piece.id,
                    "{piece} in {structure} is supplied from another structure with no "
                    "disconnecting means of its own.",
                    piece=supply.head.piece.name, structure=structure.name,
                )  # fmt: skip


def _one_main(study: Study, finding: Finding) -> Iterator[Edit]:
    return fit_main(study, finding.where, 0.0)


@on_project(
    "structure-disconnects-six", topic=TOPIC, severity="violation", cite="structure_six",
    remedies=_one_main,
)  # fmt: skip
def structure_disconnects_six(study: Study) -> Iterator[Finding]:
    """Each supply of a structure has six disconnects at most.

    In a panel with main lugs every breaker is one (NEC 225.33); a main in it makes it one.
    """
    for structure, means in _means(study):
        count = counted(study, means)
        if count > MOST:
            lugs = [facts for facts in means if has_main_lugs(facts)]
            where = max(lugs or means, key=lambda facts: len(facts.runs_out))
            yield found(
                "structure-disconnects-six", where.piece.id,
                "It takes {count} disconnects in {names} to switch off {structure}; six are the "
                "most for one supply.",
                count=str(count), names=listed(facts.piece.name for facts in means),
                structure=structure,
            )  # fmt: skip


@on_project(
    "structure-rating-enough", topic=TOPIC, severity="violation",
    cite="structure_disconnect_size", remedies=larger_means,
)  # fmt: skip
def structure_rating_enough(study: Study) -> Iterator[Finding]:
    """A structure's disconnecting means is not below the least rating for what it supplies.

    100 A for a one-family dwelling, 15 A for one circuit, 30 A for two two-wire circuits, 60 A for
    anything else, several added up (NEC 225.39).
    """
    for structure, means in _means(study):
        ratings = [rating_a(study, facts) for facts in means]
        known = [rating for rating in ratings if rating is not None]
        least = [
            least_means_a(study, facts, dwelling=_is_dwelling(study, facts)) for facts in means
        ]
        wanted = [a for a in least if a is not None]
        if wanted and len(known) == len(ratings) and exceeds(max(wanted), sum(known)):
            yield found(
                "structure-rating-enough", means[0].piece.id,
                "The disconnect of {structure}, {names}, is rated {rated_a}; {least_a} is the "
                "least for what it supplies.",
                structure=structure, names=listed(facts.piece.name for facts in means),
                rated_a=sum(known), least_a=max(wanted),
            )  # fmt: skip


def _all_legs(study: Study, finding: Finding) -> Iterator[Edit]:
    return every_leg(study, finding.where, int(str(finding.values["legs"])))


@on_project(
    "structure-switch-opens-all-legs", topic=TOPIC, severity="violation",
    cite="structure_every_leg", remedies=_all_legs,
)  # fmt: skip
def structure_switch_opens_all_legs(study: Study) -> Iterator[Finding]:
    """A structure's disconnecting means opens all its ungrounded conductors at once.

    As many poles as legs arrive; the neutral may stay on a terminal (NEC 225.38).
    """
    for structure, means in _means(study):
        for facts in means:
            piece = facts.piece
            assert isinstance(piece, (r.Panel, r.Disconnect))
            legs = len(facts.system.legs) if facts.system is not None else 0
            if piece.poles is not None and piece.poles < legs:
                yield found(
                    "structure-switch-opens-all-legs", piece.id,
                    "{piece} opens {poles} of the {legs} legs that supply {structure}.",
                    piece=piece.name, poles=str(piece.poles), legs=str(legs), structure=structure,
                )  # fmt: skip
