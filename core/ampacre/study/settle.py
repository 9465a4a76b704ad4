"""What the study chooses for a new piece whose ratings were left empty."""

from collections.abc import Iterable

import msgspec

from ampacre.codebook.devices import next_standard
from ampacre.codebook.ratings import BUS_A, METER_A, SWITCH_A
from ampacre.codebook.transformers import standard_kva
from ampacre.model import records as r
from ampacre.model.standing import work_of
from ampacre.study.facts import Demand

__all__ = ["chosen_values", "filled", "main_of", "settled_main"]


def main_of(piece: r.Equipment) -> r.Device | None:
    """The main device of a panel or disconnect; None for main lugs and plain switches."""
    return piece.main if isinstance(piece, (r.Panel, r.Disconnect)) else None


def settled_main(piece: r.Equipment, demand: Demand | None, edition: str) -> float | None:
    """Rating of a piece's own main: stated, or chosen for new work from the sizing current [A]."""
    main = main_of(piece)
    if main is None or main.rating_a is not None:
        return main.rating_a if main else None
    if work_of(piece) != "new" or demand is None or not demand.heavier_sizing_a:
        return None
    return next_standard(demand.heavier_sizing_a, edition)


def _first(ratings: Iterable[float], least: float) -> float | None:
    return next((rating for rating in ratings if rating >= least), None)


def chosen_values(
    piece: r.Equipment, demand: Demand | None, main_a: float | None, ahead_a: float | None
) -> dict[str, float]:
    """Choose every rating that a new piece leaves empty; nothing for any other piece.

    A bus is not less than the device ahead of it, a switch or meter not less than its load, a
    transformer not less than its calculated kVA.
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
        found["rating_a"] = _first(SWITCH_A, at_least)
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
