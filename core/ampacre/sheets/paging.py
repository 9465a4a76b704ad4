"""Cuts a one-line diagram to sheets: at runs, or along a bus too wide for one sheet.

Nothing is made smaller. What is cut off starts again on its own, and both ends show the same mark
with the number of the other sheet.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from ampacre.picture.lettering import text_width_mm
from ampacre.picture.primitives import Arc, Element, Text
from ampacre.sheets import spots as s
from ampacre.sheets.arrange import arrange, stub_width
from ampacre.sheets.drafter import NO_DELTAS, Deltas
from ampacre.sheets.drawing import Drawing
from ampacre.sheets.one_line import mark_letters
from ampacre.sheets.rooms import MARK_WIDTH, Fitted, Reserved
from ampacre.sheets.tree import Branch, Jump, bus_order, plant, sort_children
from ampacre.study.study import Study

__all__ = ["Deltas", "Leaf", "page"]

GAP = 6.0
STUB_HEIGHT = s.BOX_DEPTH + s.OUTLINE_PAD + 2.0 + s.MARK_MM
STUB_WIDTH = s.LEFT + s.MARK_INDENT + MARK_WIDTH


@dataclass(slots=True)
class Leaf:
    """One sheet's drawing area as it fills up: what was drawn, and the rooms still free.

    `width` and `height` are larger than was asked for only where one part alone is.
    """

    width: float
    height: float
    free: list[tuple[float, float, float, float]]
    parts: list[tuple[s.Spot, float, float]] = field(default_factory=list)
    elements: list[Element] = field(default_factory=list)

    def take(self, width: float, height: float) -> tuple[float, float] | None:
        """Give the corner of a free room of this size and mark it taken; None if there is none.

        `free` holds every largest free rectangle; they overlap.
        """
        fitting = [room for room in self.free if width <= room[2] and height <= room[3]]
        if not fitting:
            return None
        x, y, _, _ = min(fitting, key=lambda room: (room[1], room[0]))
        right, below = x + width + GAP, y + height + GAP
        rooms: list[tuple[float, float, float, float]] = []
        for room in self.free:
            left, top, w, h = room
            if left >= right or top >= below or left + w <= x - GAP or top + h <= y - GAP:
                rooms.append(room)
                continue
            rooms += [
                (left, top, x - GAP - left, h),
                (left, top, w, y - GAP - top),
                (right, top, left + w - right, h),
                (left, below, w, top + h - below),
            ]
        self.free = [room for room in rooms if room[2] > 0 and room[3] > 0]
        return x, y


def page(
    study: Study,
    width: float,
    height: float,
    sheet_name: Callable[[int], str],
    deltas: Deltas = NO_DELTAS,
) -> tuple[list[Leaf], frozenset[str]]:
    """Lay out a project on as many sheets as it takes, each `width` by `height`.

    `sheet_name` gives the number of the n-th sheet (from 0). The second result names the symbols
    that are used. A sheet that could not hold what was moved by hand shows it in its tidy place.
    `deltas` marks what changed since a set was handed in.
    """
    room = Fitted(study)
    forest = plant(study.project, study.islands)
    jumps = [jump for branch in forest.branches.values() for jump in branch.leaving]
    leaves: list[Leaf] = []
    sheets: dict[Branch, int] = {}
    for root in _fragments(list(forest.roots), width, height, jumps, room):
        number = _find_room(leaves, arrange(root, room), width, height)
        for branch in root.walk():
            sheets[branch] = number
            for chain in branch.chains:
                sheets |= dict.fromkeys(chain.root.walk(), number)
    jumps.sort(key=lambda jump: sheets[jump.source])
    for number, jump in enumerate(jumps):
        jump.mark = mark_letters(number)
        if sheets[jump.source] != sheets[jump.target]:
            jump.source_sheet = sheet_name(sheets[jump.source])
            jump.target_sheet = sheet_name(sheets[jump.target])
    symbols: set[str] = set()
    for leaf in leaves:
        drawing = _drawn(study, leaf, deltas, placed=True)
        if _reaches_out(drawing.drafter.elements, leaf):
            drawing = _drawn(study, leaf, deltas, placed=False)
        leaf.elements = drawing.drafter.elements
        symbols |= drawing.drafter.symbols
    return leaves, frozenset(symbols)


def _drawn(study: Study, leaf: Leaf, deltas: Deltas, *, placed: bool) -> Drawing:
    drawing = Drawing(study, {}, deltas, placed=placed)
    for spot, x, y in leaf.parts:
        drawing.tree(spot, x, y)
    return drawing


def _reaches_out(elements: list[Element], leaf: Leaf) -> bool:
    """Whether something was moved by hand to where the sheet ends."""
    points: tuple[tuple[float, float], ...]
    for element in elements:
        if isinstance(element, Text):
            width = text_width_mm(element.text, element.height_mm, element.bold)
            points = ((element.x, element.y - element.height_mm), (element.x + width, element.y))
        elif isinstance(element, Arc):
            points = ((element.cx, element.cy),)
        else:
            points = element.points
        if any(not (0 <= x <= leaf.width and 0 <= y <= leaf.height) for x, y in points):
            return True
    return False


def _find_room(leaves: list[Leaf], spot: s.Spot, width: float, height: float) -> int:
    """Put a tree on the first sheet that has room for it, or on a new one; give its number."""
    needs_width, needs_height = spot.left + spot.right, spot.height
    for number, leaf in enumerate(leaves):
        corner = leaf.take(needs_width, needs_height)
        if corner:
            leaf.parts.append((spot, corner[0] + spot.left, corner[1]))
            return number
    leaf = Leaf(max(width, needs_width), max(height, needs_height), [])
    leaf.free = [(0.0, 0.0, leaf.width, leaf.height)]
    leaf.take(needs_width, needs_height)
    leaf.parts.append((spot, spot.left, 0.0))
    leaves.append(leaf)
    return len(leaves) - 1


def _fragments(
    waiting: list[Branch], width: float, height: float, jumps: list[Jump], room: Reserved
) -> Iterator[Branch]:
    """Cut trees until each part fits a sheet; adds to `jumps` the lines that were cut."""
    while waiting:
        root = waiting.pop(0)
        made = {*_cut_low(root, height, room), *_cut_wide(root, width, room)}
        cut = [jump for branch in root.walk() for jump in branch.leaving if jump in made]
        for jump in made.difference(cut):
            cut += _rejoined(jump)  # it hangs from a part that was cut off itself
        jumps += cut
        waiting[:0] = [jump.target for jump in cut]
        yield root


def _cut_low(root: Branch, height: float, room: Reserved) -> list[Jump]:
    """Cut off what reaches below the sheet, as far down as possible."""
    cut: list[Jump] = []
    while True:
        low: list[Branch] = []
        waiting = [(arrange(root, room), 0.0)]
        while waiting:
            spot, y = waiting.pop()
            y += spot.drop + spot.head
            below = [part for part in spot.hung if isinstance(part, s.Spot)]
            others = [part.height for part in spot.hung if not isinstance(part, s.Spot)]
            foot = y + max([s.BOX_DEPTH, STUB_HEIGHT if below else 0.0, *others])
            if foot + s.OUTLINE_PAD + 1.0 > height and spot.branch is not root:
                low.append(spot.branch)
            else:
                waiting += [(part, y) for part in below]
        if not low:
            return cut
        cut += map(_cut, low)


def _cut(branch: Branch) -> Jump:
    """Take a branch off what feeds it; the run shows marks at both ends."""
    above = branch.parent
    assert above is not None
    jump = Jump(above, branch, branch.feed)
    above.children.remove(branch)
    above.leaving.append(jump)
    above.leaving.sort(key=lambda jump: bus_order(jump.run, jump.target.piece))
    branch.parent, branch.entry = None, jump
    branch.structure_starts = branch.piece.structure is not None
    return jump


def _rejoined(jump: Jump) -> list[Jump]:
    """Undo a cut, so that its place is found anew; a split bus stays split and is given back."""
    if jump.run is None:
        return [jump]
    above, branch = jump.source, jump.target
    above.leaving.remove(jump)
    above.children.append(branch)
    sort_children(above)
    branch.parent, branch.entry = above, None
    branch.structure_starts = branch.piece.structure not in (None, above.piece.structure)
    return []


def _cut_wide(root: Branch, width: float, room: Reserved) -> list[Jump]:
    """Cut off wide branches, and split buses that are wide all the same, leaves first."""
    cut: list[Jump] = []
    limit = width
    while limit > 2 * STUB_WIDTH:
        spots = _spots(arrange(root, room))
        if spots[root].left + spots[root].right <= width:
            break
        widths: dict[Branch, float] = {}
        for branch in reversed(tuple(root.walk())):
            widths[branch] = _narrow(spots[branch], widths, limit, cut, room)
        limit -= 10.0
    return cut


def _spots(root: s.Spot) -> dict[Branch, s.Spot]:
    spots: dict[Branch, s.Spot] = {}
    waiting = [root]
    while waiting:
        spot = waiting.pop()
        spots[spot.branch] = spot
        waiting += [part for part in spot.hung if isinstance(part, s.Spot)]
    return spots


def _narrow(
    spot: s.Spot, widths: dict[Branch, float], limit: float, cut: list[Jump], room: Reserved
) -> float:
    """Make what hangs from one piece fit the limit; give the width that is left.

    Branches that are wider than the mark that would stand in their place are cut first, the widest
    before the others; what is still too wide goes on along another bus.
    """
    branch = spot.branch
    pad = 2 * (s.OUTLINE_PAD + 1.0) if branch.structure_starts else 0.0
    own = spot.symbol.left_mm + max(
        spot.label.width + s.GROUND_ROOM, *(part.x + part.right for part in spot.beside), 0.0
    )

    def item_widths() -> list[float]:
        lists = [part.left + part.right for part in spot.hung if isinstance(part, s.Listed)]
        children = [widths[child] for child in branch.children]
        return lists + children + [stub_width(jump, room) for jump in branch.leaving]

    def total() -> float:
        items = item_widths()
        return sum(items) + s.SIBLING_GAP * (len(items) - 1) + pad

    wide = sorted(
        (child for child in branch.children if widths[child] > 1.3 * STUB_WIDTH),
        key=lambda child: widths[child],
    )
    while total() > limit and wide:
        cut.append(_cut(wide.pop()))
    if total() > limit:
        items = item_widths()
        left, kept = limit - pad - STUB_WIDTH, 0
        while kept < len(items) - 1 and (kept == 0 or left >= items[kept]):
            left -= items[kept] + s.SIBLING_GAP
            kept += 1
        lists = sum(isinstance(part, s.Listed) for part in spot.hung)
        cut.append(_split(branch, lists, kept))
        return limit
    return max(total(), own + pad)


def _split(branch: Branch, lists: int, kept: int) -> Jump:
    """Let a bus go on elsewhere after the first `kept` things that hang from it."""
    rows = len(branch.rows) * min(kept, lists) // max(lists, 1)
    children = max(kept - lists, 0)
    leaving = max(children - len(branch.children), 0)
    rest = Branch(
        branch.piece,
        rows=branch.rows[rows:],
        children=branch.children[children:],
        leaving=branch.leaving[leaving:],
        structure_starts=branch.piece.structure is not None,
        continued=True,
    )
    for child in rest.children:
        child.parent = rest
    for jump in rest.leaving:
        jump.source = rest
    rest.entry = jump = Jump(branch, rest)
    branch.rows = branch.rows[:rows]
    branch.children = branch.children[:children]
    branch.leaving = [*branch.leaving[:leaving], jump]
    return jump
