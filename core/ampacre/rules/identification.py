"""Names that tell one thing from another, on the equipment and in its directory."""

from collections.abc import Iterator

from ampacre.model import records as r
from ampacre.model.edits import next_name
from ampacre.model.project import Edit
from ampacre.model.words import kind_of
from ampacre.rules.handfuls import gathered
from ampacre.rules.paths import relabelled
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
    first: dict[str, tuple[str, str, str]] = {}
    for key, name, kind in sorted(_names(study)):
        other, _, other_kind = first.setdefault(name.strip().casefold(), (key, name, kind))
        if other != key:
            yield found(
                "equipment-names-differ", key,
                "{name} is the name of a {kind} and of a {other_kind}.",
                about=other, name=name, kind=kind, other_kind=other_kind,
            )  # fmt: skip


@gathered
def _names(study: Study, key: str) -> Iterator[tuple[str, str, str]]:
    """Give a piece that has to have a name of its own, its name, and the word for its kind."""
    piece = study.standing.equipment[key]
    if isinstance(piece, _NAMED) and piece.owner == "customer" and piece.name:
        yield key, piece.name, kind_of(piece)


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
