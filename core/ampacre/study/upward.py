"""The upward pass: tallies, blocks and demand, from the leaves to the source."""

from collections.abc import Mapping
from typing import NamedTuple

from ampacre.codebook.articles import cite
from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.model.system import System
from ampacre.study.demand import Below, Rules, demand_of
from ampacre.study.facts import Demand, Line, Worksheet
from ampacre.study.leaves import charger_a, leaf_tally, motor_a
from ampacre.study.optional_dwelling import as_block, sole_dwelling
from ampacre.study.tally import Tally, added, leg_amperes, nominal_va
from ampacre.study.tree import Tree

__all__ = ["Loads", "circuit_demand", "loads_of"]


class Loads(NamedTuple):
    """Load at one piece: what is below it, by which basis, and the demand.

    `basis` is the piece's own or, where all load comes over one run, that of the piece below.
    """

    below: Below
    basis: r.Basis | None
    demand: Demand
    transferred: Demand | None


def loads_of(
    project: Project, tree: Tree, member_of: Mapping[str, str], rules: Rules
) -> dict[str, Loads]:
    """Compute the load at every piece of an island, leaves first."""
    found: dict[str, Loads] = {}
    for key in reversed(tree.island.order):
        piece = project.equipment[key]
        own = leaf_tally(project, member_of, piece, tree.arrives[key].legs, tree.arrives[key])
        fed = [
            (child, _carried(project, tree, child, found[child].below))
            for child in tree.children[key]
            if found[child].below.tally
        ]
        parts = [(own, own), *(below for _, below in fed)]
        below = Below(*(added(*tallies) for tallies in zip(*parts, strict=True)))
        sole = fed[0][0] if len(fed) == 1 and not own else None
        basis = piece.basis if isinstance(piece, r.Point) else None
        if basis is None and sole is not None:
            basis = found[sole].basis
        system = tree.gives[key]
        same = sole is not None and basis == found[sole].basis and tree.gives[sole] == system
        if same and sole is not None and not isinstance(project.equipment[sole], r.Transformer):
            demand = found[sole].demand
        else:
            demand = demand_of(basis, below, system, rules)
        transferred = None
        if isinstance(piece, r.TransferSwitch):
            transferred = _transferred(piece, basis, below, system, rules)
        found[key] = Loads(_offered(basis, below, system, rules), basis, demand, transferred)
    return found


def _carried(project: Project, tree: Tree, child: str, below: Below) -> Below:
    """What a piece offers to the one that feeds it: through a transformer the legs are others."""
    if not isinstance(project.equipment[child], r.Transformer):
        return below
    legs = tree.arrives[child].legs
    return Below(_on_legs(below.tally, legs), _on_legs(below.with_blocks, legs))


def _on_legs(tally: Tally, legs: str) -> Tally:
    """Put every load on all legs of a transformer's primary, off the neutral."""
    moved = [
        {key._replace(legs=legs, neutral=False, one_leg=False): amount}
        for key, amount in tally.items()
    ]
    return added(*moved)


def _offered(basis: r.Basis | None, below: Below, system: System, rules: Rules) -> Below:
    """Digest an optional-method dwelling into its block, for the points above."""
    dwelling = sole_dwelling(below.tally)
    if basis != "optional dwelling" or not dwelling:
        return below
    if any(key.category == "block" for key in below.with_blocks):
        return below
    block = as_block(below.tally, dwelling, rules.limits, system=system, edition=rules.edition)
    return Below(below.tally, block)


def _transferred(
    switch: r.TransferSwitch, basis: r.Basis | None, below: Below, system: System, rules: Rules
) -> Demand:
    """Load that a standby supply must carry: all of it, or what the load manager leaves on."""
    if not switch.load_manager:
        return demand_of(basis, below, system, rules)
    kept = {key: amount for key, amount in below.tally.items() if not key.shed}
    return demand_of(basis, Below(kept, kept), system, rules)


def circuit_demand(piece: r.Equipment, tally: Tally, system: System, edition: str) -> Demand:
    """Load of a branch circuit to one piece: at what it draws, with no demand factor.

    125 % of continuous load (NEC 210.20(A), chargers 625.41) or of the motor (NEC 430.22); space
    and water heating counts as continuous here (NEC 424.4(B), 422.13).
    """
    va = sum(amount.va for amount in tally.values())
    if isinstance(piece, r.Charger):
        amperes = charger_a(piece) or 0.0
        legs_a = dict.fromkeys(system.legs, amperes)
        va = nominal_va(amperes, system.legs, system)
    elif isinstance(piece, r.Motor):
        legs_a = dict.fromkeys(system.legs, motor_a(piece, system.legs, system) or 0.0)
    else:
        legs_a = leg_amperes(system.legs, va, system)
    heats = isinstance(piece, r.Load) and piece.category == "heat"
    steady = heats or isinstance(piece, (r.Charger, r.Motor)) or any(k.continuous for k in tally)
    factor = 1.25 if steady else 1.0
    article = "motor_conductor" if isinstance(piece, r.Motor) else "branch_device"
    calculated = tuple(legs_a[leg] for leg in system.legs)
    heavier = max(calculated, default=0.0)
    lines = (
        Line(piece.name, va, None, None, "VA"),
        Line("Calculated current", None, None, heavier, "A", cite("calc_voltage", edition)),
        Line("Sizing current", heavier, factor, factor * heavier, "A", cite(article, edition)),
    )
    return Demand(
        method="branch circuit",
        worksheet=Worksheet(f"Circuit to {piece.name}", lines),
        connected_va=va,
        calculated_va=va,
        sizing_va=factor * va,
        calculated_a=calculated,
        sizing_a=tuple(factor * amperes for amperes in calculated),
        neutral_a=heavier if any(key.neutral for key in tally) else 0.0,
        largest_motor_a=heavier if isinstance(piece, r.Motor) else 0.0,
    )
