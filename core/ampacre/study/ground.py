"""The grounding conductor that runs with a run."""

from typing import NamedTuple

from ampacre.codebook.articles import cite
from ampacre.codebook.conductors import area_cmil, size_word
from ampacre.model import records as r
from ampacre.sizing.bonding import bonding_jumper
from ampacre.sizing.grounding import GroundingSize, grounding_size
from ampacre.study.circuit import Circuit
from ampacre.study.facts import Chosen, Line
from ampacre.study.hots import Hots

__all__ = ["Grounding", "grounding_in", "grounding_of"]

_UP_TO_THE_BOND: tuple[r.Role, ...] = ("utility", "service")
_METAL = {"cu": "copper", "al": "aluminum"}
_UNKNOWN: Chosen[str | None] = Chosen(None, "unknown")


class Grounding(NamedTuple):
    """The grounding conductor, its metal, and the smallest that would do (None: not known)."""

    grounding: Chosen[str | None]
    material: Chosen[str | None]
    needed: str | None
    lines: tuple[Line, ...] = ()


def grounding_of(
    circuit: Circuit, hots: Hots, material: str | None, protecting_a: float | None
) -> Grounding:
    """Choose or check the grounding conductor.

    Up to the bond of a service the grounded conductor serves; with a transformer's secondary runs
    a supply-side bonding jumper.
    """
    wires, new = circuit.run.conductors, circuit.work == "new"
    metal: Chosen[str | None] = Chosen(wires.grounding_material)
    if wires.grounding_material is None:
        metal = Chosen(material, "chosen" if new else "assumed", "as the others")
    if circuit.run.role in _UP_TO_THE_BOND:
        if wires.grounding is not None:
            return Grounding(Chosen(wires.grounding), metal, None)
        serves = "grounded conductor serves up to the bond"
        return Grounding(Chosen("none", "chosen", serves), metal, None)
    if circuit.run.role == "transformer secondary":
        return _jumper(circuit, hots, material, metal)
    needed = (
        None
        if metal.value is None
        else grounding_in(circuit, hots, material, protecting_a, metal.value)
    )
    if needed is None:
        return Grounding(_known(circuit), metal, None)
    lines = (_line(circuit, hots, material, needed),)
    known = _known(circuit)
    if known.value is None and new:
        known = Chosen(needed.size, "chosen", "by table and enlargement")
    return Grounding(known, metal, needed.size, lines)


def _known(circuit: Circuit) -> Chosen[str | None]:
    entered = circuit.run.conductors.grounding
    return Chosen(entered) if entered is not None else _UNKNOWN


def grounding_in(
    circuit: Circuit, hots: Hots, material: str | None, protecting_a: float | None, metal: str
) -> GroundingSize | None:
    """Smallest grounding conductor of a metal for a run; None where it rests on something unknown.

    A tap's is by the device of its feeder, and not larger than the tap (NEC 250.122(G)).
    """
    device_a = circuit.device_ahead_a if circuit.run.role == "tap" else protecting_a
    size, reference = hots.size.value, hots.reference
    if device_a is None or size is None or reference is None or material is None:
        return None
    return grounding_size(
        device_a, metal, hot_size=size, hot_material=material, hot_needed_size=reference.size,
        hot_sets=hots.sets.value, hot_needed_sets=reference.sets,
    )  # fmt: skip


def _line(circuit: Circuit, hots: Hots, material: str | None, found: GroundingSize) -> Line:
    """Name the table's size, and for an enlargement the conductors it is measured from."""
    note = f"table gives {found.table_size}"
    cite_key = "egc_tap" if circuit.run.role == "tap" else "egc_table"
    if circuit.motor is not None:
        cite_key = "egc_motor"
    if found.ratio > 1 and hots.reference is not None and hots.size.value is not None:
        cite_key = "egc_upsizing"
        note += (
            f", enlarged {found.ratio:.4f} times as the conductors are beyond "
            f"{_several(hots.reference.sets)}{size_word(hots.reference.size)} "
            f"{_METAL.get(material or '', '')} ({_column(hots)})"
        )
    if hots.sets.value > 1:
        note += "; full size in each raceway of the parallel sets"
    return Line(
        f"Grounding conductor: {size_word(found.size)} or larger", None, None,
        found.needed_cmil, "cmil", cite(cite_key, circuit.edition), note,
    )  # fmt: skip


def _several(sets: int) -> str:
    return f"{sets} sets of " if sets > 1 else ""


def _column(hots: Hots) -> str:
    """The column that the reference size was read in."""
    carried = hots.needed.ampacity if hots.needed is not None else hots.carried
    if carried is None:
        return "by ampacity"
    if carried.terminal_a <= carried.corrected_a:
        return f"{carried.terminal_c} C column"
    return f"{carried.column} C column, corrected"


def _jumper(
    circuit: Circuit, hots: Hots, material: str | None, metal: Chosen[str | None]
) -> Grounding:
    """Supply-side bonding jumper of a secondary, by its conductors (NEC 250.30(A)(2))."""
    size, known = hots.size.value, _known(circuit)
    if size is None or material is None or metal.value is None:
        return Grounding(known, metal, None)
    found = bonding_jumper(area_cmil(size) * hots.sets.value, material, metal.value)
    if found is None:
        return Grounding(known, metal, None)
    line = Line(
        f"Supply-side bonding jumper: {size_word(found.size)} or larger",
        cite=cite("supply_jumper", circuit.edition), note=f"with {size_word(size)} conductors",
    )  # fmt: skip
    if known.value is None and circuit.work == "new":
        known = Chosen(found.size, "chosen", "supply-side bonding jumper")
    return Grounding(known, metal, found.size, (line,))
