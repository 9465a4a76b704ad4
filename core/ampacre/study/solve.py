"""All passes over a standing project, in their fixed order, for its normal and standby states."""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.model.network import Island, Network, energised
from ampacre.model.project import Project
from ampacre.model.records import Position
from ampacre.study.circuit import serving
from ampacre.study.downward import downward
from ampacre.study.fault import machine_ka
from ampacre.study.impedance import Loops, loops_of
from ampacre.study.leaves import charger_a, groups_of, leaf_tally, limits
from ampacre.study.memo import Memo
from ampacre.study.tally import Amount, Tally, nominal_va
from ampacre.study.terms import Rules, rules_of
from ampacre.study.tree import Tree, grow
from ampacre.study.upward import Loads, loads_of
from ampacre.study.voltage import Running, running
from ampacre.study.wires import Circuit, Wires

__all__ = ["Branch", "Solved", "solve"]


class Branch(NamedTuple):
    """One energised island with all that the passes found on it.

    `settled` is the project with chosen ratings filled in, `circuits` what the choice of each
    run's wires rested on, `ahead_a` the nearest device on the supply side of each piece.
    """

    tree: Tree
    loads: Mapping[str, Loads]
    settled: Project
    chosen: Mapping[str, Mapping[str, float]]
    circuits: Mapping[str, Circuit]
    wires: Mapping[str, Wires]
    ahead_a: Mapping[str, float | None]
    greatest: Mapping[str, Loops]
    least: Mapping[str, Loops]
    machines_ka: Mapping[str, float]
    running: Running


class Solved(NamedTuple):
    """Islands of the normal state, and of the standby state where there is one."""

    normal: tuple[Branch, ...]
    standby: tuple[Branch, ...]


def solve(
    project: Project,
    network: Network,
    moved: frozenset[str] = frozenset(),
    memo: Memo | None = None,
) -> Solved:
    """Compute a standing project, with what `memo` keeps of an earlier time.

    `moved` is existing load that the work moved to where no measured record has seen it.
    """
    memo = memo or Memo()
    whole = _Whole(groups_of(project), serving(project), moved)
    normal = tuple(
        _branch(project, island, None, whole, memo) for island in energised(project, network, None)
    )
    switches: dict[str, Position] = {
        key: "standby"
        for key, piece in project.equipment.items()
        if isinstance(piece, r.TransferSwitch)
    }
    if not switches:
        return Solved(normal, ())
    state = r.State(id="standby", name="On standby", positions=switches)
    known = {run: wires for branch in normal for run, wires in branch.wires.items()}
    standby = tuple(
        _branch(project, island, known, whole, memo)
        for island in energised(project, network, state)
        if isinstance(project.equipment[island.root], r.Generator)
    )
    return Solved(normal, standby)


class _Whole(NamedTuple):
    """What is known of the whole project before any island is looked at.

    `member_of` gives the group of each piece, `serving` counts the pieces of each dwelling, `moved`
    is existing load that the work moved.
    """

    member_of: Mapping[str, str]
    serving: Mapping[str, int]
    moved: frozenset[str]


def _branch(
    project: Project,
    island: Island,
    known: Mapping[str, Wires] | None,
    whole: _Whole,
    memo: Memo,
) -> Branch:
    """Compute one island. `known` holds wires that the normal state has settled already."""
    tree = grow(project, island)
    member_of = whole.member_of
    rules = _rules(project, tree, member_of, whole.moved)
    loads = loads_of(project, tree, member_of, whole.serving, rules, memo)
    down = downward(project, tree, loads, whole.serving, known)
    settled, wires = down.settled, down.wires
    greatest = loops_of(settled, tree, wires, "greatest")
    least = loops_of(settled, tree, wires, "least")
    machines = machine_ka(settled, tree, wires, greatest)
    tallies = _running_tallies(settled, tree, loads, member_of)
    resting = _resting(project, loads, rules)
    ran = running(settled, tree, wires, tallies, rules.limits, resting, least)
    return Branch(
        tree, loads, settled, down.chosen, down.circuits, wires, down.ahead_a, greatest, least,
        machines, ran,
    )  # fmt: skip


def _rules(
    project: Project, tree: Tree, member_of: Mapping[str, str], moved: frozenset[str]
) -> Rules:
    va_per_a = {
        key: nominal_va(1.0, tree.arrives[key].legs, tree.arrives[key])
        for key in tree.island.order
        if isinstance(project.equipment[key], r.Charger)
    }
    return rules_of(project, limits(project, member_of, va_per_a), moved)


def _running_tallies(
    project: Project, tree: Tree, loads: Mapping[str, Loads], member_of: Mapping[str, str]
) -> dict[str, Tally]:
    """Tallies of the pieces that use power, for the voltage sweep.

    A dwelling's is cut down to its calculated load. A charger draws what it is set to, whatever
    least load the code has it counted at.
    """
    by_method = {
        dwelling: va for load in loads.values() for dwelling, va in load.dwelling_va.items()
    }
    found: dict[str, Tally] = {}
    for key in tree.island.order:
        piece = project.equipment[key]
        system = tree.arrives[key]
        tally = leaf_tally(project, member_of, piece, system.legs, system)
        if isinstance(piece, r.DwellingLoad):
            connected = loads[key].demand.connected_va
            counted = by_method.get(key, loads[key].demand.calculated_va)
            part = counted / connected if connected else 0.0
            tally = {k: Amount(part * a.va) for k, a in tally.items()}
        if isinstance(piece, r.Charger):
            drawn_va = nominal_va(charger_a(piece) or 0.0, system.legs, system)
            tally = {k: Amount(drawn_va) for k in tally}
        if tally:
            found[key] = tally
    return found


def _resting(project: Project, loads: Mapping[str, Loads], rules: Rules) -> frozenset[str]:
    """Members of noncoincident groups that stand still while the largest runs."""
    return frozenset(
        member for group in rules.noncoincident for member in _smaller(project, loads, group)
    )


def _smaller(project: Project, loads: Mapping[str, Loads], group: str) -> Iterator[str]:
    members = [member for member in project.groups[group].members if member in loads]
    members.sort(key=lambda member: (loads[member].demand.connected_va, member))
    yield from members[:-1]
