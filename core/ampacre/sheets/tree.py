"""What hangs from what on the drawing: a forest of branches over everything a project records.

The energised trees of the normal state come first; what they do not reach (what is not supplied,
what is to be removed) makes further branches. A run that is a second way to a piece is drawn where
all that it comes from is a short chain that can stand beside the piece; else it is shown by
matching marks at both ends.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.model.network import Island
from ampacre.model.project import Project

__all__ = [
    "Branch",
    "Chain",
    "Forest",
    "Jump",
    "Row",
    "bus_order",
    "in_order",
    "plant",
    "sort_children",
]

_LISTED = (r.Load, r.Motor, r.DwellingLoad)
_LONGEST_CHAIN = 2


class Row(NamedTuple):
    """A load that is a line in the list under its panel."""

    piece: r.Equipment
    run: r.Run


@dataclass(slots=True, eq=False, repr=False)
class Jump:
    """A line that is interrupted: both ends show the same mark, and where the other end is.

    `run` is None where a bus goes on elsewhere. The sheets are empty where both ends are drawn in
    one picture.
    """

    source: "Branch"
    target: "Branch"
    run: r.Run | None = None
    mark: str = ""
    source_sheet: str = ""
    target_sheet: str = ""


class Chain(NamedTuple):
    """A second way to a piece, drawn beside it: its root, its last piece, and the run from there."""

    root: "Branch"
    end: "Branch"
    run: r.Run


@dataclass(slots=True, eq=False, repr=False)
class Branch:
    """A piece with a symbol of its own, the run that feeds it, and what hangs from it.

    `chains` and `arriving` reach the piece beside its feed; `leaving` starts here and goes on
    elsewhere; `entry` is where the feed itself comes from elsewhere. `hidden` counts the pieces
    that a folded branch does not show. `structure_starts` tells that the piece stands in a
    structure that the piece above it does not stand in; `continued`, that this is the rest of
    a bus whose head stands elsewhere. `grounding` is the id of the electrode system's record that
    is told beside it: its own, or that of the structure that starts here.
    """

    piece: r.Equipment
    feed: r.Run | None = None
    parent: "Branch | None" = None
    children: list["Branch"] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)
    chains: list[Chain] = field(default_factory=list)
    arriving: list[Jump] = field(default_factory=list)
    leaving: list[Jump] = field(default_factory=list)
    entry: Jump | None = None
    hidden: int = 0
    grounding: str = ""
    structure_starts: bool = False
    continued: bool = False

    def walk(self) -> Iterator["Branch"]:
        """Give the branch and all below it, each after what it hangs from."""
        stack = [self]
        while stack:
            branch = stack.pop()
            yield branch
            stack.extend(reversed(branch.children))


class Forest(NamedTuple):
    """The trees that stand beside each other, in order, and the branch of each piece shown."""

    roots: tuple[Branch, ...]
    branches: Mapping[str, Branch]


class _Feed(NamedTuple):
    """How a piece is reached; both empty for a root."""

    run: r.Run | None = None
    parent: str = ""


def plant(
    project: Project, islands: Iterable[Island], folded: frozenset[str] = frozenset()
) -> Forest:
    """Build the forest of a project; what hangs below a folded piece is counted and left out."""
    feeds = _feeds(project, islands)
    branches = _branches(project, feeds)
    for branch in branches.values():
        branch.rows.sort(key=lambda row: bus_order(row.run, row.piece))
        sort_children(branch)
    for key in sorted(folded & branches.keys()):
        _fold(branches, key)
    drawn = {feed.run.id for feed in feeds.values() if feed.run}
    _add_second_ways(project, branches, drawn)
    chained = {chain.root for branch in branches.values() for chain in branch.chains}
    for branch in branches.values():
        above = branch.parent.piece.structure if branch.parent else None
        branch.structure_starts = branch.piece.structure not in (None, above)
    _add_grounding(project, branches.values())
    roots = (branches[key] for key, feed in feeds.items() if not feed.run and key in branches)
    return Forest(tuple(root for root in roots if root not in chained), branches)


def _add_grounding(project: Project, branches: Iterable[Branch]) -> None:
    """Tell each electrode system once: at its piece, or where its structure first appears."""
    places = {record.at: record.id for record in project.grounding.values()}
    for branch in branches:
        own = places.pop(branch.piece.id, "")
        structure = branch.piece.structure if branch.structure_starts else None
        branch.grounding = own or (places.pop(structure, "") if structure else "")


def _feeds(project: Project, islands: Iterable[Island]) -> dict[str, _Feed]:
    """Say how each piece is reached, each after what feeds it: supplied, unsupplied, removed."""
    feeds: dict[str, _Feed] = {}
    for island in islands:
        for key in island.order:
            feed = island.feed.get(key)
            feeds[key] = _Feed(project.runs[feed.run], feed.parent) if feed else _Feed()
    out: dict[str, list[r.Run]] = {}
    fed: set[str] = set()
    for gone in (False, True):
        for run in sorted(project.runs.values(), key=lambda run: run.id):
            if (run.until is not None) == gone:
                out.setdefault(run.source, []).append(run)
                fed.add(run.target)
        _grow(feeds, out, list(feeds))
        here = [key for key in sorted(project.equipment) if _is_gone(project, key) <= gone]
        for key in sorted(here, key=lambda key: key in fed):
            if key not in feeds:
                feeds[key] = _Feed()
                _grow(feeds, out, [key])
    return feeds


def _is_gone(project: Project, key: str) -> bool:
    return project.equipment[key].until is not None


def _grow(feeds: dict[str, _Feed], out: Mapping[str, list[r.Run]], reached: list[str]) -> None:
    while reached:
        at = reached.pop()
        for run in out.get(at, ()):
            if run.target not in feeds:
                feeds[run.target] = _Feed(run, at)
                reached.append(run.target)


def _branches(project: Project, feeds: Mapping[str, _Feed]) -> dict[str, Branch]:
    """Make the branches, with loads on a circuit of a panel as lines of its list."""
    ends: dict[str, int] = {}
    for run in project.runs.values():
        for end in (run.source, run.target):
            ends[end] = ends.get(end, 0) + 1
    branches: dict[str, Branch] = {}
    for key, feed in feeds.items():
        piece = project.equipment[key]
        above = branches.get(feed.parent)
        if feed.run is None or above is None:
            branches[key] = Branch(piece)
        elif isinstance(piece, _LISTED) and isinstance(above.piece, r.Panel) and ends[key] == 1:
            above.rows.append(Row(piece, feed.run))
        else:
            branches[key] = Branch(piece, feed.run, above)
            above.children.append(branches[key])
    return branches


def bus_order(run: r.Run | None, piece: r.Equipment) -> tuple[bool, int, str, str]:
    """Order of what hangs from one bus: by panel space, then by name; what is removed comes last."""
    spaces = run.spaces if run else ()
    gone = run is not None and run.until is not None
    return gone, min(spaces, default=1000), piece.name, piece.id


def sort_children(branch: Branch) -> None:
    """Order by panel space and name; one structure's pieces together, the branch's own first."""
    if len(branch.children) > 1:
        branch.children.sort(key=_place_on(branch, branch.children))


def in_order(branch: Branch) -> list[Branch | Jump]:
    """Give children and what was cut off among them, in order; then the other lines that leave."""
    cut = {jump.target: jump for jump in branch.leaving if jump.run and jump.target.entry is jump}
    below = [*branch.children, *cut]
    if cut:
        below.sort(key=_place_on(branch, below))
    others = (jump for jump in branch.leaving if jump.target not in cut)
    return [*(cut.get(child, child) for child in below), *others]


def _place_on(branch: Branch, below: list[Branch]) -> Callable[[Branch], tuple[int, int]]:
    """Tell where a piece hangs, the branch's own structure before the others."""
    ordered = sorted(below, key=lambda child: bus_order(child.feed, child.piece))
    places = {child: place for place, child in enumerate(ordered)}
    first: dict[str | None, int] = {branch.piece.structure: -1}
    for child in ordered:
        first.setdefault(child.piece.structure, places[child])
    return lambda child: (first[child.piece.structure], places[child])


