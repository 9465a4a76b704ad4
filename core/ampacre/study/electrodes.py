"""Grounding electrode conductors and bonding jumpers: of services, separate sources, buildings."""

from collections.abc import Mapping
from typing import Final, NamedTuple

from ampacre.codebook.articles import cite
from ampacre.codebook.conductors import area_cmil, size_word
from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.sizing.bonding import bonding_jumper, electrode_conductor
from ampacre.sizing.conductor import Conditions, Needs, smallest_conductor
from ampacre.study.circuit import Circuit
from ampacre.study.facts import GroundingFacts, Line, Worksheet
from ampacre.study.tree import Tree
from ampacre.study.wires import Wires

__all__ = ["grounding_at", "grounding_record"]

_METALS: Final = ("cu", "al")
_METAL_WORD: Final = {"cu": "copper", "al": "aluminum"}
_MOST_SETS: Final = 12
_UNKNOWN_SIZE: Final = (
    "their size or metal was not read: electrode conductor and jumper not checked"
)


class _Hot(NamedTuple):
    """The ungrounded conductors that the tables are entered with, and where they come from.

    `size` is "" where they are not known.
    """

    size: str
    material: str
    sets: int
    why: str
    by_load: bool = False


def grounding_at(
    project: Project,
    tree: Tree,
    circuits: Mapping[str, Circuit],
    wires: Mapping[str, Wires],
    key: str,
) -> GroundingFacts | None:
    """What a piece needs where a grounding electrode conductor belongs; None anywhere else.

    At a service disconnect with its main bonding jumper (NEC 250.24, 250.28, 250.66); at a
    transformer of the customer's with its system bonding jumper (250.30); at the first piece of
    another building, without a jumper (250.32). Where a service's conductors are not known no size
    is asked for; elsewhere there is None then.
    """
    piece = project.equipment[key]
    feed = tree.island.feed.get(key)
    if feed is None or piece.owner == "utility":
        return None
    if key in tree.at_service:
        hot = _service_hot(tree, circuits, wires, key)
        jumper, articles = "main bonding jumper", ("gec_table", "main_jumper")
    elif isinstance(piece, r.Transformer) and key not in tree.ahead:
        hot = _secondary_hot(tree, circuits, wires, key)
        jumper, articles = "system bonding jumper", ("separate_electrode", "main_jumper")
    elif key not in tree.ahead and (entering := _entering(project, tree, key)) is not None:
        hot = _run_hot(wires[entering], "the feeder's conductors")
        jumper, articles = "", ("structure_electrode", "")
    else:
        return None
    if hot is None:
        return None
    return _facts(project, piece, hot, jumper, articles)


def _entering(project: Project, tree: Tree, key: str) -> str | None:
    """Give the run by which a supply enters the structure that a piece stands at the head of.

    A meter or a splice between may stand there too. None where the piece is not at the head.
    """
    piece = project.equipment[key]
    here = piece.structure
    if not isinstance(piece, (r.Panel, r.Disconnect, r.TransferSwitch, r.Pedestal)) or here is None:
        return None
    feed = tree.island.feed.get(key)
    while feed is not None:
        above = project.equipment[feed.parent]
        if above.structure != here:
            return feed.run
        if not isinstance(above, (r.Meter, r.Junction)):
            return None
        feed = tree.island.feed.get(feed.parent)
    return None


def _run_hot(wires: Wires, why: str) -> _Hot | None:
    if wires.size.value is None or wires.material.value is None:
        return None
    return _Hot(wires.size.value, wires.material.value, wires.sets.value, why)


def _service_hot(
    tree: Tree, circuits: Mapping[str, Circuit], wires: Mapping[str, Wires], key: str
) -> _Hot | None:
    """Service conductors up to the service point; without any, those that the load would need.

    NEC Table 250.66 note 2. Conductors that were not read are not known.
    """
    at, unread = key, False
    while (feed := tree.island.feed.get(at)) is not None:
        run = circuits[feed.run].run
        if run.owner == "utility":
            break
        hot = _run_hot(wires[feed.run], "the service conductors")
        if hot is not None and run.length_m != 0:
            return hot
        unread = unread or run.length_m != 0
        at = feed.parent
    if unread:
        return _Hot("", "", 0, _UNKNOWN_SIZE)
    feed = tree.island.feed[key]
    return _equivalent(circuits[feed.run])


