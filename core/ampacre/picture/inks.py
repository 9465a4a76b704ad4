"""The inks of paper: black and greys, so that a copy from any printer reads the same.

Only the flag layer has a colour, dark enough to stay plain in grey.
"""

from ampacre.picture.primitives import Layer

__all__ = ["ink"]

_INKS: dict[Layer, str] = {"enclosure": "#595959", "note": "#333333", "flag": "#d55e00"}


def ink(layer: Layer) -> str:
    """Give the ink of a layer on white paper, as a red, green and blue byte: "#rrggbb"."""
    return _INKS.get(layer, "#000000")
