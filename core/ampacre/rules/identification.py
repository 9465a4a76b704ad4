"""Names that tell one thing from another, on the equipment and in its directory."""

from collections.abc import Iterator

from ampacre.model import records as r
from ampacre.model.edits import next_name
from ampacre.model.project import Edit
from ampacre.model.words import kind_of
from ampacre.rules.paths import relabelled
from ampacre.rules.reading import ids_of
from ampacre.rules.rule import Finding, found, on_piece, on_project
from ampacre.study.facts import EquipmentFacts
from ampacre.study.fed import circuits_out
from ampacre.study.study import Study

TOPIC = "labels"

_NAMED = (r.Transformer, r.Meter, r.Disconnect, r.Panel, r.TransferSwitch, r.Generator, r.Battery)


def _another_name(study: Study, finding: Finding) -> Iterator[Edit]:
    piece = study.project.equipment[finding.where]
    name = next_name(study.project, kind_of(piece))
    yield relabelled(study, "equipment", piece.id, f"call it {name}", name=name)


@on_project(
    "equipment-names-differ", topic=TOPIC, severity="warning", cite="disconnect_marked",
    remedies=_another_name,
)  # fmt: skip
def equipment_names_differ(study: Study) -> Iterator[Finding]:
    """Disconnects, panels and sources have names of their own.

    Each disconnect is marked with its purpose (NEC 110.22(A)), panels with where they are fed from
    (408.4(B)); who works on one has to know which it is.
    """
    first: dict[str, r.Equipment] = {}
    for key in ids_of(study, _NAMED, "customer"):
        piece = study.standing.equipment[key]
        if not piece.name:
            continue
        other = first.setdefault(piece.name.strip().casefold(), piece)
        if other is not piece:
            yield found(
                "equipment-names-differ", piece.id,
                "{name} is the name of a {kind} and of a {other_kind}.",
                about=other.id, name=piece.name, kind=kind_of(piece), other_kind=kind_of(other),
            )  # fmt: skip


def _numbered(study: Study, finding: Finding) -> Iterator[Edit]:
    piece = study.project.equipment[finding.about]
    used = {other.name.casefold() for other in study.project.equipment.values()}
    names = (f"{piece.name[:110]} {number}" for number in range(2, 1000))
    name = next(name for name in names if name.casefold() not in used)
    yield relabelled(study, "equipment", piece.id, f"call it {name}", name=name)


@on_piece(
    "circuit-names-differ", r.Panel,
    topic=TOPIC, severity="warning", cite="panel_directory", remedies=_numbered,
)  # fmt: skip
def circuit_names_differ(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """The circuits of a panel are told apart in its directory.

    Each by what it supplies, clearly and in a way that is true of no other (NEC 408.4(A)).
    """
    first: dict[str, str] = {}
    for run, piece in circuits_out(study, facts):
        name = (run.run.name or piece.name).strip()
        if first.setdefault(name.casefold(), piece.id) != piece.id and name:
            yield found(
                "circuit-names-differ", facts.piece.id,
                "Two circuits of {panel} are called {name}.",
                about=piece.id, panel=facts.piece.name, name=name,
            )  # fmt: skip
