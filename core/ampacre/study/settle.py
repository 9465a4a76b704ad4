"""What the study chooses for a new piece whose ratings were left empty."""

from collections.abc import Iterable

import msgspec

from ampacre.codebook.devices import interrupting_step, next_standard
from ampacre.codebook.outlets import DWELLING_A, ONE_CIRCUIT_A, OTHER_A, TWO_CIRCUITS_A
from ampacre.codebook.ratings import BUS_A, METER_A, SWITCH_A
from ampacre.codebook.transformers import standard_kva
from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.model.standing import work_of
from ampacre.study.circuit import Carried
from ampacre.study.facts import Chosen, Demand
from ampacre.study.tree import Tree

__all__ = [
    "chosen_values",
    "filled",
    "interrupting_of",
    "least_rating_a",
    "main_of",
    "settled_main",
]


def main_of(piece: r.Equipment) -> r.Device | None:
    """The main device of a panel or disconnect; None for main lugs and plain switches."""
    return piece.main if isinstance(piece, (r.Panel, r.Disconnect)) else None


def least_rating_a(
    project: Project, tree: Tree, key: str, carried: Carried, dwellings: frozenset[str]
) -> float:
    """Least rating of a disconnecting means for its place [A]; 0 where there is none.

    Of a service and of a building that a feeder supplies: 100 A for a one-family dwelling, 15 A
    for one circuit, 30 A for two, 60 A for any other (NEC 230.79, 225.39). `dwellings` are those of
    the whole island.
    """
    feed = tree.island.feed.get(key)
    if feed is None or key in tree.ahead:
        return 0.0
    here = project.equipment[key].structure
    enters = here is not None and here != project.equipment[feed.parent].structure
    if key not in tree.at_service and not enters:
        return 0.0
    use = project.structures[here].use if here is not None else None
    if use == "dwelling" or not dwellings.isdisjoint(carried.members):
        return DWELLING_A
    by_circuits = {0: OTHER_A, 1: ONE_CIRCUIT_A, 2: TWO_CIRCUITS_A}
    return by_circuits.get(len(tree.children[key]), OTHER_A)


def settled_main(
    piece: r.Equipment, demand: Demand | None, edition: str, least_a: float = 0.0
) -> float | None:
    """Rating of a piece's own main: stated, or chosen for new work from the sizing current [A].

    A choice is not below `least_a`, the least for its place.
    """
    main = main_of(piece)
    if main is None or main.rating_a is not None:
        return main.rating_a if main else None
    if work_of(piece) != "new" or demand is None or not demand.heavier_sizing_a:
        return None
    return next_standard(max(demand.heavier_sizing_a, least_a), edition)


def interrupting_of(
    device: r.Device | None, *, new: bool, fault_ka: float | None
) -> Chosen[float | None]:
    """Interrupting rating of a device: stated, or for new work the step above the fault current.

    `fault_ka` is the greatest current that it may have to interrupt [kA]; None where that is not
    known. An existing device that bears no rating counts as 5 kA, fuses as 10 kA (NEC 240.83(C),
    240.60(C)). A series combination rating counts only as marked and is never chosen.
    """
    if device is not None and device.interrupting_ka is not None:
        return Chosen(device.interrupting_ka)
    if device is not None and device.unmarked:
        return Chosen(10.0 if device.kind == "fuse" else 5.0, "entered", "unmarked")
    step = None if fault_ka is None else interrupting_step(fault_ka)
    if not new or step is None:
        return Chosen(None, "unknown")
    return Chosen(step.value, "chosen", f"next step above {fault_ka:.2f} kA")


def _first(ratings: Iterable[float], least: float) -> float | None:
    return next((rating for rating in ratings if rating >= least), None)


def chosen_values(
    piece: r.Equipment,
    demand: Demand | None,
    main_a: float | None,
    ahead_a: float | None,
    least_a: float = 0.0,
) -> dict[str, float]:
    """Choose every rating that a new piece leaves empty; nothing for any other piece.

    A bus is not less than the device ahead of it, a switch or meter not less than its load, a
    transformer not less than its calculated kVA; a disconnecting means not less than `least_a`,
    the least for its place.
    """
    if work_of(piece) != "new" or demand is None:
        return {}
    found: dict[str, float | None] = {}
    load_a = demand.heavier_a
    main = main_of(piece)
    if main is not None and main.rating_a is None:
        found["main.rating_a"] = main_a
    at_least = max(load_a, main_a or ahead_a or 0.0)
    if isinstance(piece, r.Panel) and piece.bus_a is None:
        found["bus_a"] = _first(BUS_A, at_least)
    elif isinstance(piece, (r.Disconnect, r.TransferSwitch)) and piece.rating_a is None:
        found["rating_a"] = _first(SWITCH_A, max(at_least, least_a))
    elif isinstance(piece, r.Meter) and piece.class_a is None:
        found["class_a"] = _first(METER_A, load_a)
    elif isinstance(piece, r.Transformer) and piece.kva is None:
        phases = 3 if len(demand.calculated_a) == 3 else 1
        found["kva"] = _first(standard_kva(phases), demand.calculated_va / 1000)
    return {name: value for name, value in found.items() if value is not None}


def filled(piece: r.AnyEquipment, chosen: dict[str, float]) -> r.AnyEquipment:
    """Give the piece with its chosen values in place, for the passes that follow."""
    plain = {name: value for name, value in chosen.items() if "." not in name}
    main = main_of(piece)
    if "main.rating_a" in chosen and main is not None:
        main = msgspec.structs.replace(main, rating_a=chosen["main.rating_a"])
        return msgspec.structs.replace(piece, main=main, **plain)
    return msgspec.structs.replace(piece, **plain) if plain else piece
