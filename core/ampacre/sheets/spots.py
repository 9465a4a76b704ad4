"""The parts of an arranged one-line diagram, and the room that each is given. All lengths in mm."""

from dataclasses import dataclass, field
from typing import Literal

from ampacre.model import records as r
from ampacre.sheets.rooms import RUN_WIDTH, Label
from ampacre.sheets.symbols import Symbol
from ampacre.sheets.tree import Branch, Jump, Row

__all__ = [
    "BESIDE_LAST",
    "BOX_DEPTH",
    "BOX_SIDE",
    "BUS_OVERHANG",
    "CHAIN_GAP",
    "DEVICE_TOP",
    "GROUND_ROOM",
    "JOIN_STEP",
    "LEFT",
    "LIST_TOP",
    "LONGEST_LIST",
    "MARK_INDENT",
    "MARK_MM",
    "OUTLINE_PAD",
    "OUTLINE_SIDE",
    "PANEL_TOP",
    "PIECE_GAP",
    "ROOT_MM",
    "RUN_INDENT",
    "SERVICE_MM",
    "SIBLING_GAP",
    "TICK",
    "TITLE_MM",
    "DeviceEnd",
    "Folded",
    "Hung",
    "Interrupted",
    "Lead",
    "Listed",
    "Outlet",
    "Spot",
]

LEFT = 7.0
"""Room at the left of a line, where a finding's mark stands."""

RUN_INDENT, PIECE_GAP = 3.5, 2.0

DEVICE_TOP, PANEL_TOP = 2.0, 1.5
BOX_SIDE, BOX_DEPTH = 1.5, 10.5
"""From a bus to the lower edge of its panel: the devices stand between."""

BUS_OVERHANG, GROUND_ROOM, BESIDE_LAST = 4.0, 8.0, 68.0
OUTLINE_PAD, OUTLINE_SIDE = 2.5, 3.1
"""Between a structure's outline and what stands in it."""

TITLE_MM = 7.5
"""From the words of a run to the first symbol of a structure: outline and the structure's name."""

MARK_INDENT = 6.5
MARK_MM = 14.5
"""Height of the mark where a line goes on elsewhere."""

SERVICE_MM = 6.5
"""Height of the mark of the service point."""

LIST_TOP, TICK = 13.0, 2.5
LONGEST_LIST = 20
JOIN_STEP = 2.5
ROOT_MM = 6.0
"""Room above a root, where a finding's mark stands."""

SIBLING_GAP, CHAIN_GAP = 6.0, 6.0

DeviceEnd = Literal["", "upper", "lower"]


@dataclass(slots=True, eq=False, repr=False, kw_only=True)
class Hung:
    """Something that hangs from a bus: its reach from its own line, and its whole height.

    `x` is where its line stands, from the line of what it hangs from.
    """

    left: float = LEFT
    right: float = RUN_INDENT + RUN_WIDTH
    height: float
    x: float = 0.0


@dataclass(slots=True, eq=False, repr=False, kw_only=True)
class Listed(Hung):
    """A list of loads on circuits of a panel."""

    rows: tuple[Row, ...]
    columns: tuple[float, ...]


@dataclass(slots=True, eq=False, repr=False, kw_only=True)
class Folded(Hung):
    """A note that pieces below are not shown."""

    count: int


@dataclass(slots=True, eq=False, repr=False, kw_only=True)
class Interrupted(Hung):
    """An end of a line that goes on elsewhere; `top` is where its mark stands.

    `width` is that of the words beside the mark, `device_width` that beside the device.
    """

    jump: Jump
    width: float
    device_width: float = RUN_WIDTH
    device: DeviceEnd = ""
    top: float = 0.0


@dataclass(slots=True, eq=False, repr=False, kw_only=True)
class Lead:
    """The stretch of line above a piece.

    `device` tells at which end the device of the run is drawn, `device_y` its top; `words_y` is the
    top of the run's words, `label` their room, and `entry` the width of the line beside a mark at
    the top. `service_y` is where the service point is marked, None where the run does not pass it.
    `flagged` tells whether the mark of a finding or a change stands here: it stands with the words.
    """

    device: DeviceEnd = ""
    device_y: float = 0.0
    words_y: float = 0.0
    label: Label = field(default_factory=Label)
    entry: float = 0.0
    service_y: float | None = None
    flagged: bool = True
    height: float = 0.0

    @property
    def reach(self) -> float:
        """How far its words reach to the right of the line."""
        return max(RUN_INDENT + self.label.width, MARK_INDENT + self.entry)


@dataclass(slots=True, eq=False, repr=False, kw_only=True)
class Outlet(Hung):
    """The run that leads from a chain to the piece that the chain stands beside."""

    run: r.Run
    lead: Lead


@dataclass(slots=True, eq=False, repr=False, kw_only=True)
class Spot(Hung):
    """A branch in its place.

    `drop` is the height of its lead, made equal to those of its neighbours; `head` that of symbol
    and words, which end at `foot` below the symbol's top. What is `hung` hangs `drop + head` below
    the upper end; what stands `beside` the lead, from `beside_y` on, reaches the piece by a second
    way. `box` is the panel's box: left, right, bottom, from its line and its top; `own` is how far
    the piece with its words and lead reaches to the left and right.
    """

    branch: Branch
    symbol: Symbol
    lead: Lead
    names: tuple[str, ...]
    label: Label
    drop: float
    head: float
    foot: float
    hung: list[Hung] = field(default_factory=list)
    beside: list[Hung] = field(default_factory=list)
    beside_y: float = 0.0
    box: tuple[float, float, float] = (0.0, 0.0, 0.0)
    own: tuple[float, float] = (0.0, 0.0)
    title_width: float = 0.0

    @property
    def join(self) -> float:
        """Room right above the symbol in which second ways join."""
        return JOIN_STEP * (len(self.beside) + 1) if self.beside else 0.0

    @property
    def title(self) -> float:
        """Room above that for the outline and name of a structure that starts here."""
        return TITLE_MM if self.branch.structure_starts else 0.0

    @property
    def bus(self) -> tuple[float, float]:
        """Left and right end of a panel's bus, from its line."""
        taps = [0.0, *(part.x for part in (*self.hung, *self.beside))]
        return self.box[0] + GROUND_ROOM, max(taps) + BUS_OVERHANG

    @property
    def words_x(self) -> float:
        """Where the piece's words start, from its line."""
        return RUN_INDENT if self.is_panel else max(self.symbol.right_mm, 6.5) + PIECE_GAP

    @property
    def is_panel(self) -> bool:
        """Whether the piece has a bus in a box instead of a symbol."""
        return isinstance(self.branch.piece, r.Panel)
