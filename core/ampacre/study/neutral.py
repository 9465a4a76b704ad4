"""The neutral of a run: its load by NEC 220.61 and the least sizes that hold whatever it carries."""

from collections.abc import Iterator
from typing import NamedTuple

from ampacre.codebook.conductors import SIZES, area_cmil, size_of_area, size_word
from ampacre.sizing.bonding import bonding_jumper
from ampacre.sizing.conductor import SMALLEST_IN_PARALLEL, Conditions, rungs
from ampacre.study.circuit import Circuit
from ampacre.study.facts import Chosen, Line
from ampacre.study.ground import grounding_in
from ampacre.study.hots import Hots, drop_pct, planned_a
from ampacre.study.working import looked_up

__all__ = ["Neutral", "neutral_of"]

_BY_LOAD = "its load governs"
_UNKNOWN: Chosen[str | None] = Chosen(None, "unknown")
_ABSENT: Chosen[str | None] = Chosen("none", "chosen", "nothing uses it")


class Neutral(NamedTuple):
    """The neutral, and the smallest that its load and its floors allow (None: not known).

    `enlarged` is the floor of a feeder whose line conductors are enlarged, None for any other.
    """

    neutral: Chosen[str | None]
    needed: str | None
    lines: tuple[Line, ...] = ()
    enlarged: str | None = None


class _Floor(NamedTuple):
    size: str
    why: str
    cite_key: str
    verified: int
    enlarged: bool = False


def neutral_of(
    circuit: Circuit,
    hots: Hots,
    protecting_a: float | None,
    conditions: Conditions | None,
    raceway: str | None,
) -> Neutral:
    """Choose or check the neutral.

    A service brings it to each of its disconnects whether or not a load uses it (NEC 250.24(C)).
    Branch circuits have a full one.
    """
    wires = circuit.run.conductors
    wanted = circuit.uses_neutral or circuit.run.role == "service"
    if not circuit.system.neutral or not wanted:
        return Neutral(Chosen(wires.neutral) if wires.neutral else _ABSENT, None)
    size = hots.size.value
    if size is None or conditions is None:
        return Neutral(Chosen(wires.neutral) if wires.neutral else _UNKNOWN, None)
    sets = hots.sets.value
    floors = list(_floors(circuit, hots, size, conditions.material, protecting_a))
    enlarged = next((floor.size for floor in floors if floor.enlarged), None)
    neutral_a = circuit.demand.neutral_a
    if circuit.work == "new" and not any(circuit.demand.calculated_a):
        neutral_a = protecting_a or 0.0
    needed = _least(neutral_a, conditions, size, sets, floors)
    line = _line(circuit, neutral_a, needed, floors)
    if wires.neutral is not None:
        return Neutral(Chosen(wires.neutral), needed, (line,), enlarged)
    if circuit.work != "new":
        return Neutral(_UNKNOWN, needed, (line,), enlarged)
    if circuit.run.role == "branch" or len(circuit.system.legs) == 1:
        return Neutral(Chosen(size, "chosen", "as the circuit's conductors"), needed, (line,))
    amperes = planned_a(circuit, protecting_a)
    chosen = _for_drop(circuit, amperes, hots, needed, conditions.material, raceway)
    why = f"{neutral_a:.0f} A by 220.61" if line.note == _BY_LOAD else line.note
    if chosen != needed:
        why = "larger than its load asks for, as the drop counts it too"
    return Neutral(Chosen(chosen, "chosen", why), needed, (line,), enlarged)


def _floors(
    circuit: Circuit, hots: Hots, size: str, material: str, protecting_a: float | None
) -> Iterator[_Floor]:
    """Least sizes of a neutral that don't depend on its load.

    Services and secondaries by the table of supply-side jumpers, in parallel raceways by the
    conductors of each (NEC 250.24(C), 250.30(A)(3)); feeders and taps as the grounding conductor
    would be, enlargement included (2020 and 2023: 215.2(B), 2017: 215.2(A)(2), refer to the whole
    of 250.122); where neutrals are in parallel, all of them together, as 250.122(F) is excepted.
    """
    sets = hots.sets.value
    role = circuit.run.role
    if role in ("service", "transformer secondary"):
        jumper = bonding_jumper(area_cmil(size), material, material)
        if jumper is not None:
            with_hots = f"with {size_word(size)} line conductors"
            yield _Floor(jumper.size, with_hots, "neutral_service", jumper.verified)
    device_a = circuit.device_ahead_a if role == "tap" else protecting_a
    if role in ("feeder", "tap", "generator output") and device_a is not None:
        like = grounding_in(circuit, hots, material, protecting_a, material)
        least = size_of_area(like.needed_cmil / sets) if like is not None else None
        if like is not None and least is not None:
            why, enlarged = f"behind a device of {device_a:g} A", like.ratio > 1
            if enlarged:
                why += f", enlarged {like.ratio:.4f} times with the line conductors"
            yield _Floor(least, why, "neutral_feeder", 1 if enlarged else 2, enlarged)
    if sets > 1:
        yield _Floor(SMALLEST_IN_PARALLEL, "in parallel", "parallel", 2)


def _least(
    neutral_a: float, conditions: Conditions, size: str, sets: int, floors: list[_Floor]
) -> str:
    """Smallest neutral that carries its load and keeps the floors, not above the line conductors."""
    floor_cmil = max((area_cmil(floor.size) for floor in floors), default=0.0)
    neutral_a *= 1 - 1e-9
    for candidate, carried in rungs(conditions):
        if carried.allowed_a * sets >= neutral_a and area_cmil(candidate) >= floor_cmil:
            return candidate if area_cmil(candidate) <= area_cmil(size) else size
    return size


def _for_drop(
    circuit: Circuit,
    amperes: tuple[float, ...],
    hots: Hots,
    needed: str,
    material: str,
    raceway: str | None,
) -> str:
    """Smallest neutral from `needed` up with which the run keeps its drop limit, if its hots do."""
    size, sets, limit_pct = hots.size.value, hots.sets.value, circuit.drop_limit_pct
    assert size is not None
    if limit_pct is None or circuit.run.length_m is None:
        return needed
    for candidate in SIZES[SIZES.index(needed) : SIZES.index(size)]:
        if material == "al" and candidate == "14":
            continue
        drop = drop_pct(circuit, amperes, size, candidate, material, raceway, sets)
        if drop is not None and drop <= limit_pct:
            return candidate
    return size


def _line(circuit: Circuit, neutral_a: float, needed: str, floors: list[_Floor]) -> Line:
    deciding = next((floor for floor in floors if floor.size == needed), None)
    label = f"Neutral: {size_word(needed)} or larger"
    edition = circuit.edition
    if deciding is None:
        return looked_up(label, neutral_a, "A", "neutral", 2, edition, _BY_LOAD)
    note = f"least size {deciding.why} governs"
    return looked_up(label, neutral_a, "A", deciding.cite_key, deciding.verified, edition, note)
