"""Loads drawn beside a dwelling's on its panel: whether they are the dwelling's, and how they count."""

from collections.abc import Iterator
from typing import Final

from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.model.naming import listed, listed_first
from ampacre.model.project import Edit, Refused
from ampacre.quantity import show
from ampacre.rules.paths import homes_fed, labelled
from ampacre.rules.rule import Finding, found, on_piece
from ampacre.study.facts import EquipmentFacts
from ampacre.study.fed import circuits_out
from ampacre.study.study import Study

TOPIC = "load"

_OF_A_DWELLING: Final = (None, "standard dwelling", "optional dwelling", "existing dwelling")
"""Methods of a panel by which it matters which loads are a dwelling's."""


def _dwelling_beside(study: Study, facts: EquipmentFacts) -> r.DwellingLoad | None:
    """Give the one dwelling's load that hangs from a piece."""
    homes = homes_fed(study, facts)
    return homes[0] if len(homes) == 1 else None


def _serving_none(study: Study, facts: EquipmentFacts) -> list[r.Use]:
    """Give the loads that hang from a piece and serve no dwelling, as they are drawn."""
    return [
        piece
        for _, piece in circuits_out(study, facts)
        if isinstance(piece, (r.Load, r.Motor, r.Charger)) and piece.serves is None
    ]


def _let_them_serve(study: Study, finding: Finding) -> Iterator[Edit]:
    """Make all of them the dwelling's, by the panel's method and by the optional one."""
    facts = study.equipment(finding.where)
    home, panel = _dwelling_beside(study, facts), study.project.equipment[finding.where]
    if home is None or not isinstance(panel, r.Panel):
        return
    loads = _serving_none(study, facts)
    names = [piece.name for piece in loads]
    edits = (alter(study.project, "equipment", piece.id, serves=home.id) for piece in loads)
    label = f"Let {listed(names) if len(names) < 4 else 'all of them'} serve {home.name}"
    edit = Edit(label, tuple(change for each in edits for change in each.changes))
    yield from _with_load(study, edit, panel.id)
    if panel.basis != "optional dwelling":
        optional = edit.then(alter(study.project, "equipment", panel.id, basis="optional dwelling"))
        label = f"{label} and compute {panel.name} by the optional method"
        yield from _with_load(study, labelled(optional, label), panel.id, "optional dwelling")


def _with_load(study: Study, edit: Edit, key: str, method: str = "") -> Iterator[Edit]:
    """Say in the label what a piece then carries; nothing where its method is another than wanted."""
    try:
        demand = study.fork(study.project.apply(edit)).equipment(key).demand
    except Refused:
        return
    if demand is not None and method in ("", demand.method):
        carried = show(demand.heavier_a, "a", study.settings.units)
        label = f"{edit.label}: {study.project.equipment[key].name} carries {carried}"
        yield labelled(edit, label)


@on_piece(
    "loads-beside-dwelling", r.Panel,
    topic=TOPIC, severity="advice", cite="common practice", remedies=_let_them_serve,
)  # fmt: skip
def loads_beside_dwelling(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A load on a dwelling's panel says whether it is the dwelling's.

    What serves a dwelling counts by its method, with the demand factors of NEC 220.53 to 220.55 or
    in the pool of 220.82; what serves none counts beside it and keeps the optional method from
    conductors that carry both (common practice: a house's own circuits are the house's load).
    """
    panel = facts.piece
    assert isinstance(panel, r.Panel)
    home = _dwelling_beside(study, facts)
    if home is None or panel.basis not in _OF_A_DWELLING or facts.demand is None:
        return
    names = [piece.name for piece in _serving_none(study, facts)]
    if names:
        yield found(
            "loads-beside-dwelling", panel.id,
            "{loads} on {panel} {serve} no dwelling as entered, and {count} beside {home}: "
            "{load_a} in all. If {home} uses {them}, say so: {panel} may then count by a dwelling's method.",
            loads=listed_first(names),
            panel=panel.name, home=home.name, load_a=facts.demand.heavier_a,
            serve="serves" if len(names) == 1 else "serve",
            count="counts" if len(names) == 1 else "count",
            them="it" if len(names) == 1 else "them",
        )  # fmt: skip
