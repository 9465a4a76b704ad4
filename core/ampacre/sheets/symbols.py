"""The symbols of the one-line diagram, drawn around the point where the line enters at the top.

Shapes follow IEEE Std 315 in words (ANSI Y32.2), from descriptions and from memory: the standard
itself was not at hand. What it has no symbol for (vehicle supply equipment, pedestal, load list) is
built from basic parts, as its article A3.1 allows, and therefore every symbol used is explained in
the legend. The module is 2.5 mm.
"""

from collections.abc import Callable
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.sheets.pen import Pen

__all__ = [
    "DEVICE_MM",
    "STANDBY_MM",
    "SYMBOLS",
    "Symbol",
    "draw_device",
    "draw_ground",
    "symbol_of",
]

U = 2.5

STANDBY_MM = U
"""Where the standby supply enters a transfer switch, right of its line."""

DEVICE_MM = 7.5
"""Length of line that a breaker or fuse takes."""


class Symbol(NamedTuple):
    """A symbol: its words in the legend, its reach from the line, its height, and its drawing.

    The line enters at (0, 0) and leaves at (0, height_mm). All in mm.
    """

    words: str
    left_mm: float
    right_mm: float
    height_mm: float
    draw: Callable[[Pen], None]


def symbol_of(piece: r.Equipment) -> str:
    """Give the name of the symbol that shows a piece."""
    match piece:
        case r.UtilitySource():
            return "source"
        case r.Disconnect():
            if piece.main is None:
                return "switch"
            return "enclosed breaker" if piece.main.kind == "breaker" else "fused switch"
        case r.DwellingLoad():
            return "dwelling"
    return str(type(piece).__struct_config__.tag)


def draw_device(pen: Pen, kind: str, top: float) -> None:
    """Draw a breaker (line broken by a gap, spanned by a bowed arc) or a fuse (S-curve)."""
    if kind == "fuse":
        pen.arc(0, top + 0.75 * U, 0.75 * U, 270, 180)
        pen.arc(0, top + 2.25 * U, 0.75 * U, 90, 180)
        return
    # the arc's ends stand off the line's ends by half a millimetre; its rise is one module
    pen.line((0, top), (0, top + 0.6))
    pen.line((0, top + DEVICE_MM - 0.6), (0, top + DEVICE_MM))
    pen.arc(1.3, top + DEVICE_MM / 2, 4.0, 126, 108)


def draw_ground(pen: Pen, x: float, y: float) -> None:
    """Draw a ground below a lead that ends at (x, y): three bars, longest on top."""
    for bar, half in enumerate((2.4, 1.6, 0.7)):
        pen.line((x - half, y + bar * 1.1), (x + half, y + bar * 1.1))


def _source(pen: Pen) -> None:
    pen.arc(0, 2 * U, 2 * U)
    pen.arc(-U / 2, 2 * U, U / 2, 180, 180)
    pen.arc(U / 2, 2 * U, U / 2, 0, 180)


def _transformer(pen: Pen) -> None:
    """Two rows of three bumps that face each other, two bars between them for the core."""
    pen.line((0, 0), (0, U))
    for side in (-1, 0, 1):
        pen.arc(side * U, U, U / 2, 0, 180)
        pen.arc(side * U, 4 * U, U / 2, 180, 180)
    for y in (2.2 * U, 2.8 * U):
        pen.line((-1.5 * U, y), (1.5 * U, y))
    pen.line((0, 3.5 * U), (0, 5 * U))


def _meter(pen: Pen) -> None:
    pen.line((0, 0), (0, U / 2))
    pen.arc(0, 2.5 * U, 2 * U)
    pen.letters(0, 2.5 * U + 1.6, "WH")
    pen.line((0, 4.5 * U), (0, 5 * U))


def _blade(pen: Pen, top: float) -> None:
    """A plain switch: the blade stands on the lower end, tilted by 30 degrees."""
    pen.line((0, top), (0, top + 1))
    pen.line((0, top + 3 * U), (-1.4 * U, top + 3 * U - 2.4 * U))
    pen.disc(0, top + 3 * U, 0.5)


