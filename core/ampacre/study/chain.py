"""The working of a run's line conductors: each limit in order, and the one that governs."""

from collections.abc import Iterator
from typing import Final

from ampacre.codebook.articles import cite
from ampacre.codebook.conductors import ambient_factor, bundling_factor, size_word
from ampacre.sizing.conductor import Limit, Needs
from ampacre.sizing.protection import (
    DWELLING_SHARE,
    LargestDevice,
    dwelling_device_a,
    largest_device_a,
)
from ampacre.sizing.taps import Tap
from ampacre.study.circuit import Circuit
from ampacre.study.facts import Ampacity, Chosen, Line
from ampacre.study.hots import Hots
from ampacre.study.lay import Lay

__all__ = ["by_ampacity", "chain", "largest_for"]

_METAL: Final = {"cu": "copper", "al": "aluminum"}


def largest_for(
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


def by_ampacity(circuit: Circuit, needs: Needs, hots: Hots, tap: Tap | None) -> str:
    """Say which limit decided the smallest conductor that would do."""
    if hots.needed is None:
        return ""
    ends = hots.needed.ampacity.ends
    words: dict[Limit, str] = {
        "terminations": f"{ends} carrying {needs.sizing_a:.1f} A",
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


def chain(
    circuit: Circuit,
    needs: Needs,
    hots: Hots,
    carried: Ampacity,
    largest: LargestDevice | None,
    terminal: Chosen[int],
    lay: Lay,
    tap: Tap | None,
    material: str,
    deciding: str,
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
        f"{one.ends[0].upper()}{one.ends[1:]}, {wires}", None, None, carried.terminal_a, "A",
        cite("terminations", edition), terminal.why if one.terminal_c == terminal.value else "",
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
        yield Line(label, note=f"governs: {deciding}")
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
