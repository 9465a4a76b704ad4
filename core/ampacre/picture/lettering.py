"""How wide a line of text is, and how to make it fit: from the advance widths of the sheets' font.

Heights are those of the capitals. Everything that draws a picture (paper or screen) uses this font
without kerning, so that a text is as wide everywhere as it is computed here.
"""

import struct
from functools import cache, lru_cache
from importlib import resources

__all__ = ["CAPITALS", "font_bytes", "known", "shorten", "text_width_mm", "wrap"]

CAPITALS = 0.729
"""Height of the font's capitals in ems: its letter H is 1493 of 2048 units high."""

ELLIPSIS = "…"
_INSTEAD = "\ufffd"


class _Widths(dict[str, float]):
    """Advance widths in ems by character; one that the font lacks is as wide as its substitute."""

    def __missing__(self, character: str) -> float:
        return self[_INSTEAD]


@cache
def font_bytes(bold: bool = False) -> bytes:
    """Give the font file."""
    name = "DejaVuSansCondensed-Bold.ttf" if bold else "DejaVuSansCondensed.ttf"
    return (resources.files("ampacre_resources") / "fonts" / name).read_bytes()


@cache
def _widths(bold: bool) -> _Widths:
    """Read the advance widths out of the font file (tables of the OpenType specification)."""
    data = font_bytes(bold)
    tables = {}
    for index in range(struct.unpack_from(">H", data, 4)[0]):
        tag, _, offset, _ = struct.unpack_from(">4sLLL", data, 12 + 16 * index)
        tables[tag] = offset
    em = struct.unpack_from(">H", data, tables[b"head"] + 18)[0]
    count = struct.unpack_from(">H", data, tables[b"hhea"] + 34)[0]
    metrics = struct.unpack_from(f">{2 * count}H", data, tables[b"hmtx"])
    advances = metrics[::2]
    glyphs = _glyphs(data, tables[b"cmap"])
    return _Widths(
        (chr(code), advances[min(glyph, count - 1)] / em) for code, glyph in glyphs.items() if glyph
    )


def _glyphs(data: bytes, cmap: int) -> dict[int, int]:
    """Glyph numbers by character code, from the font's table of the full Unicode range."""
    for index in range(struct.unpack_from(">H", data, cmap + 2)[0]):
        offset = cmap + struct.unpack_from(">L", data, cmap + 4 + 8 * index + 4)[0]
        if struct.unpack_from(">H", data, offset)[0] == 12:
            break
    glyphs = {}
    for group in range(struct.unpack_from(">L", data, offset + 12)[0]):
        first, last, glyph = struct.unpack_from(">LLL", data, offset + 16 + 12 * group)
        for code in range(first, last + 1):
            glyphs[code] = glyph + code - first
    return glyphs


def known(text: str, bold: bool = False) -> str:
    """Give the text with a replacement sign for each character that the font lacks."""
    widths = _widths(bold)
    if all(character in widths for character in text):
        return text
    return "".join(character if character in widths else _INSTEAD for character in text)


@lru_cache(maxsize=20_000)
def _ems(text: str, bold: bool) -> float:
    return sum(map(_widths(bold).__getitem__, text))


def text_width_mm(text: str, height_mm: float, bold: bool = False) -> float:
    """Width of a line of text [mm] whose capitals are `height_mm` high."""
    return _ems(text, bold) * height_mm / CAPITALS


@lru_cache(maxsize=20_000)
def shorten(text: str, width_mm: float, height_mm: float, bold: bool = False) -> str:
    """Cut a text so that it fits the width, with an ellipsis where something was cut."""
    if text_width_mm(text, height_mm, bold) <= width_mm:
        return text
    widths = _widths(bold)
    room = width_mm * CAPITALS / height_mm - widths[ELLIPSIS]
    for end, character in enumerate(text):
        room -= widths[character]
        if room < 0:
            return text[:end].rstrip() + ELLIPSIS
    return text


def wrap(text: str, width_mm: float, height_mm: float, bold: bool = False) -> tuple[str, ...]:
    """Break a text into lines that fit the width: at spaces, inside a word only if it is too long.

    Line ends of the text stay line ends. An empty text gives no lines.
    """
    lines: list[str] = []
    for paragraph in text.splitlines():
        line = ""
        for word in paragraph.split():
            longer = f"{line} {word}" if line else word
            if text_width_mm(longer, height_mm, bold) <= width_mm:
                line = longer
                continue
            if line:
                lines.append(line)
            *full, line = _broken(word, width_mm, height_mm, bold)
            lines += full
        lines.append(line)
    while lines and not lines[-1]:
        lines.pop()
    return tuple(lines)


def _broken(word: str, width_mm: float, height_mm: float, bold: bool) -> list[str]:
    """Cut a word into parts that fit; a part has at least one character."""
    parts = [""]
    for character in word:
        if parts[-1] and text_width_mm(parts[-1] + character, height_mm, bold) > width_mm:
            parts.append("")
        parts[-1] += character
    return parts