def _switch(pen: Pen) -> None:
    pen.line((0, 0), (0, 0.5 * U))
    _blade(pen, 0.5 * U)
    pen.line((0, 3.5 * U), (0, 4.4 * U))
    _enclosure(pen, 0.3 * U, 4.1 * U)


def _enclosed_breaker(pen: Pen) -> None:
    pen.line((0, 0), (0, 0.7 * U))
    draw_device(pen, "breaker", 0.7 * U)
    pen.line((0, 3.7 * U), (0, 4.4 * U))
    _enclosure(pen, 0.3 * U, 4.1 * U)


def _fused_switch(pen: Pen) -> None:
    pen.line((0, 0), (0, 0.5 * U))
    _blade(pen, 0.5 * U)
    draw_device(pen, "fuse", 3.5 * U)
    pen.line((0, 6.5 * U), (0, 7.2 * U))
    _enclosure(pen, 0.3 * U, 6.9 * U)


def _enclosure(pen: Pen, top: float, bottom: float) -> None:
    pen.box(-2 * U, top, 2 * U, bottom, dash=(2.0, 1.0))


def _panel(pen: Pen) -> None:
    """The panel as the legend shows it; on the diagram its bus is as wide as what hangs from it."""
    pen.line((0, 0), (0, 2 * U))
    pen.fill(
        (-2 * U, 2 * U - 0.5), (2 * U, 2 * U - 0.5), (2 * U, 2 * U + 0.5), (-2 * U, 2 * U + 0.5)
    )
    _enclosure(pen, 0.6 * U, 4 * U)


def _transfer_switch(pen: Pen) -> None:
    """Normal contact on the left, standby on the right, the arm at the normal one."""
    pen.line((0, 0), (0, 0.8 * U), (-U, 0.8 * U), (-U, 1.7 * U))
    pen.line((U, 0), (U, 1.7 * U))
    for x in (-U, U):
        pen.line((x - 0.9, 1.7 * U), (x + 0.9, 1.7 * U))
    pen.line((-U, 1.7 * U), (0, 4 * U))
    pen.disc(0, 4 * U, 0.5)
    pen.line((0, 4 * U), (0, 5 * U))
    pen.box(-2 * U, 0.4 * U, 2 * U, 4.6 * U)


def _generator(pen: Pen) -> None:
    pen.arc(0, 2 * U, 2 * U)
    pen.letters(0, 2 * U + 1.6, "G")


def _motor(pen: Pen) -> None:
    pen.line((0, 0), (0, U / 2))
    pen.arc(0, 2.5 * U, 2 * U)
    pen.letters(0, 2.5 * U + 1.6, "M")


def _inverter(pen: Pen) -> None:
    """A square cut by its diagonal: direct current in one half, alternating in the other."""
    pen.line((0, 0), (0, U / 2))
    pen.box(-2 * U, 0.5 * U, 2 * U, 4.5 * U)
    pen.line((-2 * U, 4.5 * U), (2 * U, 0.5 * U))
    for y in (1.4 * U, 1.8 * U):
        pen.line((-1.5 * U, y), (-0.4 * U, y))
    pen.arc(0.65 * U, 3.5 * U, 0.25 * U, 180, 180)
    pen.arc(1.15 * U, 3.5 * U, 0.25 * U, 0, 180)


def _battery(pen: Pen) -> None:
    """Two cells: a long thin bar is plus, a short thick one minus."""
    pen.line((0, 0), (0, U))
    for cell in (0, 1):
        y = U + cell * 0.9 * U
        pen.line((-1.2 * U, y), (1.2 * U, y))
        pen.fill(
            (-0.6 * U, y + 0.4 * U),
            (0.6 * U, y + 0.4 * U),
            (0.6 * U, y + 0.4 * U + 0.7),
            (-0.6 * U, y + 0.4 * U + 0.7),
        )