def _equivalent(circuit: Circuit) -> _Hot | None:
    """Aluminum conductors that a service's load and main would need."""
    how = Conditions("al", None, 75, 30.0, wet=True)
    demand = circuit.demand
    needs = Needs(
        demand.heavier_sizing_a, demand.heavier_a, circuit.load_end_device_a, circuit.edition,
        whole_dwelling=circuit.whole_dwelling,
    )  # fmt: skip
    if not (needs.sizing_a or needs.device_a):
        return None
    for sets in range(1, _MOST_SETS + 1):
        found = smallest_conductor(needs, how, sets)
        if found is not None:
            why = "what its load would need, as it is joined by bus and has no service conductors"
            return _Hot(found.size, "al", sets, why, by_load=True)
    return None


def _secondary_hot(
    tree: Tree, circuits: Mapping[str, Circuit], wires: Mapping[str, Wires], key: str
) -> _Hot | None:
    """The largest of the conductors that leave a transformer."""
    found = []
    for child in tree.children[key]:
        run = tree.island.feed[child].run
        hot = _run_hot(wires[run], "the secondary conductors")
        if hot is not None and circuits[run].run.length_m != 0:
            found.append(hot)
    return max(found, key=lambda hot: area_cmil(hot.size) * hot.sets, default=None)


def _facts(
    project: Project, piece: r.Equipment, hot: _Hot, jumper: str, articles: tuple[str, str]
) -> GroundingFacts:
    record = grounding_record(project, piece)
    if not hot.size:
        unknown = Line("Ungrounded conductors: not known", note=hot.why)
        working = Worksheet(f"Grounding at {piece.name}", (unknown,))
        return GroundingFacts(piece.id, "", "", 0, {}, {}, jumper, record, working)
    kinds = [electrode.kind for electrode in record.electrodes] if record else []
    cmil = area_cmil(hot.size) * hot.sets
    edition = project.settings.edition
    several = f"{hot.sets} sets of " if hot.sets > 1 else ""
    wire = f"{several}{size_word(hot.size)} {_METAL_WORD[hot.material]}"
    lines = [Line(f"Ungrounded conductors: {wire}", None, None, cmil, "cmil", "", hot.why)]
    electrode: dict[str, str] = {}
    jumpers: dict[str, str] = {}
    for metal in _METALS:
        found = electrode_conductor(cmil, hot.material, metal, kinds)
        electrode[metal] = found.size
        key = found.cite_key if found.cite_key != "gec_table" else articles[0]
        label = f"Electrode conductor, {_METAL_WORD[metal]}: {size_word(found.size)} or larger"
        lines.append(Line(label, cite=cite(key, edition)))
    for metal in _METALS if jumper else ():
        sized = bonding_jumper(cmil, hot.material, metal)
        if sized is not None:
            jumpers[metal] = sized.size
            label = (
                f"{jumper.capitalize()}, {_METAL_WORD[metal]}: {size_word(sized.size)} or larger"
            )
            table = cite(sized.cite_key, edition)
            lines.append(Line(label, cite=cite(articles[1], edition), note=table))
    return GroundingFacts(
        at=piece.id,
        hot=hot.size,
        hot_material=hot.material,
        hot_sets=hot.sets,
        by_load=hot.by_load,
        electrode=electrode,
        jumper=jumpers,
        jumper_kind=jumper,
        record=record,
        worksheet=Worksheet(f"Grounding at {piece.name}", tuple(lines)),
    )


def grounding_record(project: Project, piece: r.Equipment) -> r.Grounding | None:
    """What the project says of the grounding here: of the piece, else of its structure."""
    by_place = {record.at: record for record in project.grounding.values()}
    return by_place.get(piece.id) or by_place.get(piece.structure or "")
