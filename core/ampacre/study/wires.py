"""Downward: device, conductors, neutral, grounding conductor and raceway of each run.

Chosen where new work leaves them empty, checked where they are filled in. A choice reads given
values and earlier steps only: the device comes from the sizing current, the conductors from the
device, and the drop limit of this run at nominal voltage may enlarge them.
"""

from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

from ampacre.codebook.articles import cite
from ampacre.codebook.conductors import ambient_factor, bundling_factor, size_word
from ampacre.sizing.conductor import Conditions, Limit, Needs
from ampacre.sizing.fill import Filled
from ampacre.sizing.protection import (
    DWELLING_SHARE,
    LargestDevice,
    dwelling_device_a,
    largest_device_a,
)
from ampacre.sizing.taps import Tap
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

__all__ = ["HOT_C", "Circuit", "Wires", "design_drop", "regrounded", "wires_of"]

_SMALL_BRANCH_A = 20.0
_NO_GROUNDING = "grounding conductor"
_METAL = {"cu": "copper", "al": "aluminum"}


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


@lru_cache(maxsize=12_000)
def wires_of(circuit: Circuit) -> Wires:
    """Choose or check one run. Equal circuits give the same object."""
    protection = protection_of(circuit)
    protecting_a = protection.protecting_a
    place = place_of(circuit)
    raceway = raceway_of(circuit, place.value)
    material = material_of(circuit, protecting_a)
    insulation = insulation_of(circuit, raceway.value, place.value, material.value)
    terminal = terminal_of(circuit, protecting_a)
    wet = is_wet(circuit, place, raceway.value)
    sets = circuit.run.conductors.sets
    lay = governing_portion(circuit, place.value, sets, insulation.value, wet)
    conditions = None
    if material.value is not None:
        conditions = Conditions(
            material.value, insulation.value, terminal.value, lay.hottest_c, wet,
            lay.current_carrying,
        )  # fmt: skip
    tap = tap_of(circuit, place.value)
    needs = needs_of(circuit, protecting_a, tap)
    if circuit.bundle:
        conditions = None
    hots = hots_of(circuit, needs, conditions, raceway.value)
    grounding = grounding_of(circuit, hots, material.value, protecting_a)
    neutral = neutral_of(circuit, hots, protecting_a, conditions, raceway.value)
    room = Room(Chosen(circuit.run.trade_size), None)
    cover = Covered(Chosen(circuit.run.cover_m), None)
    if not circuit.bundle and circuit.run.owner == "customer":
        room = _room(circuit, place, raceway, hots, material, insulation, neutral, grounding)
        cover = cover_of(
            place.value, raceway.value, circuit.run.cover_m, circuit.settings,
            new=circuit.work == "new",
            small_branch=_is_small_branch(circuit, protecting_a),
        )  # fmt: skip
    return _gathered(
        circuit, protection, place, raceway, material, insulation, terminal, wet, lay, tap, needs,
        hots, grounding, neutral, room, cover,
    )  # fmt: skip


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
    place: Chosen[str | None],
    raceway: Chosen[str | None],
    hots: Hots,
    material: Chosen[str | None],
    insulation: Chosen[str | None],
    neutral: Neutral,
    grounding: Grounding,
) -> Room:
    wires = wires_in(
        circuit, hots.size.value, material.value, insulation.value, neutral.neutral.value,
        grounding.grounding.value, grounding.material.value,
    )  # fmt: skip
    return room_of(circuit, place.value, raceway.value, wires)


def regrounded(circuit: Circuit, wires: Wires, shared: Chosen[str | None], material: str) -> Wires:
    """Give the wires with a grounding conductor that others share, and the room that it takes."""
    grounding = Grounding(shared, Chosen(material, shared.how, shared.why), wires.grounding_needed)
    neutral = Neutral(wires.neutral, wires.neutral_needed)
    room = _room(
        circuit, wires.place, wires.raceway, wires.hots, wires.material, wires.insulation,
        neutral, grounding,
    )  # fmt: skip
    return wires._replace(
        grounding=grounding.grounding,
        grounding_material=grounding.material,
        trade_size=room.trade_size,
        fill=room.fill,
        missing=tuple(words for words in wires.missing if words != _NO_GROUNDING),
    )


