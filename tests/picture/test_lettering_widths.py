"""Widths of text against the font files as other readers understand them."""

import io
import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import ImageFont
from reportlab.pdfbase.ttfonts import TTFont

from ampacre.picture.lettering import (
    CAPITALS,
    font_bytes,
    known,
    shorten,
    text_width_mm,
    wrap,
)

LINES = st.text(st.characters(codec="utf-8"), max_size=60)


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize(
    "text", ["S1", "3-4/0 AL + 6 CU EGC", "Größe ½ Ω → 25 °C", "310 ft, 3.8 %"]
)
def test_widths_agree_with_reportlab(text, bold):
    font = TTFont("reference", io.BytesIO(font_bytes(bold)))
    assert text_width_mm(text, CAPITALS, bold) == pytest.approx(
        font.stringWidth(text, 1.0), abs=1e-3
    )


@pytest.mark.parametrize("bold", [False, True])
def test_capitals_are_as_high_as_the_letter_h(bold):
    font = ImageFont.truetype(io.BytesIO(font_bytes(bold)), 2048)
    _left, top, _right, _bottom = font.getbbox("H", anchor="ls")
    assert -top / 2048 == pytest.approx(CAPITALS, abs=0.001)


@given(LINES, st.floats(1, 80))
def test_shortened_text_fits_and_starts_the_same(text, width):
    short = shorten(text, width, 3.2)
    if short == text:
        assert text_width_mm(text, 3.2) <= width or not text
    else:
        assert short.endswith("…") and text.startswith(short[:-1])
        assert text_width_mm(short, 3.2) <= max(width, text_width_mm("…", 3.2)) + 1e-9


@given(LINES, st.floats(5, 80))
def test_wrapped_lines_fit_and_keep_every_character(text, width):
    lines = wrap(text, width, 3.2)
    assert all(text_width_mm(line, 3.2) <= width + 1e-9 or len(line) == 1 for line in lines)
    assert "".join("".join(lines).split()) == "".join(text.split())


def test_lines_are_broken_between_words():
    words = "The main of S1 is rated 400 A; its load is 436.7 A"
    lines = wrap(words, 40, 3.2)
    assert " ".join(lines) == words
    assert len(lines) > 1
    longer = [f"{a} {b.split()[0]}" for a, b in itertools.pairwise(lines)]
    assert all(text_width_mm(line, 3.2) > 40 for line in longer)


def test_an_empty_text_has_no_lines_and_paragraphs_stay_apart():
    assert wrap("", 40, 3.2) == ()
    assert wrap("one\n\ntwo\n", 40, 3.2) == ("one", "", "two")


def test_characters_that_the_font_lacks_are_replaced():
    assert known("a漢b\ud800c") == "a�b�c"
    assert known("Ω ½ é") == "Ω ½ é"
