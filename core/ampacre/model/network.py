"""The network: a networkx multigraph of ids, and the energised trees in it."""

from collections.abc import Mapping
from typing import NamedTuple, Self

import networkx as nx

from ampacre.model import records as r
from ampacre.model.project import Edit, Project

__all__ = ["Feed", "Island", "Network", "energised"]


class Feed(NamedTuple):
    """How a piece is reached: by which run, from which piece."""

    run: str
    parent: str


class Island(NamedTuple):
    """A tree under one forming source.

    `order` lists its pieces, each after the one that feeds it and each subtree together; `feed`
    tells how each but the root is reached. `rivals` are further forming sources on the same
    island, `loops` runs that would be a second path and are left out of the tree. `followers`
    are inverters that follow the root's voltage.
    """

    root: str
    order: tuple[str, ...]
    feed: Mapping[str, Feed]
    rivals: tuple[str, ...]
    loops: tuple[str, ...]
    followers: tuple[str, ...]


class Network:
    """Ids of pieces and runs as a networkx MultiDiGraph; run ids are the edge keys."""

    def __init__(self, graph: "nx.MultiDiGraph[str]") -> None:
        self.graph = graph

    @classmethod
    def of(cls, project: Project) -> Self:
        """Build the network of all pieces and runs of a project."""
        graph: nx.MultiDiGraph[str] = nx.MultiDiGraph()
        graph.add_nodes_from(sorted(project.equipment))
        graph.add_edges_from((run.source, run.target, run.id) for run in project.runs.values())
        return cls(graph)

    def follow(self, edit: Edit) -> None:
        """Bring the graph up to date with an edit that was applied."""
        for change in edit.changes:
            if change.table == "runs" and isinstance(change.before, r.Run):
                self.graph.remove_edge(change.before.source, change.before.target, change.key)
        for change in edit.changes:
            if change.table == "equipment":
                if change.after is None:
                    self.graph.remove_node(change.key)
                elif change.before is None:
                    self.graph.add_node(change.key)
        for change in edit.changes:
            if change.table == "runs" and isinstance(change.after, r.Run):
                self.graph.add_edge(change.after.source, change.after.target, change.key)

    def below(self, key: str) -> set[str]:
        """All pieces that hang below a piece, in the drawn direction, without itself."""
        return set(nx.descendants(self.graph, key))


def energised(project: Project, network: Network, state: r.State | None) -> tuple[Island, ...]:
    """Find the energised trees of a standing project in a state (None: normal).

    Utility sources form first, then generators, then batteries that can carry an island. A piece
    that is reached already makes a further path to it a loop and a further forming source on it a
    rival. Positions that the state does not tell count as closed, transfer switches as normal.
    """
    positions = {} if state is None else state.positions
    islands: list[Island] = []
    taken: set[str] = set()
    for root in _forming(project):
        if root in taken or positions.get(root) == "open":
            continue
        island = _grow(project, network, positions, root)
        taken.update(island.order)
        islands.append(island)
    return tuple(islands)


def _forming(project: Project) -> list[str]:
    rank = {r.UtilitySource: 0, r.Generator: 1, r.Battery: 2}
    forming = [
        (rank[type(piece)], key)
        for key, piece in project.equipment.items()
        if type(piece) in rank and (not isinstance(piece, r.Battery) or piece.forming)
    ]
    return [key for _, key in sorted(forming)]


def _closed(project: Project, positions: Mapping[str, str], run: r.Run) -> bool:
    if positions.get(run.id) == "open" or run.id not in project.runs:
        return False
    for end in (run.source, run.target):
        if positions.get(end) == "open":
            return False
    target = project.equipment.get(run.target)
    if isinstance(target, r.TransferSwitch):
        return positions.get(target.id, "normal") == run.lands_on
    return True


def _grow(project: Project, network: Network, positions: Mapping[str, str], root: str) -> Island:
    order: list[str] = []
    feed: dict[str, Feed] = {}
    loops: list[str] = []
    reached = {root}
    used: set[str] = set()
    stack = [root]
    graph = network.graph
    while stack:
        at = stack.pop()
        order.append(at)
        steps = [(target, key) for _, target, key in graph.out_edges(at, keys=True)]
        steps += [(source, key) for source, _, key in graph.in_edges(at, keys=True)]
        found: list[str] = []
        for piece, key in sorted(steps):
            if key in used or not _closed(project, positions, project.runs[key]):
                continue
            used.add(key)
            if piece in reached:
                loops.append(key)
                continue
            reached.add(piece)
            feed[piece] = Feed(key, at)
            found.append(piece)
        stack.extend(reversed(found))
    forming = set(_forming(project)) - {root}
    return Island(
        root=root,
        order=tuple(order),
        feed=feed,
        rivals=tuple(key for key in order if key in forming and _can_rival(project, key)),
        loops=tuple(loops),
        followers=tuple(
            key for key in order if isinstance(project.equipment[key], (r.Inverter, r.Battery))
        ),
    )


def _can_rival(project: Project, key: str) -> bool:
    """A battery steps back to following when something else forms the island."""
    return not isinstance(project.equipment[key], r.Battery)
