"""The energised tree with the voltage systems along it and the place of the service in it."""

from collections.abc import Mapping
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.model.network import Island
from ampacre.model.project import Project
from ampacre.model.system import SYSTEMS, System, legs_of_spaces, narrowed

__all__ = ["Tree", "grow", "primary_system"]


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


def grow(project: Project, island: Island) -> Tree:
    """Walk an island from its source and note the system of every piece."""
    arrives: dict[str, System] = {}
    gives: dict[str, System] = {}
    children: dict[str, list[str]] = {key: [] for key in island.order}
    for key in island.order:
        piece = project.equipment[key]
        feed = island.feed.get(key)
        if feed is None:
            arrives[key] = _source_system(piece)
        else:
            children[feed.parent].append(key)
            arrives[key] = _circuit(project.runs[feed.run], gives[feed.parent])
        gives[key] = arrives[key]
        if isinstance(piece, r.Transformer) and piece.system in SYSTEMS:
            gives[key] = SYSTEMS[piece.system]
    at_service, ahead = _service(project, island)
    below = {key: tuple(fed) for key, fed in children.items()}
    return Tree(island, arrives, gives, below, frozenset(at_service), frozenset(ahead))


def _source_system(piece: r.Equipment) -> System:
    if isinstance(piece, r.UtilitySource) and piece.system == "primary":
        return primary_system(piece.primary_v)
    assert isinstance(piece, (r.UtilitySource, r.Generator, r.Battery))
    return SYSTEMS.get(piece.system, SYSTEMS["120/240"])


def _circuit(run: r.Run, system: System) -> System:
    """System of a run: the legs of its spaces, those it states, or all there are.

    Legs that do not reach its source are left out; a run with none of its legs there gets the
    first, and the rules say that its voltage is wrong.
    """
    wanted = legs_of_spaces(run.spaces, system) if run.spaces else run.legs or system.legs
    present = "".join(leg for leg in wanted if leg in system.legs) or system.legs[:1]
    return narrowed(system, present)


def _service(project: Project, island: Island) -> tuple[set[str], set[str]]:
    """Find the first disconnecting means on each path from the utility, and what is ahead of it."""
    found: set[str] = set()
    ahead: set[str] = set()
    if not isinstance(project.equipment[island.root], r.UtilitySource):
        return found, ahead
    for key in island.order:
        feed = island.feed.get(key)
        if feed is not None and feed.parent not in ahead:
            continue
        piece = project.equipment[key]
        (found if _is_service_disconnect(piece) else ahead).add(key)
    return found, ahead


def _is_service_disconnect(piece: r.Equipment) -> bool:
    """A meter disconnect or an emergency disconnect ahead of the service is none (NEC 230.82)."""
    if not isinstance(piece, (r.Panel, r.Disconnect)) or piece.owner != "customer":
        return False
    return isinstance(piece, r.Panel) or piece.purpose is None
