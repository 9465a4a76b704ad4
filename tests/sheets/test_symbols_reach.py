"""Symbols: one for each kind of equipment, inside the room that is reserved for it."""

import pytest
from sheets.geometry import extent

from ampacre.model import records as r
from ampacre.model.words import KINDS
from ampacre.picture.primitives import Picture
from ampacre.sheets.pen import Pen
from ampacre.sheets.piece_labels import PIECE_LINES, piece_words
from ampacre.sheets.symbols import DEVICE_MM, SYMBOLS, draw_device, symbol_of


@pytest.mark.parametrize("name", SYMBOLS)
def test_a_symbol_stays_in_its_room(name):
    symbol = SYMBOLS[name]
    out = []
    symbol.draw(Pen(out))
    left, top, right, bottom = extent(Picture(tuple(out), 0, 0))
    assert left >= -symbol.left_mm - 0.01 and right <= symbol.right_mm + 0.01
    assert top >= -0.01 and bottom <= symbol.height_mm + 0.51  # a dot may stand on the end


@pytest.mark.parametrize("kind", ["breaker", "fuse"])
def test_a_device_fills_its_gap(kind):
    out = []
    draw_device(Pen(out), kind, 0)
    ends = [element for element in out if not hasattr(element, "points")]
    assert ends
    _, top, _, bottom = extent(Picture(tuple(out), 0, 0))
    assert top >= -1 and bottom <= DEVICE_MM + 1


@pytest.mark.parametrize("kind", KINDS.values(), ids=list(KINDS))
def test_each_kind_has_a_symbol_and_as_many_lines_as_reserved(kind):
    piece = kind(id="x", name="X")
    assert symbol_of(piece) in SYMBOLS
    assert len(piece_words(piece, None, "us")) == PIECE_LINES[kind]


def test_a_disconnect_shows_what_is_in_its_box():
    def of(main):
        return symbol_of(r.Disconnect(id="d", name="D", main=main))

    assert of(None) == "switch"
    assert of(r.Device()) == "enclosed breaker"
    assert of(r.Device(kind="fuse")) == "fused switch"