def _gathered(
    circuit: Circuit,
    protection: Protection,
    place: Chosen[str | None],
    raceway: Chosen[str | None],
    material: Chosen[str | None],
    insulation: Chosen[str | None],
    terminal: Chosen[int],
    wet: bool,
    lay: Lay,
    tap: Tap | None,
    needs: Needs,
    hots: Hots,
    grounding: Grounding,
    neutral: Neutral,
    room: Room,
    cover: Covered,
) -> Wires:
    carried = _ampacity(hots)
    largest = _largest(circuit, needs, hots, carried, material.value)
    by_ampacity = _by_ampacity(circuit, needs, hots, terminal.value, tap)
    governs = by_ampacity
    if hots.by_drop:
        governs = f"voltage drop, {circuit.drop_limit_pct:g} % at most"
    chain: tuple[Line, ...] = ()
    if carried is not None and material.value is not None:
        chain = tuple(
            _chain(
                circuit,
                needs,
                hots,
                carried,
                largest,
                terminal,
                lay,
                tap,
                material.value,
                by_ampacity,
            )
        )
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
        insulation=insulation,
        neutral=neutral.neutral,
        grounding=grounding.grounding,
        grounding_material=grounding.material,
        raceway=raceway,
        terminal_c=terminal,
        place=place,
        trade_size=room.trade_size,
        cover=cover.cover,
        ampacity=carried,
        upsized_from=hots.reference.size if enlarged and hots.reference else None,
        grounding_needed=grounding.needed,
        neutral_needed=neutral.needed,
        needed=hots.needed.size if hots.needed else None,
        governs=governs,
        largest_device=largest,
        met_by_310_12=needs.by_dwelling_table and carried is not None,
        tap=tap,
        current_carrying=lay.current_carrying,
        hottest_c=lay.hottest_c,
        wet=wet,
        fill=room.fill,
        cover_needed_m=cover.needed_m,
        hots=hots,
        lines=(
            *protection.lines, *chain, *neutral.lines, *grounding.lines, *room.lines, *cover.lines,
        ),
        missing=tuple(_missing(circuit, protection, hots, material, neutral, grounding, room)),
    )  # fmt: skip


def _ampacity(hots: Hots) -> Ampacity | None:
    if hots.carried is None:
        return None
    sets = hots.sets.value
    return Ampacity(
        hots.carried.terminal_a * sets, hots.carried.corrected_a * sets, hots.carried.governs
    )


def _largest(
    circuit: Circuit, needs: Needs, hots: Hots, carried: Ampacity | None, material: str | None
) -> LargestDevice | None:
    """The most that may protect the conductors; None where another article judges it."""
    by_others = circuit.motor is not None or circuit.run.role in (
        "utility", "generator output", "supply-side source",
    )  # fmt: skip
    if carried is None or hots.size.value is None or material is None or by_others:
        return None
    if needs.by_dwelling_table:
        by_table = dwelling_device_a(carried.allowed_a, circuit.edition)
        if by_table is not None:
            return by_table
    return largest_device_a(
        carried.allowed_a, hots.size.value, material, circuit.edition, round_up=needs.round_up
    )


def _by_ampacity(
    circuit: Circuit, needs: Needs, hots: Hots, terminal_c: int, tap: Tap | None
) -> str:
    """Say which limit decided the smallest conductor that would do."""
    if hots.needed is None:
        return ""
    words: dict[Limit, str] = {
        "terminations": f"terminations at {terminal_c} C carrying {needs.sizing_a:.1f} A",
        "insulation": f"corrected ampacity carrying {needs.calculated_a:.1f} A",
        "device": f"the device of {needs.device_a or 0:g} A",
        "dwelling table": f"83 % of the device of {needs.device_a or 0:g} A",
        "least": f"{needs.least_a:.1f} A, {_least_word(circuit, tap)}",
        "": "the smallest conductor there is",
    }
    return words[hots.limit]


def _least_word(circuit: Circuit, tap: Tap | None) -> str:
    if tap is not None:
        return tap.why
    if circuit.motor is not None:
        return "the least marked on the unit"
    return "115 % of the generator's current"


