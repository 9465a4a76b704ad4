"""Grips on the drawing hide no words, and can be taken hold of where they are seen."""

import pytest
from gui.test_canvas import LEFT, NONE
from PySide6.QtCore import QPoint, QPointF, QRectF
from PySide6.QtTest import QTest

ZOOMS = [34, 38, 50, 65, 100, 160, 250]


def words_near(drawing, area):
    found = drawing._cells.within(area)
    return [line.box for item in found for line in item.sketch.lines]


def disc_of(grip, px_per_unit):
    middle, radius = grip.middle(px_per_unit), min(9, 47 * px_per_unit) / px_per_unit
    return QRectF(middle - QPointF(radius, radius), middle + QPointF(radius, radius))


@pytest.mark.parametrize("zoom", ZOOMS)
def test_the_grip_of_a_selected_run_hides_no_words(orchard, zoom):
    canvas, drawing = orchard.canvas, orchard.canvas.drawing
    canvas.zoom_to(zoom)
    for run in orchard.document.project.runs:
        orchard.selection.only(run)
        disc = disc_of(drawing.supply_end, canvas.px_per_unit)
        assert not any(box.intersects(disc) for box in words_near(drawing, disc)), run


@pytest.mark.parametrize("zoom", ZOOMS)
def test_the_grip_below_a_selected_piece_hides_no_words(orchard, zoom):
    canvas, drawing = orchard.canvas, orchard.canvas.drawing
    canvas.zoom_to(zoom)
    for piece in orchard.document.project.equipment:
        orchard.selection.only(piece)
        if drawing.handle.key:
            disc = disc_of(drawing.handle, canvas.px_per_unit)
            assert not any(box.intersects(disc) for box in words_near(drawing, disc)), piece


def test_a_grip_that_made_way_is_taken_hold_of_where_it_is(orchard):
    canvas, drawing = orchard.canvas, orchard.canvas.drawing
    pieces = orchard.document.project.equipment.values()
    barn = next(piece for piece in pieces if piece.name == "Press barn")
    canvas.zoom_to(65)
    orchard.selection.go_to(barn.id)
    canvas.bring_to_middle(barn.id)
    grip = canvas.mapFromScene(drawing.handle.middle(canvas.px_per_unit))
    port = canvas.mapFromScene(drawing.port_of(barn.id))
    assert abs(grip.x() - port.x()) > 12
    QTest.mousePress(canvas.viewport(), LEFT, NONE, grip)
    QTest.mouseMove(canvas.viewport(), grip + QPoint(0, 30))
    assert canvas.ghost.isVisible()
    assert "Let go on the piece that this one shall feed" in canvas._bubble.text()
    canvas.cancel_gesture()
    QTest.mouseRelease(canvas.viewport(), LEFT, NONE, grip)


def test_a_grip_beside_a_run_stays_while_the_pointer_goes_to_it(window):
    canvas, drawing = window.canvas, window.canvas.drawing
    canvas.zoom_to(65)
    runs = window.document.project.runs.values()
    run = next(run for run in runs if run.target == "charger")
    canvas.bring_to_middle("charger")
    window.selection.clear()
    line = canvas.mapFromScene(drawing.item(run.id).way.pointAtPercent(0.6))
    QTest.mouseMove(canvas.viewport(), line + QPoint(0, 60))
    QTest.mouseMove(canvas.viewport(), line)
    assert drawing.supply_end.key == run.id
    grip = canvas.mapFromScene(drawing.supply_end.middle(canvas.px_per_unit))
    for part in (0.25, 0.5, 0.75, 1.0):
        QTest.mouseMove(
            canvas.viewport(), (QPointF(line) * (1 - part) + QPointF(grip) * part).toPoint()
        )
        assert drawing.supply_end.key == run.id
    assert drawing.supply_end.key_at(canvas.mapToScene(grip), canvas.px_per_unit) == run.id


def test_a_grip_makes_way_for_words_that_come_to_stand_where_it_is(orchard):
    canvas, drawing = orchard.canvas, orchard.canvas.drawing
    canvas.zoom_to(65)
    for run in orchard.document.project.runs:
        orchard.selection.only(run)
        for badge in ("voltage", ""):
            canvas.show_badge(badge)
            disc = disc_of(drawing.supply_end, canvas.px_per_unit)
            assert not any(box.intersects(disc) for box in words_near(drawing, disc)), run
