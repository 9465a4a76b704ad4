"""Where the neutral is bonded while a generator supplies: at the set, or where it is normally.

A switch that leaves the neutral connected leaves the system's bond where the normal supply has it,
and a set with a floating neutral has none of its own. A ground-fault current then goes by the
grounding conductors up to that bond, and back down by the neutral to the switch and the winding.
"""

from collections.abc import Callable, Mapping
from functools import partial
from typing import Protocol

from ampacre.model import records as r
from ampacre.model.network import Island
from ampacre.model.project import Project
from ampacre.model.system import SYSTEMS
from ampacre.study.impedance import (
    CONDUCTORS_C,
    Bonds,
    Loops,
    Studied,
    added_ohms,
    grounding_and_neutral,
)
from ampacre.study.tree import Tree
from ampacre.study.wires import Wires

__all__ = ["ahead_of_switches", "bonds_of"]


class Solved(Protocol):
    """What is asked of an island in the normal state."""

    @property
    def tree(self) -> Tree:
        """Its tree."""

    @property
    def wires(self) -> Mapping[str, Wires]:
        """Wires of its runs."""


def bonds_of(
    project: Project, island: Island, home: Callable[[str], Solved | None]
) -> Bonds | None:
    """Find the bonds of a standby island; None where the set's own bond is the system's.

    `home` gives the island of a piece in the normal state.
    """
    root = project.equipment[island.root]
    assert isinstance(root, r.Generator)
    system = SYSTEMS.get(root.system)
    if root.neutral_bonded or system is None or not system.neutral:
        return None
    switches = [
        (key, piece)
        for key in island.order
        if isinstance(piece := project.equipment[key], r.TransferSwitch)
        and not (root.neutral_bonded is None and piece.neutral_switched)
    ]
    if not switches:
        return None
    met = frozenset(
        key
        for key in island.order
        if key != island.root
        and (branch := home(key)) is not None
        and _bonded(project, branch.tree, key)
    )
    back: dict[str, Mapping[Studied, complex | None]] = {}
    for key, switch in switches:
        back[key] = {
            studied: _nearest(project, home, switch, met, temp_c)
            for studied, temp_c in CONDUCTORS_C.items()
        }
    return Bonds(met, back)


def _bonded(project: Project, tree: Tree, key: str) -> bool:
    """Whether neutral and grounding conductors meet at a piece or are one up to there."""
    piece = project.equipment[key]
    derived = isinstance(piece, r.Transformer)
    at_service = key in tree.at_service or key in tree.ahead
    return bool(derived or at_service or getattr(piece, "neutral_bonded", None))


def _nearest(
    project: Project,
    home: Callable[[str], Solved | None],
    switch: r.TransferSwitch,
    met: frozenset[str],
    temp_c: float,
) -> complex | None:
    """From a switch to the nearest bond and back by the neutral [ohm], behind it or ahead of it."""
    branch = home(switch.id)
    if branch is None:
        return None
    ways = [
        _way(project, branch, key, lambda at: at == switch.id, temp_c) for key in met - {switch.id}
    ]
    if not switch.neutral_switched:
        at_bond = partial(_bonded, project, branch.tree)
        ways.append(_way(project, branch, switch.id, at_bond, temp_c))
    return min((way for way in ways if way is not None), key=abs, default=None)


def _way(
    project: Project, branch: Solved, key: str, ends_at: Callable[[str], bool], temp_c: float
) -> complex | None:
    """There and back from a piece up to where it ends [ohm]; None where it does not end."""
    total, at = 0j, key
    while not ends_at(at):
        feed = branch.tree.island.feed.get(at)
        if feed is None or isinstance(project.equipment[at], r.Transformer):
            return None
        part = grounding_and_neutral(project.runs[feed.run], branch.wires[feed.run], temp_c)
        if part is None:
            return None
        total, at = total + part, feed.parent
    return total


def ahead_of_switches(
    project: Project,
    tree: Tree,
    wires: Mapping[str, Wires],
    loops: Mapping[str, Loops],
    bonds: Bonds,
    studied: Studied,
) -> dict[str, Loops]:
    """Loops of the set and of what stands between it and a switch, which return by the switch."""
    temp_c = CONDUCTORS_C[studied]
    found: dict[str, Loops] = {}
    for switch in bonds.back:
        back, at = bonds.back[switch][studied], switch
        while (feed := tree.island.feed.get(at)) is not None:
            way = grounding_and_neutral(project.runs[feed.run], wires[feed.run], temp_c)
            back, at = added_ohms(back, way), feed.parent
            found.setdefault(
                at, loops[at]._replace(line_ground=added_ohms(loops[at].line_neutral, back))
            )
    return found
