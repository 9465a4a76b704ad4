"""Downward: device, conductors, neutral, grounding conductor and raceway of each run.

Chosen where new work leaves them empty, checked where they are filled in. A choice reads given
values and earlier steps only: the device comes from the sizing current, the conductors from the
device, and the drop limit of this run at nominal voltage may enlarge them.
"""

from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

from ampacre.codebook.raceways import stocked_sizes
from ampacre.model.words import value_word
from ampacre.sizing.conductor import Conditions, Needs
from ampacre.sizing.fill import Filled
from ampacre.sizing.protection import LargestDevice
from ampacre.sizing.taps import Tap
from ampacre.study.chain import by_ampacity, chain, largest_for
from ampacre.study.circuit import Circuit
from ampacre.study.design_drop import HOT_C, design_drop
from ampacre.study.device import Protection, protection_of
from ampacre.study.facts import Ampacity, Chosen, Line
from ampacre.study.ground import Grounding, grounding_of
from ampacre.study.hots import (
    Hots,
    hots_of,
    insulation_of,
    material_of,
    needs_of,
    tap_of,
    terminal_of,
)
from ampacre.study.lay import Lay, governing_portion, is_wet, place_of, raceway_of
from ampacre.study.neutral import Neutral, neutral_of
from ampacre.study.room import Covered, Room, cover_of, room_of, wires_in
from ampacre.study.stock import Conductors, as_sold

__all__ = ["HOT_C", "Circuit", "Wires", "design_drop", "regrounded", "wires_of"]

_SMALL_BRANCH_A = 20.0
_NO_GROUNDING = "grounding conductor"


class Wires(NamedTuple):
    """Device and conductors of a run, each with where it comes from.

    See `RunFacts` for what the fields mean. `hots` is what the grounding conductor rests on.
    """

    device: Chosen[float | None]
    protecting_a: float | None
    sets: Chosen[int]
    size: Chosen[str | None]
    material: Chosen[str | None]
    insulation: Chosen[str | None]
    neutral: Chosen[str | None]
    grounding: Chosen[str | None]
    grounding_material: Chosen[str | None]
    raceway: Chosen[str | None]
    terminal_c: Chosen[int]
    place: Chosen[str | None]
    trade_size: Chosen[str | None]
    cover: Chosen[float | None]
    ampacity: Ampacity | None
    upsized_from: str | None
    grounding_needed: str | None
    neutral_needed: str | None
    neutral_enlarged: str | None
    needed: str | None
    governs: str
    largest_device: LargestDevice | None
    met_by_310_12: bool
    tap: Tap | None
    current_carrying: int
    hottest_c: float
    wet: bool
    fill: Filled | None
    cover_needed_m: float | None
    hots: Hots
    lines: tuple[Line, ...]
    missing: tuple[str, ...]


class _Basis(NamedTuple):
    """What a run's conductors are made of and lie in, and what they have to do."""

    place: Chosen[str | None]
    raceway: Chosen[str | None]
    material: Chosen[str | None]
    insulation: Chosen[str | None]
    terminal: Chosen[int]
    wet: bool
    lay: Lay
    tap: Tap | None
    needs: Needs

    def conditions(self) -> Conditions | None:
        """Conditions of the line conductors; None where their metal is not known."""
        if self.material.value is None:
            return None
        return Conditions(
            self.material.value, self.insulation.value, self.terminal.value, self.lay.hottest_c,
            self.wet, self.lay.current_carrying,
        )  # fmt: skip


@lru_cache(maxsize=12_000)
def wires_of(circuit: Circuit) -> Wires:
    """Choose or check one run. Equal circuits give the same object."""
    protection = protection_of(circuit)
    protecting_a = protection.protecting_a
    basis = _basis(circuit, protecting_a)
    raceway = basis.raceway.value
    conditions = None if circuit.bundle else basis.conditions()
    hots = hots_of(circuit, basis.needs, conditions, raceway)
    grounding = grounding_of(circuit, hots, basis.material.value, protecting_a)
    neutral = neutral_of(circuit, hots, protecting_a, conditions, raceway)
    hots, neutral, grounding = as_sold(
        circuit,
        Conductors(hots, neutral, grounding),
        basis.needs,
        conditions,
        raceway,
        protecting_a,
    )
    room = Room(Chosen(circuit.run.trade_size), None)
    cover = Covered(Chosen(circuit.run.cover_m), None)
    if not circuit.bundle and circuit.run.owner == "customer":
        sizes = (hots.size.value, neutral.neutral.value, grounding.grounding.value)
        room = _room(circuit, basis, *sizes, grounding.material.value)
        cover = cover_of(
            basis.place.value, raceway, circuit.run.cover_m, circuit.settings,
            new=circuit.work == "new",
            small_branch=_is_small_branch(circuit, protecting_a),
        )  # fmt: skip
    return _gathered(circuit, protection, basis, hots, grounding, neutral, room, cover)


def _basis(circuit: Circuit, protecting_a: float | None) -> _Basis:
    place = place_of(circuit)
    raceway = raceway_of(circuit, place.value)
    material = material_of(circuit, protecting_a)
    insulation = insulation_of(circuit, raceway.value, place.value, material.value)
    wet = is_wet(circuit, place, raceway.value)
    sets = circuit.run.conductors.sets or 1
    tap = tap_of(circuit, place.value)
    return _Basis(
        place=place,
        raceway=raceway,
        material=material,
        insulation=insulation,
        terminal=terminal_of(circuit, protecting_a),
        wet=wet,
        lay=governing_portion(circuit, place.value, sets, insulation.value, wet),
        tap=tap,
        needs=needs_of(circuit, protecting_a, tap),
    )


