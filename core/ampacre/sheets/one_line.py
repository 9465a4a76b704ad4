"""The one-line diagram of a project, as one unbounded sheet: what the screen shows.

Where things stand depends on what hangs from what, on kinds and names, on what is folded and on
what was moved by hand; never on a computed number.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.picture.primitives import Element, Picture
from ampacre.rules.rule import Severity
from ampacre.sheets.arrange import arrange
from ampacre.sheets.badges import Badge
from ampacre.sheets.drafter import Drafter
from ampacre.sheets.drawing import Box, Drawing, Part
from ampacre.sheets.labelling import shown_work
from ampacre.sheets.outlines import Point
from ampacre.sheets.spots import OUTLINE_PAD, OUTLINE_SIDE
from ampacre.sheets.symbols import symbol_of
from ampacre.sheets.tree import plant
from ampacre.study.alike import alike
from ampacre.study.study import Study

__all__ = ["Box", "OneLine", "lay_out", "mark_letters", "redraw", "same_shape"]

MARGIN_MM = 10.0
TREE_GAP = 12.0


Owned = Mapping[str, tuple[Element, ...]]


class OneLine(NamedTuple):
    """The picture and where everything stands in it [mm].

    `places` holds the symbol and words of each piece shown; `paths` the strokes of each run (two
    where it is shown by marks at both ends); `ports` where a line that hangs from a piece starts;
    `buses` left end, right end and height of each bus or joint; `outlines` the corners of each
    structure's outlines. `symbols` names the symbols that are used. `bounds` encloses it all: what
    was moved by hand may stand at negative x or y.

    `owned` has all elements of each piece and run, `grounds` those of each structure. `parts` and
    `fixed` are what `redraw` makes them from again.
    """

    picture: Picture
    places: Mapping[str, Box]
    paths: Mapping[str, tuple[tuple[Point, ...], ...]]
    ports: Mapping[str, Point]
    buses: Mapping[str, tuple[float, float, float]]
    outlines: Mapping[str, tuple[tuple[Point, ...], ...]]
    symbols: frozenset[str]
    bounds: Box
    owned: Owned
    grounds: Owned
    parts: Mapping[str, Sequence[Part]]
    fixed: Owned


def lay_out(
    study: Study,
    folded: frozenset[str] = frozenset(),
    flags: Mapping[str, Severity] | None = None,
    badge: Badge = "",
) -> OneLine:
    """Draw the whole project as one picture, trees side by side.

    `folded` names pieces whose lower parts are hidden, `flags` the gravest finding of pieces and
    runs that carry a mark, `badge` the kind of number that is written.
    """
    forest = plant(study.project, study.islands, folded)
    jumps = (jump for branch in forest.branches.values() for jump in branch.leaving)
    for place, jump in enumerate(jumps):
        jump.mark = mark_letters(place)
    drawing = Drawing(study, flags or {}, badge=badge)
    edge, depth = MARGIN_MM, 0.0
    for root in forest.roots:
        spot = arrange(root)
        drawing.tree(spot, edge + spot.left, MARGIN_MM)
        edge += spot.left + spot.right + TREE_GAP
        depth = max(depth, spot.height)
    return _one_line(drawing, edge - TREE_GAP + MARGIN_MM, depth + 2 * MARGIN_MM)


def redraw(
    one_line: OneLine,
    study: Study,
    keys: Iterable[str],
    flags: Mapping[str, Severity] | None = None,
    badge: Badge = "",
) -> Owned:
    """Draw some pieces and runs again where they stand, with what is known of them now.

    Gives all elements of each, and of those that share a line of a list with them. Right as long
    as the project has the `same_shape` as when the diagram was laid out.
    """
    drafter = Drafter(study, flags or {}, badge=badge)
    parts = one_line.parts
    again = sorted({other for key in keys for part in parts.get(key, ()) for other in part.keys})
    for part in {id(part): part for key in again for part in parts[key]}.values():
        part.draw(drafter)
    drawn = _by_owner(drafter.elements)
    return {key: one_line.fixed.get(key, ()) + drawn.get(key, ()) for key in again}


def _by_owner(elements: Iterable[Element]) -> dict[str, tuple[Element, ...]]:
    owned: dict[str, list[Element]] = {}
    for element in elements:
        owned.setdefault(element.owner, []).append(element)
    return {key: tuple(found) for key, found in owned.items()}


def same_shape(old: Project, new: Project) -> bool:
    """Whether all that the geometry of the diagram depends on is the same in both."""
    return (
        alike(old.equipment, new.equipment, _shape_of_piece)
        and alike(old.runs, new.runs, _shape_of_run)
        and alike(old.grounding, new.grounding, lambda record: record.at)
        and (old.placement, old.structures) == (new.placement, new.structures)
    )


def _shape_of_piece(piece: r.AnyEquipment) -> tuple[object, ...]:
    return (
        type(piece),
        symbol_of(piece),
        piece.name,
        piece.structure,
        shown_work(piece),
        piece.owner,
        isinstance(piece, r.Battery) and piece.forming,
    )


def _shape_of_run(run: r.Run) -> tuple[object, ...]:
    return (
        run.source,
        run.target,
        run.name,
        run.spaces,
        run.lands_on,
        run.protected_at,
        run.device is None,
        run.length_m == 0,
        shown_work(run),
    )


def mark_letters(number: int) -> str:
    """Give the mark of the interrupted line with this number: A to Z, then AA, AB ..."""
    letters = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def _one_line(drawing: Drawing, width: float, height: float) -> OneLine:
    left = min([0.0, *(box.x - MARGIN_MM for box in drawing.places.values())])
    top = min([0.0, *(box.y - MARGIN_MM for box in drawing.places.values())])
    right = max([width, *(box.x + box.w + MARGIN_MM for box in drawing.places.values())])
    bottom = max([height, *(box.y + box.h + MARGIN_MM for box in drawing.places.values())])
    outlines: dict[str, tuple[tuple[Point, ...], ...]] = {}
    for outline in drawing.outlines:
        others = outlines.get(outline.structure, ())
        outlines[outline.structure] = (*others, outline.points(OUTLINE_SIDE, OUTLINE_PAD))
    fixed, drawn = _by_owner(drawing.loose), _by_owner(drawing.drawn)
    return OneLine(
        Picture(tuple(drawing.drafter.elements), right, bottom),
        drawing.places,
        drawing.paths,
        drawing.ports,
        drawing.buses,
        outlines,
        frozenset(drawing.drafter.symbols),
        Box(left, top, right - left, bottom - top),
        {key: fixed.get(key, ()) + drawn.get(key, ()) for key in sorted({*fixed, *drawn})},
        {key: tuple(found) for key, found in drawing.grounds.items()},
        drawing.parts,
        fixed,
    )
