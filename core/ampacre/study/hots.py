"""The line conductors of a run: metal, insulation, terminations, and their size and sets."""

from typing import Final, NamedTuple

from ampacre.codebook.conductors import SIZES, area_cmil
from ampacre.model import records as r
from ampacre.sizing.ampacity import ASSUMED_INSULATION, ConductorAmpacity, conductor_ampacity
from ampacre.sizing.conductor import (
    SMALLEST_IN_PARALLEL,
    Conditions,
    Limit,
    Needs,
    Smallest,
    smallest_conductor,
)
from ampacre.sizing.impedance import run_impedance
from ampacre.sizing.taps import Tap, tap_rule
from ampacre.study.circuit import Circuit
from ampacre.study.design_drop import HOT_C, design_drop
from ampacre.study.facts import Chosen

__all__ = [
    "Hots",
    "Reference",
    "drop_pct",
    "hots_of",
    "insulation_of",
    "material_of",
    "needs_of",
    "planned_a",
    "tap_of",
    "terminal_of",
]

LARGEST_SINGLE: Final = "600"
"""The largest that terminals of ordinary gear take (common practice, from memory)."""
MOST_SETS: Final = 12
MOST_SETS_FOR_DROP: Final = 2
"""Beyond it another voltage or place of the source is the better answer (common practice)."""
GENERATOR_SHARE: Final = 1.15
"""Conductors of a generator: 115 per cent of its nameplate current (NEC 445.13)."""
_ALUMINUM_FROM_A: Final = 60.0
_CABLE_UPTO_A: Final = 60.0
_COOL_UPTO_A: Final = 100.0
_COOL_UPTO_SIZE: Final = "1"
_OUTSIDE: tuple[r.Place, ...] = ("yard", "under driveway", "under road", "outdoors", "overhead")
_UNKNOWN: Chosen[str | None] = Chosen(None, "unknown")


class Reference(NamedTuple):
    """The conductors that ampacity alone asks for, from which an enlargement is measured."""

    size: str
    sets: int


class Hots(NamedTuple):
    """Line conductors of a run.

    `needed` is the smallest size that would do in as many sets, `reference` what an enlargement is
    measured from; None where nothing does, or the metal is not known. `limit` is what decided
    `needed`; `by_drop` tells that the voltage drop decided the size.
    """

    sets: Chosen[int]
    size: Chosen[str | None]
    needed: Smallest | None
    reference: Reference | None
    limit: Limit
    by_drop: bool
    carried: ConductorAmpacity | None


def material_of(circuit: Circuit, protecting_a: float | None) -> Chosen[str | None]:
    """Metal of the conductors: aluminum for feeders from 60 A (common practice), else copper."""
    run = circuit.run
    if run.conductors.material is not None:
        return Chosen(run.conductors.material)
    if circuit.work != "new":
        return _UNKNOWN
    if circuit.settings.required_material is not None:
        return Chosen(circuit.settings.required_material, "chosen", "local amendment")
    current_a = protecting_a or circuit.demand.heavier_sizing_a
    if current_a >= _ALUMINUM_FROM_A and run.role != "branch":
        return Chosen("al", "chosen", "common practice for feeders")
    return Chosen("cu", "chosen", "common practice for branch circuits")


def insulation_of(
    circuit: Circuit, raceway: str | None, place: str | None, material: str | None
) -> Chosen[str | None]:
    """Insulation, or the type of a cable by the place that it lies in."""
    entered = circuit.run.conductors.insulation
    if entered is not None:
        return Chosen(entered)
    if circuit.work != "new":
        return Chosen(ASSUMED_INSULATION, "assumed", "verify in field")
    if circuit.settings.required_insulation is not None:
        return Chosen(circuit.settings.required_insulation, "chosen", "local amendment")
    if raceway == "direct burial":
        return Chosen("USE-2", "chosen", "wire for direct burial")
    if raceway != "cable" or place == "overhead":
        return Chosen(ASSUMED_INSULATION, "chosen", "90 C wire for wet places")
    small = material == "cu" and circuit.demand.heavier_sizing_a <= _CABLE_UPTO_A
    if place == "indoors":
        return Chosen("NM-B" if small else "SER", "chosen", "cable for dry places")
    return Chosen("UF-B" if small else "USE-2", "chosen", "cable for wet places and the ground")


def terminal_of(circuit: Circuit, protecting_a: float | None) -> Chosen[int]:
    """Termination column: 75 C is a purchase condition for new work (NEC 110.14(C)).

    Existing circuits up to 100 A end in 60 C terminals, larger ones in 75 C. Of a circuit whose
    device was not read the conductors tell: above 1 AWG terminals are for 75 C.
    """
    if circuit.run.terminal_c is not None:
        return Chosen(circuit.run.terminal_c)
    if circuit.work == "new":
        return Chosen(75, "assumed", "buy equipment listed for 75 C terminals")
    if protecting_a is not None:
        if protecting_a > _COOL_UPTO_A:
            return Chosen(75, "assumed", "existing above 100 A: verify in field")
        return Chosen(60, "assumed", "existing up to 100 A: verify in field")
    size = circuit.run.conductors.size
    if size is not None and area_cmil(size) > area_cmil(_COOL_UPTO_SIZE):
        return Chosen(75, "assumed", "existing conductors above 1 AWG: verify in field")
    return Chosen(60, "assumed", "existing, device not read: verify in field")