def _is_small_branch(circuit: Circuit, protecting_a: float | None) -> bool:
    """A residential branch circuit of 120 V behind a GFCI device of 20 A at most."""
    return (
        circuit.run.role == "branch"
        and circuit.residential
        and bool(circuit.run.gfci_protected)
        and len(circuit.system.legs) == 1
        and circuit.system.ground_v <= 120.5
        and protecting_a is not None
        and protecting_a <= _SMALL_BRANCH_A
    )


def _room(
    circuit: Circuit,
    basis: "_Basis | Wires",
    size: str | None,
    neutral: str | None,
    grounding: str | None,
    grounding_material: str | None,
) -> Room:
    wires = wires_in(
        circuit, size, basis.material.value, basis.insulation.value, neutral, grounding,
        grounding_material,
    )  # fmt: skip
    return room_of(circuit, basis.place.value, basis.raceway.value, wires)


def regrounded(circuit: Circuit, wires: Wires, shared: Chosen[str | None], material: str) -> Wires:
    """Give the wires with a grounding conductor that others share, and the room that it takes."""
    room = _room(circuit, wires, wires.size.value, wires.neutral.value, shared.value, material)
    return wires._replace(
        grounding=shared,
        grounding_material=Chosen(material, shared.how, shared.why),
        trade_size=room.trade_size,
        fill=room.fill,
        missing=tuple(words for words in wires.missing if words != _NO_GROUNDING),
    )


def _gathered(
    circuit: Circuit,
    protection: Protection,
    basis: _Basis,
    hots: Hots,
    grounding: Grounding,
    neutral: Neutral,
    room: Room,
    cover: Covered,
) -> Wires:
    carried, material = _ampacity(hots), basis.material
    largest = largest_for(circuit, basis.needs, hots, carried, material.value)
    governs = by_ampacity(circuit, basis.needs, hots, basis.tap)
    working: tuple[Line, ...] = ()
    if carried is not None and material.value is not None:
        limits = chain(
            circuit, basis.needs, hots, carried, largest, basis.terminal, basis.lay, basis.tap,
            material.value, governs,
        )  # fmt: skip
        working = tuple(limits)
    if hots.by_drop:
        governs = f"voltage drop, {circuit.drop_limit_pct:g} % at most"
    enlarged = hots.reference is not None and (hots.reference.size, hots.reference.sets) != (
        hots.size.value,
        hots.sets.value,
    )
    return Wires(
        device=protection.device,
        protecting_a=protection.protecting_a,
        sets=hots.sets,
        size=hots.size,
        material=material,
        insulation=basis.insulation,
        neutral=neutral.neutral,
        grounding=grounding.grounding,
        grounding_material=grounding.material,
        raceway=basis.raceway,
        terminal_c=basis.terminal,
        place=basis.place,
        trade_size=room.trade_size,
        cover=cover.cover,
        ampacity=carried,
        upsized_from=hots.reference.size if enlarged and hots.reference else None,
        grounding_needed=grounding.needed,
        neutral_needed=neutral.needed,
        neutral_enlarged=neutral.enlarged,
        needed=hots.needed.size if hots.needed else None,
        governs=governs,
        largest_device=largest,
        met_by_310_12=basis.needs.by_dwelling_table and carried is not None,
        tap=basis.tap,
        current_carrying=basis.lay.current_carrying,
        hottest_c=basis.lay.hottest_c,
        wet=basis.wet,
        fill=room.fill,
        cover_needed_m=cover.needed_m,
        hots=hots,
        lines=(
            *protection.lines, *working, *neutral.lines, *grounding.lines, *room.lines, *cover.lines,
        ),
        missing=tuple(_missing(circuit, protection, hots, material, neutral, grounding, room, basis.place)),
    )  # fmt: skip


def _ampacity(hots: Hots) -> Ampacity | None:
    if hots.carried is None:
        return None
    sets = hots.sets.value
    one = hots.carried
    return Ampacity(one.terminal_a * sets, one.corrected_a * sets, one.ends, one.governs)


def _missing(
    circuit: Circuit,
    protection: Protection,
    hots: Hots,
    material: Chosen[str | None],
    neutral: Neutral,
    grounding: Grounding,
    room: Room,
    place: Chosen[str | None],
) -> Iterator[str]:
    """What has to be read off or entered before the run can be checked, or why nothing was chosen."""
    if protection.device.how == "unknown":
        yield protection.device.why or "rating of the device at its supply end"
    if circuit.bundle:
        return
    new = circuit.work == "new"
    if hots.size.how == "unknown":
        yield hots.size.why or ("a conductor that is large enough" if new else "conductor size")
    if hots.size.value is not None and material.how == "unknown":
        yield "conductor metal"
    if grounding.grounding.how == "unknown":
        yield _NO_GROUNDING
    if neutral.neutral.how == "unknown":
        yield "neutral"
    made = stocked_sizes(circuit.run.raceway or "")
    if made and circuit.run.trade_size not in (None, *made):
        kind = value_word(circuit.run.raceway)
        yield f"trade size: {kind} is made from {made[0]} to {made[-1]} in"
    if new and room.trade_size.how == "unknown" and hots.size.value is not None:
        yield room.trade_size.why or "dimensions of the cable, for the size of its raceway"
    if circuit.run.reuses is not None:
        # the wires are old, but the way that they are laid in is new work
        if room.trade_size.how == "unknown":
            yield "trade size of the raceway that the reused wires are laid in"
        if place.how == "unknown":
            yield "place that the reused wires are laid in, for their cover"
