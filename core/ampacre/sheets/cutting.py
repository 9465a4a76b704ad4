"""Cuts the trees of a one-line diagram: at runs, or along a bus too wide for one sheet.

Nothing is made smaller. What is cut off starts again on its own.
"""

from collections.abc import Iterator

from ampacre.sheets import spots as s
from ampacre.sheets.arrange import arrange, stub_width
from ampacre.sheets.rooms import MARK_WIDTH, Reserved
from ampacre.sheets.tree import Branch, Jump, bus_order, sort_children

__all__ = ["fragments"]

STUB_HEIGHT = s.BOX_DEPTH + s.OUTLINE_PAD + 2.0 + s.MARK_MM
STUB_WIDTH = s.LEFT + s.MARK_INDENT + MARK_WIDTH


def fragments(
    waiting: list[Branch], width: float, height: float, jumps: list[Jump], room: Reserved
) -> Iterator[Branch]:
    """Cut trees until each part fits a sheet; adds to `jumps` the lines that were cut.

    The sheet has room for any one piece with its marks: some 170 x 120 mm at least.
    """
    while waiting:
        root = waiting.pop(0)
        made = dict.fromkeys([*_cut_low(root, height, room), *_cut_wide(root, width, room)])
        cut = [jump for branch in root.walk() for jump in branch.leaving if jump in made]
        for jump in [jump for jump in made if jump not in cut]:
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
