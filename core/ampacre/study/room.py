"""The room of a run: trade size and fill of its raceway, and cover where it lies in the ground."""

from collections.abc import Sequence
from typing import Final, NamedTuple

from ampacre.codebook.articles import cite
from ampacre.codebook.burial import DUG_DEEPER_M, METRES_PER_IN, least_cover_m, underground
from ampacre.codebook.dimensions import Outside, insulated_wire
from ampacre.codebook.raceways import NIPPLE_M, stocked_sizes
from ampacre.model import records as r
from ampacre.sizing.ampacity import ASSUMED_INSULATION
from ampacre.sizing.fill import Filled, filled, smallest_raceway
from ampacre.study.circuit import Circuit
from ampacre.study.facts import Chosen, Line
from ampacre.study.working import looked_up

__all__ = ["Covered", "Room", "cover_of", "room_of", "trade_size_of", "wires_in"]

_NOT_KNOWN: Chosen[float | None] = Chosen(None, "unknown")
_RISER_KIND: Final = "pvc 80"
_ABOVE_GROUND_EXPOSED: tuple[r.Place, ...] = ("outdoors", "on roof")


class Room(NamedTuple):
    """Trade size of a raceway, how full it is (None: not known, or no raceway), and the working."""

    trade_size: Chosen[str | None]
    fill: Filled | None
    lines: tuple[Line, ...] = ()


class Covered(NamedTuple):
    """Cover of a run [m], and the least it must have (None above ground)."""

    cover: Chosen[float | None]
    needed_m: float | None
    lines: tuple[Line, ...] = ()


def wires_in(
    circuit: Circuit,
    size: str | None,
    material: str | None,
    insulation: str | None,
    neutral: str | None,
    grounding: str | None,
    grounding_material: str | None,
) -> tuple[tuple[Outside, str, int], ...] | None:
    """Conductors of one set with the table each was found in and its mark; None if one isn't known.

    The grounding conductor counts as insulated like the others, which is the larger case.
    """
    if size is None or material is None or neutral is None or grounding is None:
        return None
    kind = insulation or ASSUMED_INSULATION
    wanted = [(size, material)] * len(circuit.system.legs)
    if neutral != "none":
        wanted.append((neutral, material))
    if grounding not in ("none", "raceway"):
        wanted.append((grounding, grounding_material or material))
    found = []
    for each, metal in wanted:
        wire = insulated_wire(each, metal, kind)
        if wire is None:
            return None
        found.append((wire.value, wire.cite_key, wire.verified))
    return tuple(found)


def trade_size_of(
    kind: str | None, entered: str | None, new: bool, wires: Sequence[Outside] | None,
    *, nipple: bool, exposed: bool,
) -> tuple[Chosen[str | None], Filled | None]:  # fmt: skip
    """Choose or read a raceway's trade size, and give its fill.

    Plastic raceway that leaves the ground or stands outdoors is chosen with room for Schedule 80,
    which it must be where it may be damaged (NEC 300.5(D)(4)).
    """
    if kind is None or not stocked_sizes(kind):
        known = Chosen(entered) if entered is not None or kind is not None else None
        return known or Chosen(None, "unknown"), None
    if entered is not None:
        full = filled(kind, entered, wires, nipple=nipple) if wires else None
        return Chosen(entered), full
    if not new or not wires:
        return Chosen(None, "unknown"), None
    tight = exposed and kind == "pvc"
    found = _chosen(kind, wires, nipple=nipple, tight=tight)
    if found is None:
        return Chosen(None, "unknown", "no raceway is large enough: divide the conductors"), None
    why = f"{found.fill_pct:.0f} % full"
    if tight:
        why += ", with room for Schedule 80 where it leaves the ground"
    return Chosen(found.trade_size, "chosen", why), found


def _chosen(kind: str, wires: Sequence[Outside], *, nipple: bool, tight: bool) -> Filled | None:
    """Smallest trade size that fits and does not jam, in the tighter wall too if there may be one."""
    smallest = smallest_raceway(kind, wires, nipple=nipple, may_jam=False)
    if smallest is None or not tight:
        return smallest
    sizes = stocked_sizes(kind)
    for size in sizes[sizes.index(smallest.trade_size) :]:
        full = filled(kind, size, wires, nipple=nipple)
        riser = filled(_RISER_KIND, size, wires, nipple=nipple)
        if full and riser and riser.fits and full.jam_ratio is None and riser.jam_ratio is None:
            return full
    return None


