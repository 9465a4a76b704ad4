"""The energised tree with the voltage systems along it and the place of the service in it."""

from collections.abc import Mapping
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.model.network import Island
from ampacre.model.project import Project
from ampacre.model.system import SYSTEMS, System, legs_of_spaces, narrowed

__all__ = ["Look", "Tree", "grow", "looks_of", "primary_system"]


class Tree(NamedTuple):
    """One island with what its shape alone tells.

    `arrives` is the system with those legs that reach a piece, `gives` what it passes on: the same
    for all but transformers. `children` are the pieces fed from a piece, in the order of the tree;
    `at_service` holds the first disconnecting means behind the service point, `ahead` what lies on
    the supply side of them.
    """

    island: Island
    arrives: Mapping[str, System]
    gives: Mapping[str, System]
    children: Mapping[str, tuple[str, ...]]
    at_service: frozenset[str]
    ahead: frozenset[str]


def primary_system(line_v: float) -> System:
    """A utility's primary, as one circuit of this voltage; only its impedance is of interest."""
    return System("primary", "A", (line_v + 0j,), line_v, neutral=False, ground_v=line_v)


class Look(NamedTuple):
    """What systems and the place of the service depend on, of a piece that has a say in them.

    `source` is the system that it forms, `secondary` what it gives as a transformer.
    """

    source: System | None = None
    secondary: System | None = None
    utility: bool = False
    disconnects: bool = False


_NO_SAY = Look()


def looks_of(project: Project) -> dict[str, Look]:
    """Look at the pieces that have a say in systems and services."""
    found: dict[str, Look] = {}
    for key, piece in project.equipment.items():
        if isinstance(piece, (r.UtilitySource, r.Generator, r.Battery)):
            utility = isinstance(piece, r.UtilitySource)
            found[key] = Look(source=_source_system(piece), utility=utility)
        elif isinstance(piece, r.Transformer):
            found[key] = Look(secondary=SYSTEMS.get(piece.system))
        elif _is_service_disconnect(piece):
            found[key] = Look(disconnects=True)
    return found


def grow(
    island: Island, looks: Mapping[str, Look], legs: Mapping[str, tuple[tuple[int, ...], str]]
) -> Tree:
    """Walk an island from its source and note the system of every piece.

    `legs` are the spaces that each run takes and the legs that it states.
    """
    arrives: dict[str, System] = {}
    gives: dict[str, System] = {}
    children: dict[str, list[str]] = {key: [] for key in island.order}
    for key in island.order:
        look = looks.get(key, _NO_SAY)
        feed = island.feed.get(key)
        if feed is None:
            assert look.source is not None
            arrives[key] = look.source
        else:
            children[feed.parent].append(key)
            arrives[key] = _circuit(*legs[feed.run], gives[feed.parent])
        gives[key] = look.secondary or arrives[key]
    at_service, ahead = _service(island, looks)
    below = {key: tuple(fed) for key, fed in children.items()}
    return Tree(island, arrives, gives, below, frozenset(at_service), frozenset(ahead))


def _source_system(piece: r.Equipment) -> System:
    if isinstance(piece, r.UtilitySource) and piece.system == "primary":
        return primary_system(piece.primary_v)
    assert isinstance(piece, (r.UtilitySource, r.Generator, r.Battery))
    return SYSTEMS.get(piece.system, SYSTEMS["120/240"])


def _circuit(spaces: tuple[int, ...], legs: str, system: System) -> System:
    """System of a run: the legs of its spaces, those it states, or all there are.

    Legs that do not reach its source are left out; a run with none of its legs there gets the
    first, and the rules say that its voltage is wrong.
    """
    wanted = legs_of_spaces(spaces, system) if spaces else legs or system.legs
    present = "".join(leg for leg in wanted if leg in system.legs) or system.legs[:1]
    return narrowed(system, present)


def _service(island: Island, looks: Mapping[str, Look]) -> tuple[set[str], set[str]]:
    """Find the first disconnecting means on each path from the utility, and what is ahead of it."""
    found: set[str] = set()
    ahead: set[str] = set()
    if not looks[island.root].utility:
        return found, ahead
    for key in island.order:
        feed = island.feed.get(key)
        if feed is not None and feed.parent not in ahead:
            continue
        (found if looks.get(key, _NO_SAY).disconnects else ahead).add(key)
    return found, ahead


def _is_service_disconnect(piece: r.Equipment) -> bool:
    """A meter disconnect or an emergency disconnect ahead of the service is none (NEC 230.82)."""
    if not isinstance(piece, (r.Panel, r.Disconnect)) or piece.owner != "customer":
        return False
    return isinstance(piece, r.Panel) or piece.purpose is None