def _charger(pen: Pen) -> None:
    """A box that says what it is, and a lead that ends in a connector."""
    pen.line((0, 0), (0, U / 2))
    pen.box(-2.6 * U, 0.5 * U, 2.6 * U, 3.1 * U)
    pen.letters(0, 1.8 * U + 1.6, "EVSE")
    pen.line((0, 3.1 * U), (0, 4.1 * U))
    pen.fill(
        (-0.6 * U, 4.1 * U),
        (0.6 * U, 4.1 * U),
        (0.45 * U, 4.7 * U),
        (0, 5 * U),
        (-0.45 * U, 4.7 * U),
    )


def _pedestal(pen: Pen) -> None:
    """A dashed box around a short bus with receptacles: forks that open to the load."""
    pen.line((0, 0), (0, 1.4 * U))
    pen.line((-1.5 * U, 1.4 * U), (1.5 * U, 1.4 * U))
    for x in (-0.9 * U, 0.9 * U):
        pen.line((x, 1.4 * U), (x, 2.5 * U))
        pen.arc(x, 3 * U, 0.5 * U, 180, 180)
        for prong in (x - 0.5 * U, x + 0.5 * U):
            pen.line((prong, 3 * U), (prong, 3.6 * U))
    _enclosure(pen, 0.5 * U, 4.3 * U)


def _load(pen: Pen) -> None:
    pen.line((0, 0), (0, 2 * U))
    pen.outline((-0.8 * U, 2 * U), (0.8 * U, 2 * U), (0, 3.4 * U))


def _dwelling(pen: Pen) -> None:
    pen.line((0, 0), (0, U))
    pen.outline(
        (0, U), (1.8 * U, 2.3 * U), (1.8 * U, 4.2 * U), (-1.8 * U, 4.2 * U), (-1.8 * U, 2.3 * U)
    )


def _junction(pen: Pen) -> None:
    pen.line((0, 0), (0, 2.4 * U))
    pen.disc(0, 1.2 * U, 0.75)
    pen.box(-U, 0.2 * U, U, 2.2 * U)


SYMBOLS: dict[str, Symbol] = {
    "source": Symbol("utility supply", 5.0, 5.0, 10.0, _source),
    "transformer": Symbol("transformer, secondary grounded", 11.0, 3.8, 12.5, _transformer),
    "meter": Symbol("utility or private meter", 5.0, 5.0, 12.5, _meter),
    "switch": Symbol("enclosed switch without device", 5.0, 5.0, 11.0, _switch),
    "enclosed breaker": Symbol("enclosed circuit breaker", 5.0, 5.0, 11.0, _enclosed_breaker),
    "fused switch": Symbol("enclosed switch with fuses", 5.0, 5.0, 18.0, _fused_switch),
    "panel": Symbol("panelboard: bus in its enclosure", 5.0, 5.0, 10.0, _panel),
    "transfer switch": Symbol("transfer switch, normal at left", 5.0, 5.0, 12.5, _transfer_switch),
    "generator": Symbol("generator", 5.0, 5.0, 10.0, _generator),
    "inverter": Symbol("inverter", 5.0, 5.0, 11.3, _inverter),
    "battery": Symbol("battery storage with its inverter", 3.0, 3.0, 6.5, _battery),
    "charger": Symbol("vehicle supply equipment", 6.5, 6.5, 12.5, _charger),
    "motor": Symbol("motor or pump", 5.0, 5.0, 11.3, _motor),
    "load": Symbol("load", 2.0, 2.0, 8.5, _load),
    "dwelling": Symbol("all loads of a dwelling", 4.5, 4.5, 10.5, _dwelling),
    "pedestal": Symbol("pedestal with receptacles", 5.0, 5.0, 10.8, _pedestal),
    "junction": Symbol("splice box, handhole or wireway", 2.5, 2.5, 6.0, _junction),
}