def room_of(
    circuit: Circuit,
    place: str | None,
    kind: str | None,
    wires: Sequence[tuple[Outside, str, int]] | None,
) -> Room:
    """Trade size and fill of the raceway that a run has to itself.

    Parallel sets lie in raceways of their own. A run that lies in shared ones for its whole length
    has none.
    """
    run, new = circuit.run, circuit.work == "new"
    inside_m = sum(way.length_m for way in circuit.ways)
    if circuit.ways and run.length_m is not None and inside_m >= run.length_m - 1e-6:
        return Room(Chosen(run.trade_size, "entered", "lies in shared raceways"), None)
    own_m = None if run.length_m is None else run.length_m - inside_m
    nipple = own_m is not None and own_m <= NIPPLE_M
    exposed = place is not None and (underground(place) or place in _ABOVE_GROUND_EXPOSED)
    outsides = None if wires is None else [wire for wire, _, _ in wires]
    size, full = trade_size_of(kind, run.trade_size, new, outsides, nipple=nipple, exposed=exposed)
    if full is None or wires is None:
        return Room(size, None)
    return Room(size, full, _fill_lines(full, wires, circuit.edition, nipple=nipple))


def _fill_lines(
    full: Filled, wires: Sequence[tuple[Outside, str, int]], edition: str, *, nipple: bool
) -> tuple[Line, ...]:
    areas = " + ".join(f"{wire.area_in2:.4f}" for wire, _, _ in wires)
    tables = " and ".join(sorted({cite(key, edition) for _, key, _ in wires}))
    mark = min(mark for _, _, mark in wires)
    lines = [
        looked_up(
            f"Area of {len(wires)} conductors", full.area_in2, "in²", tables, mark, edition, areas
        ),
        Line(
            f"Fill of trade size {full.trade_size} in", None, None, full.fill_pct, "%",
            cite("nipple_fill" if nipple else "fill_table", edition),
            f"{full.limit_pct:g} % allowed",
        ),
    ]  # fmt: skip
    if full.jam_ratio is not None:
        lines.append(
            Line(
                "Three conductors may jam side by side", None, None, full.jam_ratio, "",
                cite("jam_ratio", edition), "inside over conductor diameter, between 2.8 and 3.2",
            )
        )  # fmt: skip
    return tuple(lines)


def cover_of(
    place: str | None,
    kind: str | None,
    entered_m: float | None,
    settings: r.Settings,
    *,
    new: bool,
    small_branch: bool = False,
) -> Covered:
    """Choose or check the cover: the code's or the local one, and for new work a foot more.

    Digging about a foot deeper than must be keeps the cover when the ground settles or is graded
    (common practice).
    """
    if place is None:
        known: Chosen[float | None] = Chosen(entered_m)
        return Covered(known if entered_m is not None else _NOT_KNOWN, None)
    listed = least_cover_m(place, kind or "pvc", small_branch=small_branch)
    if listed is None:
        return Covered(Chosen(entered_m, "entered", "above ground"), None)
    needed_m, cite_key = listed.value, listed.cite_key
    note = f"{needed_m / METRES_PER_IN:.0f} in {place}"
    if settings.least_cover_m is not None and needed_m > 0:
        needed_m, cite_key = settings.least_cover_m, "local amendment"
        note = f"in place of {note}"
    line = looked_up(
        "Least cover",
        *_shown(needed_m, settings),
        cite_key,
        listed.verified,
        settings.edition,
        note,
    )
    if entered_m is not None:
        return Covered(Chosen(entered_m), needed_m, (line,))
    if not new:
        return Covered(_NOT_KNOWN, needed_m, (line,))
    if needed_m == 0:
        return Covered(Chosen(0.0, "chosen", "none needed under a building"), 0.0, (line,))
    dug_m = needed_m + DUG_DEEPER_M
    deeper: Chosen[float | None] = Chosen(dug_m, "chosen", "a foot deeper than the least")
    dug = looked_up(
        "Cover to dig for", *_shown(dug_m, settings), "common practice", 0,
        settings.edition, "about a foot deeper than the least, to the top of the run",
    )  # fmt: skip
    return Covered(deeper, needed_m, (line, dug))


def _shown(cover_m: float, settings: r.Settings) -> tuple[float, str]:
    """A cover as people of the project's units say it."""
    return (cover_m / METRES_PER_IN, "in") if settings.units == "us" else (cover_m, "m")
