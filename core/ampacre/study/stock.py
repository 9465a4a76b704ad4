"""Cables of new feeders, taken whole as they are sold."""

from collections.abc import Iterator
from typing import NamedTuple

import msgspec

from ampacre.codebook.assemblies import Assembly, assemblies
from ampacre.codebook.conductors import area_cmil
from ampacre.sizing.conductor import Conditions, Needs
from ampacre.study.circuit import Circuit
from ampacre.study.facts import Chosen
from ampacre.study.ground import Grounding, grounding_of
from ampacre.study.hots import Hots, hots_of
from ampacre.study.lay import CABLES
from ampacre.study.neutral import Neutral, neutral_of

__all__ = ["Conductors", "as_sold"]

_MADE_LIKE = {"NM-B": "UF-B"}
"""Cables that are sold in the same make-ups as those of another type (common practice)."""
_NONE_ON_SALE = "no usual cable has these sizes: ask for one, or draw a raceway"


class Conductors(NamedTuple):
    """The conductors of a run with the working of each."""

    hots: Hots
    neutral: Neutral
    grounding: Grounding


def as_sold(
    circuit: Circuit,
    found: Conductors,
    needs: Needs,
    conditions: Conditions | None,
    raceway: str | None,
    protecting_a: float | None,
) -> Conductors:
    """Give the smallest cable on sale that has at least the conductors that a feeder was found.

    Larger line conductors ask for a larger grounding conductor, so each is tried as if it were
    entered. Where none is on sale the neutral is as large as the others, as cables have it.
    """
    if not _is_to_choose(circuit, found, raceway) or conditions is None:
        return found
    least_size, least_neutral = found.hots.size.value, found.neutral.neutral.value
    assert least_size is not None
    assert least_neutral is not None
    for cable in _on_sale(circuit, conditions):
        if area_cmil(cable.size) < area_cmil(least_size):
            continue
        if area_cmil(cable.neutral) < area_cmil(least_neutral):
            continue
        tried = _fitted(circuit, cable, needs, conditions, raceway, protecting_a)
        needed = tried.grounding.needed
        if needed is not None and area_cmil(cable.grounding) >= area_cmil(needed):
            return _named(found, tried, cable)
    told = found.hots.size._replace(why=f"{found.hots.size.why}; {_NONE_ON_SALE}")
    found = found._replace(hots=found.hots._replace(size=told))
    if conditions.insulation not in CABLES:
        return found
    full: Chosen[str | None] = Chosen(least_size, "chosen", "as the others of a cable")
    return found._replace(neutral=found.neutral._replace(neutral=full))


def _is_to_choose(circuit: Circuit, found: Conductors, raceway: str | None) -> bool:
    """Whether a run is a new feeder by cable with a neutral, of which no conductor was entered."""
    wires = circuit.run.conductors
    entered = (wires.size, wires.neutral, wires.grounding) != (None, None, None)
    if circuit.work != "new" or circuit.run.role != "feeder" or raceway != "cable" or entered:
        return False
    chosen = found.hots.size.value is not None and found.hots.sets.value == 1
    return chosen and found.neutral.neutral.value not in (None, "none")


def _on_sale(circuit: Circuit, conditions: Conditions) -> Iterator[Assembly]:
    """Give the cables of a type and metal for a circuit's legs, the smallest first."""
    kind = conditions.insulation or ""
    found = [
        cable.value
        for cable in assemblies()
        if cable.value.insulation == _MADE_LIKE.get(kind, kind)
        and cable.value.material == conditions.material
        and cable.value.hot_count == len(circuit.system.legs)
        and "none" not in (cable.value.neutral, cable.value.grounding)
    ]
    yield from sorted(
        found, key=lambda each: [area_cmil(s) for s in (each.size, each.neutral, each.grounding)]
    )


def _fitted(
    circuit: Circuit,
    cable: Assembly,
    needs: Needs,
    conditions: Conditions,
    raceway: str | None,
    protecting_a: float | None,
) -> Conductors:
    wires = msgspec.structs.replace(
        circuit.run.conductors, size=cable.size, neutral=cable.neutral, grounding=cable.grounding
    )
    run = msgspec.structs.replace(circuit.run, conductors=wires)
    tried = circuit._replace(run=run)
    hots = hots_of(tried, needs, conditions, raceway)
    return Conductors(
        hots,
        neutral_of(tried, hots, protecting_a, conditions, raceway),
        grounding_of(tried, hots, conditions.material, protecting_a),
    )


def _named(found: Conductors, tried: Conductors, cable: Assembly) -> Conductors:
    """Say of each conductor that it was chosen with the cable."""
    sold = f"{cable.size}-{cable.size}-{cable.neutral}-{cable.grounding} as sold"
    hots = tried.hots._replace(
        sets=found.hots.sets,
        size=Chosen(cable.size, "chosen", f"{found.hots.size.why}, {sold}"),
        by_drop=found.hots.by_drop,
    )
    neutral = tried.neutral._replace(neutral=Chosen(cable.neutral, "chosen", f"of {sold}"))
    grounding = tried.grounding._replace(
        grounding=Chosen(cable.grounding, "chosen", f"of {sold}"), material=found.grounding.material
    )
    return Conductors(hots, neutral, grounding)