def tap_of(circuit: Circuit, place: str | None) -> Tap | None:
    """Tap rule of a tap or a transformer's secondary; None where there is none for its length."""
    run = circuit.run
    if run.role not in ("tap", "transformer secondary"):
        return None
    return tap_rule(
        run.length_m,
        circuit.device_ahead_a,
        outdoors=place in _OUTSIDE,
        secondary=run.role == "transformer secondary",
    )


def needs_of(circuit: Circuit, protecting_a: float | None, tap: Tap | None) -> Needs:
    """What the line conductors have to do.

    Motor circuits may have a device above their conductors' ampacity (NEC 240.4(G)), generator
    outputs follow the nameplate (445.13), the utility sizes its own. Taps, secondaries, circuits of
    several receptacles and feeders with a source behind them may not round up (240.4(B), 240.21,
    705.12).
    """
    role, demand = circuit.run.role, circuit.demand
    by_others = role in ("utility", "generator output") or circuit.motor is not None
    device_a = None if by_others else protecting_a
    least_a = tap.least_a if tap is not None else 0.0
    if role == "generator output" and circuit.rated_a is not None:
        least_a = GENERATOR_SHARE * circuit.rated_a
    if circuit.motor is not None:
        least_a = circuit.motor.minimum_circuit_a or 0.0
    return Needs(
        demand.heavier_sizing_a,
        demand.heavier_a,
        device_a,
        circuit.edition,
        round_up=not (
            role in ("tap", "transformer secondary")
            or circuit.several_receptacles
            or (circuit.source_behind and role == "feeder")
        ),
        whole_dwelling=circuit.whole_dwelling and role in ("service", "feeder"),
        least_a=least_a,
    )


def hots_of(
    circuit: Circuit, needs: Needs, conditions: Conditions | None, raceway: str | None
) -> Hots:
    """Choose or read the line conductors. `conditions` is None where their metal is not known."""
    wires = circuit.run.conductors
    if conditions is None:
        known: Chosen[str | None] = Chosen(wires.size) if wires.size else _UNKNOWN
        return Hots(_sets_stated(wires), known, None, None, "", by_drop=False, carried=None)
    # the utility sizes its own, by rules of its own: a guess of ours would lower every fault current
    theirs = circuit.run.owner == "utility"
    choose = circuit.work == "new" and wires.size is None and not theirs
    if choose and not (needs.sizing_a or needs.device_a or needs.least_a):
        nothing = _UNKNOWN._replace(why="no load and no device to size it by")
        return Hots(_sets_stated(wires), nothing, None, None, "", by_drop=False, carried=None)
    if choose and circuit.ahead_unread and _rests_on_device_ahead(circuit):
        nothing = _UNKNOWN._replace(why="a size, which rests on the device ahead: read its rating")
        return Hots(_sets_stated(wires), nothing, None, None, "", by_drop=False, carried=None)
    if choose:
        size, sets, needed, by_drop = _chosen(circuit, needs, conditions, raceway)
    else:
        size = Chosen(wires.size) if wires.size else _UNKNOWN
        sets, by_drop = _sets_stated(wires), False
        needed = smallest_conductor(needs, conditions, sets.value)
    reference = _reference(circuit, needs, conditions, size.value, sets.value, needed)
    carried = needed.ampacity if needed is not None and needed.size == size.value else None
    if size.value is not None and carried is None:
        carried = _carried(size.value, conditions)
    return Hots(sets, size, needed, reference, needed.governs if needed else "", by_drop, carried)


def _rests_on_device_ahead(circuit: Circuit) -> bool:
    """Whether the nearest device on the supply side protects a run, or its tap rule asks for it."""
    run = circuit.run
    if run.role in ("tap", "transformer secondary"):
        return True
    return run.role in ("feeder", "branch") and run.protected_at == "none"


def _sets_stated(wires: r.Conductors) -> Chosen[int]:
    """Sets that the study does not choose: where nothing is said, one."""
    if wires.sets is not None:
        return Chosen(wires.sets)
    return Chosen(1, "assumed", "one conductor for each leg")


def _carried(size: str, how: Conditions) -> ConductorAmpacity | None:
    return conductor_ampacity(
        size, how.material, insulation=how.insulation, terminal_c=how.terminal_c,
        ambient_c=how.ambient_c, wet=how.wet, current_carrying=how.current_carrying,
    )  # fmt: skip