def _chain(
    circuit: Circuit,
    needs: Needs,
    hots: Hots,
    carried: Ampacity,
    largest: LargestDevice | None,
    terminal: Chosen[int],
    lay: Lay,
    tap: Tap | None,
    material: str,
    by_ampacity: str,
) -> Iterator[Line]:
    """The working of the line conductors: each limit in order, and the one that governs."""
    edition, sets = circuit.edition, hots.sets.value
    one = hots.carried
    assert one is not None
    assert hots.size.value is not None
    named = f"{f'{sets} sets of ' if sets > 1 else ''}{size_word(hots.size.value)}"
    wires = f"{named} {_METAL[material]}"
    met = "met by 310.12" if needs.by_dwelling_table else ""
    yield Line("Sizing current", None, None, needs.sizing_a, "A", "", met)
    yield Line(
        f"Terminations at {terminal.value} C, {wires}", None, None, carried.terminal_a, "A",
        cite("terminations", edition), terminal.why,
    )  # fmt: skip
    yield Line("Calculated current", None, None, needs.calculated_a, "A")
    yield Line(
        f"Insulation at {one.column} C, {wires}", None, None, one.base_a * sets, "A",
        cite("ampacity_table", edition),
    )  # fmt: skip
    yield from lay.lines
    ambient = ambient_factor(lay.hottest_c, one.column)
    yield Line(
        f"Ambient {lay.hottest_c:g} C", None, ambient.value if ambient else 0.0, None, "",
        cite("ambient_table", edition),
    )  # fmt: skip
    bundling = bundling_factor(lay.current_carrying)
    yield Line(
        f"{lay.current_carrying} current-carrying conductors together", None, bundling.value, None,
        "", cite("bundling_table", edition),
    )  # fmt: skip
    yield Line(
        "Ampacity corrected and adjusted", None, None, carried.corrected_a, "A", "",
        f"of the two, governs: {carried.governs}",
    )  # fmt: skip
    if needs.by_dwelling_table and needs.device_a is not None:
        yield Line(
            "Whole load of one dwelling", needs.device_a, DWELLING_SHARE,
            DWELLING_SHARE * needs.device_a, "A", cite("dwelling_83", edition),
            "stands for the 125 % at the terminals; not used with 240.4(B)",
        )  # fmt: skip
    if largest is not None:
        yield Line(
            "Largest device for these conductors", None, None, largest.rating_a, "A",
            cite(largest.cite_key, edition), largest.why,
        )  # fmt: skip
    if tap is not None:
        note = f"{tap.why}; ends in one device" if tap.one_device else tap.why
        yield Line(
            "Least ampacity", None, None, tap.least_a, "A", cite(tap.cite_key, edition), note
        )
    if hots.needed is not None:
        label = f"Smallest conductor that would do: {size_word(hots.needed.size)}"
        yield Line(label, note=f"governs: {by_ampacity}")
    note = hots.size.why or hots.size.how
    if hots.size.how == "chosen" and not any(circuit.demand.calculated_a):
        note += "; no load is known yet: drop and neutral are for the device's rating"
    yield Line(f"Conductors: {wires}", cite=_size_article(circuit, hots), note=note)


def _size_article(circuit: Circuit, hots: Hots) -> str:
    """Article that a run's conductors follow."""
    edition, role = circuit.edition, circuit.run.role
    if hots.by_drop:
        return cite("drop_branch" if role == "branch" else "drop_feeder", edition)
    if circuit.motor is not None:
        return cite("motor_branch_conductor", edition)
    if hots.sets.value > 1:
        return cite("parallel", edition)
    keys = {"branch": "branch_conductor", "service": "service_conductor",
            "generator output": "generator_conductor"}  # fmt: skip
    return cite(keys.get(role, "feeder_conductor"), edition)


def _missing(
    circuit: Circuit,
    protection: Protection,
    hots: Hots,
    material: Chosen[str | None],
    neutral: Neutral,
    grounding: Grounding,
    room: Room,
) -> Iterator[str]:
    """What has to be read off or entered before the run can be checked, or why nothing was chosen."""
    if circuit.bundle:
        return
    new = circuit.work == "new"
    if protection.device.how == "unknown" and circuit.run.protected_at == "supply":
        yield protection.device.why or "rating of the device at its supply end"
    if hots.size.how == "unknown":
        yield hots.size.why or ("a conductor that is large enough" if new else "conductor size")
    if hots.size.value is not None and material.how == "unknown":
        yield "conductor metal"
    if grounding.grounding.how == "unknown":
        yield _NO_GROUNDING
    if neutral.neutral.how == "unknown":
        yield "neutral"
    if new and room.trade_size.how == "unknown" and hots.size.value is not None:
        yield room.trade_size.why or "dimensions of the cable, for the size of its raceway"
