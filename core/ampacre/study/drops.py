"""Design drops of the runs of a bay, and added along the path from the service."""

from collections.abc import Callable, Mapping
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.model.system import System
from ampacre.study.branch import Part
from ampacre.study.design_drop import design_drop
from ampacre.study.impedance import HOT_C, conductor_impedance, transformer_ohms

__all__ = ["Along", "drop_of", "total_drops"]


class Along(NamedTuple):
    """Design drop from the service to a piece [per cent], and the part of it in windings."""

    total_pct: float | None = 0.0
    windings_pct: float = 0.0


def drop_of(
    part: Part, run: r.Run, seen_as: Callable[[complex], complex] = complex
) -> float | None:
    """Design drop of a run alone [per cent]; None where its wires or length are not known.

    `seen_as` makes of an impedance what stands for its resistance.
    """
    circuit = part.down.circuits[run.id]
    wires = part.wires[run.id]
    if isinstance(part.down.settled.equipment[run.target], r.DwellingLoad):
        return 0.0
    line = conductor_impedance(run, wires, wires.size.value, HOT_C)
    if line is None:
        return None
    neutral = conductor_impedance(run, wires, wires.neutral.value, HOT_C)
    back = None if neutral is None else seen_as(neutral)
    return design_drop(circuit.demand.calculated_a, circuit.system, seen_as(line), back)


def total_drops(
    part: Part, drops: Mapping[str, float | None], above: Along | None
) -> tuple[dict[str, Along], dict[str, Along]]:
    """Design drops added along the path from the service, a customer transformer's included.

    By run and by piece, from the `drops` of the bay's runs and what came together `above` it.
    """
    tree = part.bay.tree
    at_piece: dict[str, Along] = {}
    totals: dict[str, Along] = {}
    for key in part.bay.keys:
        feed = tree.island.feed.get(key)
        if feed is None or key in tree.ahead or key in tree.at_service:
            at_piece[key] = Along()
            continue
        before = at_piece.get(feed.parent, above) or Along(None)
        totals[feed.run] = at_piece[key] = before._replace(
            total_pct=_plus(before.total_pct, drops[feed.run])
        )
        regulation = _regulation(part, key, tree.gives[key])
        at_piece[key] = Along(
            _plus(at_piece[key].total_pct, regulation), before.windings_pct + regulation
        )
    return totals, at_piece


def _plus(one: float | None, other: float | None) -> float | None:
    return None if one is None or other is None else one + other


def _regulation(part: Part, key: str, system: System) -> float:
    """Drop in a customer transformer's winding at its calculated load [per cent].

    The resistance alone, as in the runs: of the full winding over the line voltage, for three
    phases of a leg over its voltage.
    """
    piece = part.down.settled.equipment[key]
    if not isinstance(piece, r.Transformer):
        return 0.0
    ohms = transformer_ohms(piece, system, "least")
    if ohms is None:
        return 0.0
    across_v = system.line_v / (3**0.5 if system.phases == 3 else 1.0)
    return 100 * part.loads[key].demand.heavier_a * ohms.real / across_v
