"""The small map of the whole drawing."""

import pytest
from gui.conftest import orchard_project
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest

from ampacre.model.edits import remove
from ampacre_gui.look import look

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def overview(orchard, qtbot):
    orchard.resize(1600, 1000)
    orchard.canvas.zoom_to(100)
    qtbot.waitUntil(orchard.overview.isVisible)
    return orchard.overview


def test_it_hides_itself_where_everything_is_in_view(orchard, overview, qtbot):
    orchard.canvas.fit()
    qtbot.waitUntil(overview.isHidden)
    orchard.canvas.zoom_to(150)
    qtbot.waitUntil(overview.isVisible)


def test_the_frame_shows_what_is_in_view(orchard, overview):
    canvas, drawn = orchard.canvas, orchard.canvas.drawing.drawn
    canvas.centerOn(drawn.center())
    frame, middle = overview.frame(), QPointF(overview.rect().center())
    assert (frame.center() - middle).manhattanLength() < 4
    seen = canvas.visible_area()
    assert frame.width() / frame.height() == pytest.approx(seen.width() / seen.height(), rel=0.1)
    canvas.centerOn(drawn.topLeft())
    assert overview.frame().center().x() < middle.x()


def test_dragging_in_it_moves_the_view(orchard, overview):
    canvas, drawn = orchard.canvas, orchard.canvas.drawing.drawn
    middle = overview.rect().center()
    QTest.mousePress(overview, LEFT, pos=middle)
    assert (canvas.visible_area().center() - drawn.center()).manhattanLength() < 300
    QTest.mouseMove(overview, middle + QPoint(30, 0))
    QTest.mouseRelease(overview, LEFT, pos=middle + QPoint(30, 0))
    assert canvas.visible_area().center().x() > drawn.center().x() + 300
    assert canvas.selection.ids == ()


def test_arrow_keys_move_the_view(orchard, overview):
    overview.setFocus()
    before = orchard.canvas.visible_area().center()
    QTest.keyClick(overview, Qt.Key.Key_Right)
    assert orchard.canvas.visible_area().center().x() > before.x()
    QTest.keyClick(overview, Qt.Key.Key_Up)
    assert orchard.canvas.visible_area().center().y() < before.y()


def test_it_can_be_switched_off_and_stays_off(orchard, overview, qtbot, show):
    view = next(menu for menu in orchard.menuBar().actions() if menu.text() == "&View").menu()
    toggle = next(each for each in view.actions() if each.text() == "Overview &Map")
    assert toggle.isChecked()
    toggle.trigger()
    qtbot.waitUntil(overview.isHidden)
    other = show(orchard_project())
    other.canvas.zoom_to(150)
    assert not other.overview.wanted
    toggle.trigger()
    qtbot.waitUntil(overview.isVisible)


def test_findings_can_be_seen_on_it(orchard, overview):
    marks = {item.mark for item in orchard.canvas.drawing._items.values() if item.role == "piece"}
    assert "violation" in marks
    wanted = look().mark["violation"]
    picture = overview.grab().toImage()
    assert any(
        abs(colour.hue() - wanted.hue()) < 12 and colour.saturation() > 120
        for x in range(picture.width())
        for y in range(picture.height())
        for colour in [picture.pixelColor(x, y)]
    )


def test_what_glided_to_a_new_place_is_on_it(orchard, overview, qtbot):
    canvas = orchard.canvas
    panel = next(
        piece.id
        for piece in orchard.document.project.equipment.values()
        if piece.name == "Press barn"
    )
    canvas.bring_to_middle(panel)
    orchard.document.do(remove(orchard.document.project, [panel]))
    qtbot.waitUntil(lambda: canvas.gliding.under_way)
    overview.grab()
    qtbot.waitUntil(lambda: not canvas.gliding.under_way)
    followed = overview.grab().toImage()
    overview._picture = None
    assert overview.grab().toImage() == followed


def test_nothing_below_it_is_lit_while_the_pointer_is_on_it(orchard, overview):
    canvas = orchard.canvas
    key = next(iter(orchard.document.project.equipment))
    canvas.bring_to_middle(key)
    for place in (QPoint(5, 5), canvas.point_of(key).toPoint()):
        QTest.mouseMove(canvas.viewport(), place)
    assert canvas.drawing.item(key).hovered
    QTest.mouseMove(overview, overview.rect().center())
    assert not canvas.drawing.item(key).hovered
    canvas.zoom_to(120)
    assert not canvas.drawing.item(key).hovered
