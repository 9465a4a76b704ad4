"""Pictures on the screen: right shapes in the right place, levels of detail, colours, marks."""

import math

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QImage, QPainter

from ampacre.picture.lettering import text_width_mm
from ampacre.picture.primitives import Arc, Fill, Polyline, Text
from ampacre.rules.review import SEVERITIES
from ampacre_gui.canvas.painter import SCALE, Sketch, level_of, paint
from ampacre_gui.flags import draw_flag, flag_icon, worst
from ampacre_gui.look import DARK, LIGHT, look


def drawn(elements, px_per_unit=1.0, size=300):
    """Paint elements on white in black; points of the picture are `SCALE * px_per_unit` apart."""
    image = QImage(size, size, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    painter.scale(px_per_unit, px_per_unit)
    paint(painter, Sketch(elements), LIGHT, px_per_unit, QColor("black"))
    painter.end()
    return image


def dark(image, x, y, reach=2):
    return any(
        image.pixelColor(round(x) + dx, round(y) + dy).lightness() < 128
        for dx in range(-reach, reach + 1)
        for dy in range(-reach, reach + 1)
    )


def test_lines_stand_where_the_picture_says(qapp):
    image = drawn([Polyline(((5, 10), (20, 10)))])
    assert dark(image, 5 * SCALE, 100)
    assert dark(image, 20 * SCALE, 100)
    assert not dark(image, 125, 120)


def test_a_closed_line_comes_back(qapp):
    image = drawn([Polyline(((5, 5), (20, 5), (20, 20), (5, 20)), closed=True)])
    assert dark(image, 50, 125)


@pytest.mark.parametrize(
    ("start", "sweep"), [(0, 90), (270, 180), (-54, 108), (90, 180), (180, -90)]
)
def test_arcs_turn_clockwise_as_seen_on_the_sheet(qapp, start, sweep):
    image = drawn([Arc(15, 15, 10, start, sweep)])
    for part in range(8):
        angle = math.radians(start + sweep * (part + 0.5) / 8)
        assert dark(image, 150 + 100 * math.cos(angle), 150 + 100 * math.sin(angle))
        if abs(sweep) <= 180:
            assert not dark(image, 150 - 100 * math.cos(angle), 150 - 100 * math.sin(angle))


def test_a_shade_of_one_is_paper(qapp):
    square = ((5, 5), (20, 5), (20, 20), (5, 20))
    image = drawn([Fill(square), Fill(square, shade=1.0)])
    assert image.pixelColor(120, 120).lightness() > 240


@pytest.mark.parametrize("bold", [False, True])
def test_a_sentence_is_as_wide_as_on_paper(qapp, bold):
    words = "A design aid for people who know the trade."
    (line,) = Sketch([Text(0, 15, words, 3.2, bold=bold)]).lines
    width = sum(run.boundingRect().width() for run in line.glyphs[0])
    assert width == pytest.approx(text_width_mm(words, 3.2, bold) * SCALE, rel=0.01)


def test_words_that_are_small_on_the_screen_are_left_out_of_drawings_but_not_of_sheets(qapp):
    image = QImage(60, 60, QImage.Format.Format_RGB32)
    sketch = Sketch([Text(10, 30, "HHHHHHHH", 3.2)])
    for whole in (False, True):
        image.fill(Qt.GlobalColor.white)
        painter = QPainter(image)
        painter.scale(0.05, 0.05)
        paint(painter, sketch, LIGHT, 0.05, QColor("black"), whole=whole)
        painter.end()
        written = any(image.pixelColor(x, 14).lightness() < 250 for x in range(60))
        assert written == whole


@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
def test_text_is_as_wide_and_stands_where_it_is_computed(qapp, anchor):
    words = "HUH"
    image = drawn([Text(15, 15, words, 3.2, anchor)])
    width = text_width_mm(words, 3.2) * SCALE
    left = 150 - {"start": 0, "middle": width / 2, "end": width}[anchor]
    columns = [
        x for x in range(300) if any(image.pixelColor(x, y).lightness() < 128 for y in range(300))
    ]
    rows = [
        y for y in range(300) if any(image.pixelColor(x, y).lightness() < 128 for x in range(300))
    ]
    assert columns[0] == pytest.approx(left, abs=8)
    assert columns[-1] == pytest.approx(left + width, abs=8)
    assert rows[-1] == pytest.approx(150, abs=2)
    assert rows[0] == pytest.approx(150 - 32, abs=3)


@pytest.mark.parametrize("em_px", [8, 30, 60, 70])
def test_letters_do_not_vanish_at_any_size(qapp, em_px):
    """Past 64 pixels Qt draws letters another way than below."""
    scale = em_px / (3.2 / 0.729 * SCALE)
    image = drawn([Text(1, 5, "H", 3.2)], scale)
    assert any(image.pixelColor(x, y).lightness() < 128 for x in range(120) for y in range(120))


def test_detail_falls_with_the_zoom():
    levels = [level_of(scale) for scale in (1.0, 0.3, 0.13, 0.1, 0.05, 0.03, 0.01)]
    assert levels[0] == "near"
    assert levels[-1] == "far"
    order = ["near", "middle", "far"]
    assert [order.index(level) for level in levels] == sorted(
        order.index(level) for level in levels
    )


def test_the_number_under_the_pointer_is_found(qapp):
    sketch = Sketch([Text(10, 10, "load 393 A", 3.2, field="calculated")])
    assert sketch.field_at(QPointF(120, 90)) == "calculated"
    assert sketch.field_at(QPointF(120, 200)) == ""


# colours and marks ----------------------------------------------------------------------------


def luminance(colour):
    """Relative luminance of WCAG 2.2."""
    parts = (colour.redF(), colour.greenF(), colour.blueF())
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(a, b):
    light, low = sorted((luminance(a), luminance(b)), reverse=True)
    return (light + 0.05) / (low + 0.05)


@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
def test_text_and_lines_stand_out_from_the_paper(colours):
    """WCAG 2.2: 4.5 to 1 for text (1.4.3), 3 to 1 for lines that carry meaning (1.4.11)."""
    for layer, colour in colours.layers.items():
        least = 4.5 if layer in ("text", "note", "new", "existing") else 3.0
        assert contrast(colour, colours.paper) >= least, layer
    for name in ("select", "target", "quiet"):
        assert contrast(getattr(colours, name), colours.paper) >= 3.0, name


@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
def test_signs_stand_out_from_their_marks(colours):
    for mark, colour in colours.mark.items():
        assert contrast(colours.on_mark[mark], colour) >= 3.0, mark


def silhouette(mark):
    image = QImage(60, 60, QImage.Format.Format_ARGB32)
    image.fill(Qt.GlobalColor.transparent)
    painter = QPainter(image)
    draw_flag(painter, QPointF(30, 30), 40, mark)
    painter.end()
    return {(x, y) for x in range(60) for y in range(60) if image.pixelColor(x, y).alpha() > 128}


def test_marks_differ_in_shape_and_not_in_colour_alone(qapp):
    shapes = {mark: silhouette(mark) for mark in SEVERITIES}
    for a in SEVERITIES:
        for b in SEVERITIES:
            if a != b:
                apart = len(shapes[a] ^ shapes[b]) / len(shapes[a] | shapes[b])
                assert apart > 0.15, (a, b)


def test_the_gravest_mark_wins():
    assert worst({"advice", "violation", "warning"}) == "violation"
    assert worst({"advice"}) == "advice"
    assert worst(set()) == ""


def test_icons_are_sharp_on_fine_screens(qapp):
    assert not flag_icon("warning").pixmap(16, 16).isNull()
    assert flag_icon("warning").availableSizes()
    assert look() in (LIGHT, DARK)