def _fold(branches: dict[str, Branch], key: str) -> None:
    branch = branches.get(key)
    if branch is None:
        return  # it hangs below another folded piece
    below = [child for child in branch.walk() if child is not branch]
    branch.hidden = len(below) + sum(len(at.rows) for at in (branch, *below))
    for child in below:
        del branches[child.piece.id]
    branch.children, branch.rows = [], []


def _add_second_ways(project: Project, branches: Mapping[str, Branch], drawn: set[str]) -> None:
    """Add the runs that the trees do not have: as chains where that can be drawn, else as jumps."""
    for run in sorted(project.runs.values(), key=lambda run: run.id):
        source, target = branches.get(run.source), branches.get(run.target)
        if run.id not in drawn and source is not None and target is not None:
            jump = Jump(source, target, run)
            source.leaving.append(jump)
            target.arriving.append(jump)
    for branch in branches.values():
        for jump in tuple(branch.arriving):
            pieces = _chain(jump.source)
            if pieces and branch not in pieces and jump.run:
                branch.arriving.remove(jump)
                jump.source.leaving.remove(jump)
                branch.chains.append(Chain(pieces[0], jump.source, jump.run))


def _chain(end: Branch) -> tuple[Branch, ...]:
    """Give the pieces from a root down to `end` if nothing else hangs from them, else ()."""
    pieces = [end]
    while pieces[0].parent:
        pieces.insert(0, pieces[0].parent)
    ways = sum(len(at.leaving) + len(at.arriving) + len(at.chains) for at in pieces)
    alone = all(not at.rows and len(at.children) == (at is not end) for at in pieces)
    fits = alone and ways == 1 and len(pieces) <= _LONGEST_CHAIN and not end.hidden
    return tuple(pieces) if fits else ()
