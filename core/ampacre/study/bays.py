"""An island cut into bays: each a piece with all that hangs from it and feeds nothing further.

Every pass goes from bay to bay. What it finds in one rests on the bay and on what it found in the
next above or below, so that after an edit most bays stand as they were.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import NamedTuple, TypeVar

from ampacre.model import records as r
from ampacre.model.network import Island
from ampacre.model.project import Project
from ampacre.study.memo import Memo
from ampacre.study.tree import Tree

__all__ = ["Bay", "bays_of", "besides", "of_keys", "part_of"]

T = TypeVar("T")


class _Cut(NamedTuple):
    """The shape of a bay: its tree, the heads of the bays that hang from it, the piece above."""

    tree: Tree
    further: tuple[str, ...]
    above: str | None


@dataclass(frozen=True, eq=False)
class Bay:
    """A bay with its part of the project, the same only as itself.

    `tree` has the pieces of the bay in order; it and `project` know the pieces next to it too.
    `further` are the heads of the bays that hang from it, `above` the piece that it hangs from.
    """

    tree: Tree
    further: tuple[str, ...]
    above: str | None
    project: Project

    @property
    def head(self) -> str:
        """The piece that the others hang from."""
        return self.tree.island.root

    @property
    def keys(self) -> tuple[str, ...]:
        """Its pieces, the head first."""
        return self.tree.island.order


def bays_of(project: Project, tree: Tree, memo: Memo) -> tuple[Bay, ...]:
    """Cut an island into bays, each after the one that it hangs from."""
    cuts = memo.of("cuts", (tree,), _cuts)
    return tuple(
        memo.of(("bay", cut.tree.island.root), (*cut, _part(project, cut)), Bay) for cut in cuts
    )


def of_keys(found: Mapping[str, T], keys: tuple[str, ...]) -> dict[str, T]:
    """Give what was found for these keys, in their order."""
    return {key: found[key] for key in keys if key in found}


def _cuts(tree: Tree) -> tuple[_Cut, ...]:
    feed, children = tree.island.feed, tree.children
    cuts = []
    for key in tree.island.order:
        if key in feed and not children[key]:
            continue
        leaves = tuple(child for child in children[key] if not children[child])
        further = tuple(child for child in children[key] if children[child])
        above = feed[key].parent if key in feed else None
        cuts.append(_Cut(_tree(tree, (key, *leaves), further, above), further, above))
    return tuple(cuts)


def _tree(tree: Tree, keys: tuple[str, ...], further: tuple[str, ...], above: str | None) -> Tree:
    near = (*keys, *further) if above is None else (*keys, *further, above)
    island = Island(keys[0], keys, of_keys(tree.island.feed, (*keys, *further)), (), (), ())
    return Tree(
        island,
        of_keys(tree.arrives, near),
        of_keys(tree.gives, near),
        of_keys(tree.children, keys),
        tree.at_service.intersection(near),
        tree.ahead.intersection(near),
    )


def _part(project: Project, cut: _Cut) -> Project:
    pieces = {key: project.equipment[key] for key in cut.tree.arrives}
    runs = {feed.run: project.runs[feed.run] for feed in cut.tree.island.feed.values()}
    return part_of(project, pieces, runs)


def part_of(
    project: Project, pieces: Mapping[str, r.AnyEquipment], runs: Mapping[str, r.Run]
) -> Project:
    """Give what a project says of these pieces and runs: where they stand and lie, and settings."""
    homes = {piece.structure for piece in pieces.values() if piece.structure is not None}
    ways = {segment.raceway for run in runs.values() for segment in run.segments}
    return Project(
        equipment=pieces,
        runs=runs,
        structures={key: project.structures[key] for key in homes},
        groups=project.groups,
        raceways={key: project.raceways[key] for key in ways},
        project=project.project,
    )


def besides(table: Mapping[str, T], found: Collection[Mapping[str, object]]) -> dict[str, T]:
    """Give what of a table is in none of these, which hold parts of it and nothing twice."""
    if sum(map(len, found)) == len(table):
        return {}
    known = set().union(*found)
    return {key: table[key] for key in table.keys() - known}