def _chosen(
    circuit: Circuit, needs: Needs, conditions: Conditions, raceway: str | None
) -> tuple[Chosen[str | None], Chosen[int], Smallest | None, bool]:
    """Choose size and sets: one conductor if it can, more where ampacity or drop ask for it.

    Where nothing usual keeps the drop limit, the most that is usual: never less for a larger load.
    """
    wires = circuit.run.conductors
    # what else lies in a shared raceway was counted for the sets that the run was drawn with
    fixed = wires.sets is not None or bool(circuit.ways)
    first = _by_ampacity(needs, conditions, (wires.sets or 1) if fixed else None)
    if first is None:
        return _UNKNOWN, _sets_stated(wires), None, False
    needed, sets = first
    amperes = planned_a(circuit, needs.device_a)
    most = sets if fixed else max(sets, MOST_SETS_FOR_DROP)
    for tried in range(sets, most + 1):
        needed = smallest_conductor(needs, conditions, tried) or needed
        enough = _for_drop(circuit, amperes, needed.size, conditions.material, raceway, tried)
        if enough is not None:
            return _told(circuit, enough, tried, needed)
    largest = max(needed.size, LARGEST_SINGLE, key=area_cmil)
    why = "the largest that is usual; it does not keep the drop limit"
    return Chosen(largest, "chosen", why), _sets(circuit, most), needed, True


def _by_ampacity(
    needs: Needs, conditions: Conditions, fixed_sets: int | None
) -> tuple[Smallest, int] | None:
    """Conductors that ampacity asks for, in the fewest sets of usual sizes."""
    if fixed_sets is not None:
        found = smallest_conductor(needs, conditions, fixed_sets)
        return (found, fixed_sets) if found is not None else None
    for sets in range(1, MOST_SETS + 1):
        found = smallest_conductor(needs, conditions, sets)
        if found is not None and not _is_beyond(found.size):
            return found, sets
    return None


def _is_beyond(size: str) -> bool:
    return SIZES.index(size) > SIZES.index(LARGEST_SINGLE)


def _sets(circuit: Circuit, sets: int) -> Chosen[int]:
    wires = circuit.run.conductors
    if wires.sets is not None or circuit.ways:
        return _sets_stated(wires)
    return Chosen(sets, "chosen", "" if sets == 1 else "one conductor does not do it")


def _told(
    circuit: Circuit, size: str, sets: int, needed: Smallest
) -> tuple[Chosen[str | None], Chosen[int], Smallest, bool]:
    by_drop = size != needed.size
    why = f"for {circuit.drop_limit_pct:g} % drop" if by_drop else "by ampacity"
    if circuit.run.length_m is None:
        why = "by ampacity; its length is not entered"
    return Chosen(size, "chosen", why), _sets(circuit, sets), needed, by_drop


def planned_a(circuit: Circuit, device_a: float | None) -> tuple[float, ...]:
    """Currents that drop and neutral of new work are chosen for [A].

    The calculated ones; where no load is known yet, the device's rating on every leg (cautious).
    """
    if any(circuit.demand.calculated_a):
        return circuit.demand.calculated_a
    return (device_a or 0.0,) * len(circuit.system.legs)


def drop_pct(
    circuit: Circuit,
    amperes: tuple[float, ...],
    size: str,
    neutral: str,
    material: str,
    raceway: str | None,
    sets: int,
) -> float | None:
    """Design drop of a run with these conductors [per cent]; None where its length is not known.

    `amperes` are the currents of its legs.
    """
    length_m = circuit.run.length_m
    if length_m is None:
        return None
    line = run_impedance(size, material, raceway, sets, length_m, HOT_C)
    back = line
    if neutral != size:
        back = run_impedance(neutral, material, raceway, sets, length_m, HOT_C)
    return design_drop(amperes, circuit.system, line, back if circuit.uses_neutral else None)


def _for_drop(
    circuit: Circuit,
    amperes: tuple[float, ...],
    needed: str,
    material: str,
    raceway: str | None,
    sets: int,
) -> str | None:
    """Smallest size from `needed` up with which the run keeps its own drop limit."""
    if circuit.drop_limit_pct is None or circuit.run.length_m is None:
        return needed
    for size in SIZES[SIZES.index(needed) :]:
        if _is_beyond(size) and size != needed:
            return None
        drop = drop_pct(circuit, amperes, size, size, material, raceway, sets)
        if drop is None or drop <= circuit.drop_limit_pct:
            return size
    return None


def _reference(
    circuit: Circuit,
    needs: Needs,
    conditions: Conditions,
    size: str | None,
    sets: int,
    needed: Smallest | None,
) -> Reference | None:
    """The conductors from which NEC 250.122(B) measures an enlargement.

    In 2017 growth for ambient and bundling counts as one, so they are left out there. Where one
    conductor would do, sets that were made for the drop are measured from it.
    """
    if size is None:
        return None
    plain = conditions._replace(ambient_c=30.0, current_carrying=3)
    if circuit.edition == "2017" and conditions != plain:
        conditions = plain
        needed = smallest_conductor(needs, conditions, sets)
    candidates = [Reference(needed.size, sets)] if needed is not None else []
    if sets > 1 and (needed is None or needed.size == SMALLEST_IN_PARALLEL):
        single = smallest_conductor(needs, conditions)
        if single is not None:
            candidates.append(Reference(single.size, 1))
    candidates.append(Reference(size, sets))
    return min(candidates, key=lambda one: area_cmil(one.size) * one.sets)
