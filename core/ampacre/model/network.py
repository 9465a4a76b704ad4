"""The network: a networkx multigraph of ids, and the energised trees in it."""

from collections.abc import Mapping
from functools import cached_property
from typing import Final, NamedTuple, Self

import networkx as nx

from ampacre.model import records as r
from ampacre.model.project import Project

__all__ = ["Feed", "Island", "Network", "energised", "parts_of"]

_Kind = tuple[type[r.Equipment], bool]
"""Of a piece that matters to where voltage is: its class, and whether as a battery it forms one."""
_FORMING: Final[dict[type[r.Equipment], int]] = {r.UtilitySource: 0, r.Generator: 1, r.Battery: 2}
_STEERING: Final = frozenset({*_FORMING, r.Inverter, r.TransferSwitch})


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


_Parts = tuple[
    frozenset[str], Mapping[str, tuple[str, str]], Mapping[str, _Kind], Mapping[str, str]
]


def parts_of(project: Project) -> _Parts:
    """Give what a network is made of; equal parts make the same network."""
    pieces, runs = project.equipment, project.runs
    kinds = {
        key: (type(piece), isinstance(piece, r.Battery) and piece.forming)
        for key, piece in pieces.items()
        if type(piece) in _STEERING
    }
    switches = {key for key, (kind, _) in kinds.items() if kind is r.TransferSwitch}
    return (
        frozenset(pieces),
        {key: (run.source, run.target) for key, run in runs.items()},
        kinds,
        {key: run.lands_on for key, run in runs.items() if run.target in switches},
    )


class Network:
    """All that decides how a standing project is energised: pieces and runs by their ids.

    `ends` are source and target of each run, `kinds` tells of the pieces that form a voltage,
    follow one or switch, `lands_on` on which side of a transfer switch a run ends.
    """

    def __init__(
        self,
        pieces: frozenset[str],
        ends: Mapping[str, tuple[str, str]],
        kinds: Mapping[str, _Kind],
        lands_on: Mapping[str, str],
    ) -> None:
        self.pieces = pieces
        self.ends = ends
        self.kinds = kinds
        self.lands_on = lands_on

    @classmethod
    def of(cls, project: Project) -> Self:
        """Build the network of all pieces and runs of a project."""
        return cls(*parts_of(project))

    @cached_property
    def graph(self) -> "nx.MultiDiGraph[str]":
        """The network as a networkx graph; run ids are the edge keys."""
        graph: nx.MultiDiGraph[str] = nx.MultiDiGraph()
        graph.add_nodes_from(sorted(self.pieces))
        graph.add_edges_from((source, target, key) for key, (source, target) in self.ends.items())
        return graph

    @cached_property
    def touching(self) -> Mapping[str, list[tuple[str, str]]]:
        """By piece the other end and the id of every run that touches it, in this order."""
        found: dict[str, list[tuple[str, str]]] = {key: [] for key in self.pieces}
        for key, (source, target) in self.ends.items():
            found[source].append((target, key))
            found[target].append((source, key))
        for steps in found.values():
            steps.sort()
        return found

    def leaving(self, key: str) -> list[tuple[str, str]]:
        """Give target and id of each run that leaves a piece, as drawn."""
        return [(other, run) for other, run in self.touching[key] if self.ends[run][0] == key]

    def below(self, key: str) -> set[str]:
        """All pieces that hang below a piece, in the drawn direction, without itself."""
        return set(nx.descendants(self.graph, key))


def energised(
    network: Network, positions: Mapping[str, str], formed_by: type[r.Equipment] = r.Equipment
) -> tuple[Island, ...]:
    """Find the energised trees with the switches in these positions.

    Utility sources form first, then generators, then batteries that can carry an island. A piece
    that is reached already makes a further path to it a loop and a further forming source on it a
    rival. Positions that are not told count as closed, transfer switches as normal. Only the trees
    that a source of one kind forms are given where one is named.
    """
    islands: list[Island] = []
    earlier: set[str] = set()
    taken: set[str] = set()
    open_runs = _open_runs(network, positions)
    for root in _forming(network):
        if root in taken or positions.get(root) == "open":
            continue
        if issubclass(network.kinds[root][0], formed_by):
            island = _grow(network, open_runs, root)
            taken.update(island.order)
            if earlier.isdisjoint(island.order):
                islands.append(island)
        earlier.add(root)
    return tuple(islands)


def _forming(network: Network) -> list[str]:
    forming = [
        (_FORMING[kind], key)
        for key, (kind, forms) in network.kinds.items()
        if kind in _FORMING and (kind is not r.Battery or forms)
    ]
    return [key for _, key in sorted(forming)]


def _open_runs(network: Network, positions: Mapping[str, str]) -> set[str]:
    """Runs that lead nowhere with the switches in these positions."""
    opened = {key for key, position in positions.items() if position == "open"}
    other_side = {
        run
        for run, side in network.lands_on.items()
        if positions.get(network.ends[run][1], "normal") != side
    }
    if not opened:
        return other_side
    cut_off = {
        run for run, ends in network.ends.items() if run in opened or not opened.isdisjoint(ends)
    }
    return other_side | cut_off


def _grow(network: Network, open_runs: set[str], root: str) -> Island:
    order: list[str] = []
    feed: dict[str, Feed] = {}
    loops: list[str] = []
    reached = {root}
    used: set[str] = set()
    stack = [root]
    while stack:
        at = stack.pop()
        order.append(at)
        found: list[str] = []
        for piece, key in network.touching[at]:
            if key in used or key in open_runs:
                continue
            used.add(key)
            if piece in reached:
                loops.append(key)
                continue
            reached.add(piece)
            feed[piece] = Feed(key, at)
            found.append(piece)
        stack.extend(reversed(found))
    kinds = {key: network.kinds[key][0] for key in order if key in network.kinds}
    return Island(
        root=root,
        order=tuple(order),
        feed=feed,
        # a battery steps back to following when something else forms the island
        rivals=tuple(
            key
            for key, kind in kinds.items()
            if key != root and kind in _FORMING and kind is not r.Battery
        ),
        loops=tuple(loops),
        followers=tuple(key for key, kind in kinds.items() if kind in (r.Inverter, r.Battery)),
    )
