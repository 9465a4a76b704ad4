"""Text can be read on its ground in the light and the dark look: 4.5 to 1, and 3 to 1 for edges.

The ratio is that of the Web Content Accessibility Guidelines 2.2, success criteria 1.4.3 and 1.4.11.
"""

import re

import pytest
from PySide6.QtGui import QColor, QPalette

from ampacre_gui.look import DARK, LIGHT, look
from ampacre_gui.style import style_sheet

ROLE = QPalette.ColorRole


def luminance(colour):
    def linear(part):
        return part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4

    red, green, blue = (linear(part()) for part in (colour.redF, colour.greenF, colour.blueF))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    bright, dim = sorted((luminance(one), luminance(other)), reverse=True)
    return (bright + 0.05) / (dim + 0.05)


def light_palette():
    return QPalette(QColor("#efefef"))


def dark_palette():
    palette = QPalette(QColor("#323232"))
    for role in (ROLE.WindowText, ROLE.Text, ROLE.ButtonText):
        palette.setColor(role, QColor("#f0f0f0"))
    palette.setColor(ROLE.Base, QColor("#242424"))
    return palette


@pytest.fixture(params=[light_palette, dark_palette], ids=["light", "dark"])
def palette(request, qapp):
    before = qapp.palette()
    qapp.setPalette(request.param())
    yield qapp.palette()
    qapp.setPalette(before)


def rules():
    """Give each rule of the style sheet as selectors and the colours it sets."""
    for selectors, body in re.findall(r"([^{}]+)\{([^{}]*)\}", style_sheet()):
        colours = dict(re.findall(r"([a-z-]+):[^;]*?(#[0-9a-f]{6})", body))
        yield selectors.strip(), colours


def test_the_looks_follow_the_palette(palette):
    dark = palette.color(ROLE.Window).lightness() < 128
    assert look() is (DARK if dark else LIGHT)


def test_every_text_of_the_style_sheet_can_be_read(palette):
    grounds = [palette.color(ROLE.Window), palette.color(ROLE.Base)]
    seen = 0
    for selectors, colours in rules():
        if "disabled" in selectors:
            continue
        own = colours.get("background")
        for name in ("color", "placeholder-text-color"):
            for ground in [QColor(own)] if own else grounds:
                if name in colours:
                    ratio = contrast(QColor(colours[name]), ground)
                    assert ratio >= 4.5, (selectors, name, ground.name(), ratio)
                    seen += 1
        if "selection-color" in colours:
            marked = QColor(colours["selection-background-color"])
            assert contrast(QColor(colours["selection-color"]), marked) >= 4.5, selectors
            seen += 1
    assert seen > 10


def test_text_on_tinted_grounds_can_be_read(palette):
    text = palette.color(ROLE.WindowText)
    for selectors, colours in rules():
        if "background" in colours and "::handle" not in selectors and "separator" not in selectors:
            assert contrast(text, QColor(colours["background"])) >= 4.5, selectors


def test_words_in_colours_of_their_own_can_be_read(palette):
    colours = look()
    for ground in (palette.color(ROLE.Window), palette.color(ROLE.Base)):
        for ink in (colours.quiet, colours.link, colours.layers["flag"]):
            assert contrast(ink, ground) >= 4.5, (ink.name(), ground.name())


def test_fields_and_marks_stand_out(palette):
    window, base = palette.color(ROLE.Window), palette.color(ROLE.Base)
    (field,) = (
        c
        for s, c in rules()
        if s.startswith("QLineEdit, QComboBox") and "border" in c and "focus" not in s
    )
    assert contrast(QColor(field["border"]), window) >= 3
    assert contrast(QColor(field["border"]), base) >= 3
    box = dict(rules())["QCheckBox::indicator, QListWidget::indicator"]
    assert contrast(QColor(box["border"]), window) >= 3
    assert contrast(QColor(box["border"]), base) >= 3
    colours = look()
    for mark, ground in colours.mark.items():
        assert contrast(colours.on_mark[mark], ground) >= 3, mark


@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
def test_the_drawing_can_be_read(colours):
    for layer, ink in colours.layers.items():
        assert contrast(ink, colours.paper) >= 4.5, layer
    for ink in (colours.select, colours.target):
        assert contrast(ink, colours.paper) >= 3
