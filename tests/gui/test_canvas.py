"""The canvas with a real pointer: clicks, drags, drops, zoom and keys."""

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt
from PySide6.QtGui import (
    QContextMenuEvent,
    QDragEnterEvent,
    QDragMoveEvent,
    QDropEvent,
    QWheelEvent,
)
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from ampacre.picture.primitives import Text
from ampacre_gui.canvas.gestures.band import Band
from ampacre_gui.dragging import KIND
from ampacre_gui.intents import to_add

LEFT, MIDDLE, RIGHT = (
    Qt.MouseButton.LeftButton,
    Qt.MouseButton.MiddleButton,
    Qt.MouseButton.RightButton,
)
NONE, CTRL, SHIFT = (
    Qt.KeyboardModifier.NoModifier,
    Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.ShiftModifier,
)


@pytest.fixture
def canvas(window):
    window.canvas.zoom_to(60)
    window.canvas.fit()
    return window.canvas


def at(canvas, key):
    return canvas.point_of(key).toPoint()


def on_run(canvas, target):
    """A point on the line of the run to a piece, and the run's id."""
    project = canvas.document.project
    run = next(run.id for run in project.runs.values() if run.target == target)
    path = canvas.drawing.item(run).way
    return canvas.mapFromScene(path.pointAtPercent(0.5)), run


def click(canvas, point, modifiers=NONE, button=LEFT):
    QTest.mouseClick(canvas.viewport(), button, modifiers, point)


def drag(canvas, start, end, *, release=True, modifiers=NONE, button=LEFT):
    view = canvas.viewport()
    QTest.mouseMove(view, start)
    QTest.mousePress(view, button, modifiers, start)
    for part in (0.3, 0.7, 1.0):
        QTest.mouseMove(view, (QPointF(start) * (1 - part) + QPointF(end) * part).toPoint())
    if release:
        QTest.mouseRelease(view, button, modifiers, end)


def empty_ground(canvas):
    return QPoint(4, canvas.viewport().height() - 4)


def test_a_click_selects_the_piece_alone(canvas):
    click(canvas, at(canvas, "panel"))
    click(canvas, at(canvas, "barn"))
    assert canvas.selection.ids == ("barn",)


def test_a_click_on_a_line_selects_the_run(canvas):
    point, run = on_run(canvas, "barn")
    click(canvas, point)
    assert canvas.selection.ids == (run,)


def test_a_click_a_few_pixels_beside_a_line_still_selects_it(canvas):
    point, run = on_run(canvas, "meter")
    click(canvas, point + QPoint(-5, 0))
    assert canvas.selection.ids == (run,)


def test_a_click_on_empty_ground_clears(canvas):
    click(canvas, at(canvas, "panel"))
    click(canvas, empty_ground(canvas))
    assert canvas.selection.ids == ()


def test_ctrl_click_toggles_and_shift_click_adds(canvas):
    click(canvas, at(canvas, "panel"))
    click(canvas, at(canvas, "barn"), CTRL)
    click(canvas, at(canvas, "meter"), SHIFT)
    assert canvas.selection.ids == ("panel", "barn", "meter")
    click(canvas, at(canvas, "barn"), CTRL)
    assert canvas.selection.ids == ("panel", "meter")


def test_a_right_click_selects_what_is_under_it_first(canvas, qtbot):
    click(canvas, at(canvas, "barn"), button=RIGHT)
    assert canvas.selection.ids == ("barn",)
    point = at(canvas, "barn")
    event = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, point, canvas.mapToGlobal(point))
    with qtbot.waitSignal(canvas.menu_wanted):
        QApplication.sendEvent(canvas.viewport(), event)
    menu = QApplication.activePopupWidget()
    assert menu is not None
    menu.close()


def menu_by_key(canvas):
    """Where the menu comes up that a key asked for."""
    asked = []
    canvas.menu_wanted.connect(asked.append)
    middle = canvas.viewport().rect().center()
    event = QContextMenuEvent(
        QContextMenuEvent.Reason.Keyboard, middle, canvas.viewport().mapToGlobal(middle)
    )
    QApplication.sendEvent(canvas.viewport(), event)
    QApplication.activePopupWidget().close()
    return canvas.viewport().mapFromGlobal(asked[0])


def test_the_menu_key_opens_the_menu_at_the_selection(canvas):
    middle = canvas.viewport().rect().center()
    assert menu_by_key(canvas) == middle
    canvas.selection.only("barn")
    assert menu_by_key(canvas) == at(canvas, "barn")
    # what is selected out of view has its menu in the middle of what is seen
    canvas.zoom_to(400)
    canvas.centerOn(canvas.drawing.item("utility").core.center() - QPointF(3000, 3000))
    assert not canvas.viewport().rect().contains(at(canvas, "barn"))
    assert menu_by_key(canvas) == middle


def test_a_band_selects_what_lies_in_it(canvas):
    view = canvas.viewport()
    drag(canvas, QPoint(1, view.height() - 2), QPoint(view.width() - 2, 1))
    assert set(canvas.selection.ids) >= set(canvas.document.project.equipment)


def test_escape_gives_a_band_up(canvas):
    click(canvas, at(canvas, "panel"))
    view = canvas.viewport()
    drag(canvas, QPoint(1, view.height() - 2), QPoint(view.width() - 2, 1), release=False)
    assert isinstance(canvas._gesture, Band)
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    assert canvas._gesture is None
    assert canvas.selection.ids == ("panel",)


def test_escape_selects_nothing_on_the_drawing_and_in_the_outline_only(window, canvas):
    for place in (canvas, window.outline):
        place.setFocus()
        canvas.selection.only("barn")
        QTest.keyClick(place, Qt.Key.Key_Escape)
        assert canvas.selection.ids == ()
    canvas.selection.only("barn")
    QTest.keyClick(window.runs.grid, Qt.Key.Key_Escape)
    assert canvas.selection.ids == ("barn",)
    window.outline.setFocus()
    QTest.keyClick(window.outline, Qt.Key.Key_F2)
    QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Escape)
    assert canvas.selection.ids == ("barn",)
    assert QApplication.focusWidget() is window.outline


def test_dragging_a_piece_moves_it_with_what_hangs_from_it(canvas):
    before = {key: canvas.point_of(key) for key in ("panel", "barn", "charger", "meter")}
    start = at(canvas, "panel") + QPoint(0, -6)
    drag(canvas, start, start + QPoint(60, 0))
    placed = canvas.document.project.placement
    assert set(placed) == {"panel"}
    assert placed["panel"].dx_mm > 0
    assert placed["panel"].dy_mm == 0
    moved = {key: canvas.point_of(key).x() - before[key].x() for key in before}
    shift = placed["panel"].dx_mm * 10 * canvas.px_per_unit
    offset = moved["meter"]
    for key in ("panel", "barn", "charger"):
        assert moved[key] - offset == pytest.approx(shift, abs=2)
    canvas.document.undo()
    assert not canvas.document.project.placement


def test_no_grip_stays_behind_while_a_piece_is_moved(canvas):
    start = at(canvas, "barn")
    click(canvas, start)
    grip = canvas.drawing.port_of("barn")
    px = canvas.px_per_unit
    assert canvas.drawing.handle.key_at(grip, px) == "barn"
    drag(canvas, start, start + QPoint(60, 20), release=False)
    assert canvas.drawing.handle.key_at(grip, px) == ""
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    assert canvas.drawing.handle.key_at(grip, px) == "barn"


def test_escape_gives_a_move_up(canvas):
    start = at(canvas, "panel")
    drag(canvas, start, start + QPoint(60, 30), release=False)
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    QTest.mouseRelease(canvas.viewport(), LEFT, NONE, start)
    assert not canvas.document.project.placement
    assert canvas.point_of("panel").toPoint() == start
    assert not canvas.document.history.edits


def test_a_shaky_click_is_no_drag(canvas):
    start = at(canvas, "panel")
    drag(canvas, start, start + QPoint(2, 1))
    assert not canvas.document.project.placement
    assert canvas.selection.ids == ("panel",)


def handle_of(canvas, key):
    # a pointer that rests there since a test before would not move
    QTest.mouseMove(canvas.viewport(), empty_ground(canvas))
    QTest.mouseMove(canvas.viewport(), at(canvas, key))
    return canvas.mapFromScene(canvas.drawing.handle.middle(canvas.px_per_unit))


def test_dragging_the_handle_feeds_another_piece(canvas):
    drag(canvas, handle_of(canvas, "panel"), at(canvas, "spare"))
    feeds = [run.source for run in canvas.document.project.runs.values() if run.target == "spare"]
    assert feeds == ["panel"]


def test_what_will_happen_is_shown_before_the_button_is_let_go(canvas):
    drag(canvas, handle_of(canvas, "panel"), at(canvas, "spare"), release=False)
    assert canvas.drawing.item("spare").target == "yes"
    assert canvas.ghost.isVisible()
    assert canvas._bubble.isVisible()
    assert "Feed Spare from P" in canvas._bubble.text()
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    assert canvas.drawing.item("spare").target == ""
    assert not canvas.ghost.isVisible()
    assert not canvas._bubble.isVisible()
    assert not canvas.document.history.edits


def test_a_run_that_makes_no_sense_lights_up_as_unwelcome_and_is_not_drawn(canvas, qtbot):
    drag(canvas, handle_of(canvas, "barn"), at(canvas, "panel"), release=False)
    assert canvas.drawing.item("panel").target == "no"
    with qtbot.waitSignal(canvas.document.trouble):
        QTest.mouseRelease(canvas.viewport(), LEFT, NONE, at(canvas, "panel"))
    assert not canvas.document.history.edits


def test_loads_have_no_handle(canvas):
    QTest.mouseMove(canvas.viewport(), at(canvas, "charger"))
    assert canvas.drawing.handle.port is None


# dropping from the drawer -------------------------------------------------------------------


def dragged(kind, standing="new"):
    data = QMimeData()
    data.setData(KIND, f"{kind}|{standing}".encode())
    return data


def drop(canvas, data, point, *, let_go=True):
    view = canvas.viewport()
    actions = Qt.DropAction.CopyAction
    enter = QDragEnterEvent(point, actions, data, LEFT, NONE)
    QApplication.sendEvent(view, enter)
    if not enter.isAccepted():
        return False
    move = QDragMoveEvent(point, actions, data, LEFT, NONE)
    QApplication.sendEvent(view, move)
    if let_go:
        QApplication.sendEvent(view, QDropEvent(QPointF(point), actions, data, LEFT, NONE))
    return True


def newest(canvas):
    (key,) = canvas.selection.ids
    return canvas.document.project.equipment[key]


def test_dropping_on_a_piece_feeds_from_it_in_one_step(canvas):
    before = canvas.document.project
    data = dragged("charger")
    assert drop(canvas, data, at(canvas, "barn"))
    piece = newest(canvas)
    (run,) = (run for run in canvas.document.project.runs.values() if run.target == piece.id)
    assert run.source == "barn"
    assert piece.since == "work"
    canvas.document.undo()
    assert canvas.document.project == before


def test_dropping_as_there_already(canvas):
    assert drop(canvas, dragged("load", "existing"), at(canvas, "barn"))
    assert newest(canvas).since is None


def test_dropping_on_a_run_inserts(canvas):
    point, run = on_run(canvas, "barn")
    assert drop(canvas, dragged("disconnect"), point)
    assert canvas.document.project.runs[run].target == newest(canvas).id


def test_dropping_on_empty_ground_starts_a_tree(canvas):
    assert drop(canvas, dragged("utility source"), empty_ground(canvas))
    assert all(run.source != newest(canvas).id for run in canvas.document.project.runs.values())


def test_the_target_lights_up_while_dragging_and_words_say_what_would_happen(canvas):
    data = dragged("charger")
    drop(canvas, data, at(canvas, "barn"), let_go=False)
    assert canvas.drawing.item("barn").target == "yes"
    assert "Add charger C-1 below Barn" in canvas._bubble.text()
    drop(canvas, data, at(canvas, "charger"), let_go=False)
    assert canvas.drawing.item("barn").target == ""
    assert canvas.drawing.item("charger").target == "no"


def test_findings_that_a_drop_would_raise_are_told_before(canvas):
    intent = to_add(canvas.document.study, "generator", "panel")
    _, review = canvas.document.preview(intent.edit)
    before = {finding.key for finding in canvas.document.review.findings}
    grave = [f for f in review.findings if f.severity != "advice" and f.key not in before]
    assert grave
    drop(canvas, dragged("generator"), at(canvas, "panel"), let_go=False)
    assert review.message(grave[0]) in canvas._bubble.text()
    canvas.cancel_gesture()


@pytest.mark.parametrize("pct", [14, 60])
def test_a_drop_keeps_the_zoom_and_shows_what_came_of_it(canvas, pct):
    canvas.zoom_to(pct)
    zoom = canvas.zoom_pct
    drop(canvas, dragged("charger"), at(canvas, "barn"))
    assert canvas.zoom_pct == zoom
    assert canvas.visible_area().contains(canvas.drawing.item(newest(canvas).id).core)


def test_words_say_where_a_piece_goes_that_is_dropped_on_empty_ground(canvas, empty_window):
    drop(canvas, dragged("panel"), empty_ground(canvas), let_go=False)
    assert canvas._bubble.text().startswith("Add panel P-1 beside the rest, fed from nothing yet")
    canvas.cancel_gesture()
    first = empty_window.canvas
    drop(first, dragged("panel"), empty_ground(first), let_go=False)
    assert first._bubble.text().startswith("Add panel P-1, fed from nothing yet")
    first.cancel_gesture()


def test_foreign_things_are_not_taken(canvas):
    data = QMimeData()
    data.setText("panel")
    assert not drop(canvas, data, at(canvas, "panel"))


def test_an_unknown_kind_is_not_taken(canvas):
    assert not drop(canvas, dragged("perpetual motion"), at(canvas, "panel"))


# zoom, pan and keys ---------------------------------------------------------------------------


def wheel(canvas, point, steps, modifiers=CTRL):
    position = QPointF(point)
    event = QWheelEvent(
        position, canvas.viewport().mapToGlobal(position), QPoint(), QPoint(0, 120 * steps),
        Qt.MouseButton.NoButton, modifiers, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(canvas.viewport(), event)


@pytest.mark.parametrize("steps", [1, 3, -2])
def test_ctrl_wheel_zooms_at_the_pointer(canvas, steps):
    canvas.zoom_to(50)
    point = at(canvas, "panel")
    before, zoom = canvas.mapToScene(point), canvas.zoom_pct
    wheel(canvas, point, steps)
    assert (canvas.zoom_pct > zoom) is (steps > 0)
    moved = canvas.mapFromScene(before) - point
    assert abs(moved.x()) <= 2
    assert abs(moved.y()) <= 2


def test_the_wheel_alone_scrolls(canvas):
    canvas.zoom_to(100)
    zoom, place = canvas.zoom_pct, canvas.verticalScrollBar().value()
    wheel(canvas, at(canvas, "panel"), -2, NONE)
    assert canvas.zoom_pct == zoom
    assert canvas.verticalScrollBar().value() > place


def test_the_wheel_with_shift_scrolls_sideways(canvas):
    canvas.zoom_to(150)
    across, down = canvas.horizontalScrollBar(), canvas.verticalScrollBar()
    before = across.value(), down.value()
    wheel(canvas, at(canvas, "panel"), -2, SHIFT)
    assert across.value() > before[0]
    wheel(canvas, at(canvas, "panel"), 2, SHIFT)
    assert (across.value(), down.value()) == before


@pytest.mark.parametrize(("modifiers", "steps"), [(NONE, -3), (CTRL, 8)])
def test_a_resting_pointer_lights_what_the_wheel_brings_under_it(canvas, modifiers, steps):
    canvas.zoom_to(100)
    canvas.bring_to_middle("charger")
    point = at(canvas, "charger")
    for start in (QPoint(5, 5), point):
        QTest.mouseMove(canvas.viewport(), start)
    assert canvas.drawing.item("charger").hovered
    wheel(canvas, point - QPoint(0, 150), steps, modifiers)
    assert canvas.element_at(point) != "charger"
    assert not canvas.drawing.item("charger").hovered


def number_of(canvas, key):
    """Where a number of a piece is written."""
    lines = canvas.drawing.item(key).sketch.lines
    return canvas.mapFromScene(
        next(line for line in lines if line.field not in ("", "name")).box.center()
    )


@pytest.mark.parametrize(("pct", "readable"), [(100, True), (10, False)])
def test_only_a_number_that_can_be_read_offers_its_working(canvas, pct, readable):
    canvas.zoom_to(pct)
    canvas.bring_to_middle("panel")
    canvas.zoom_to(pct)
    told, asked = [], []
    canvas.hint.connect(told.append)
    canvas.number_wanted.connect(asked.append)
    point = number_of(canvas, "panel")
    QTest.mouseMove(canvas.viewport(), point)
    click(canvas, point)
    assert canvas.selection.ids == ("panel",)
    assert bool(asked) is readable
    assert ("Click to see how this number is worked out" in told) is readable


def test_zoom_has_limits(canvas):
    for _ in range(60):
        canvas.zoom_in()
    assert canvas.px_per_unit * 44 <= 62.5
    for _ in range(80):
        canvas.zoom_out()
    drawn = canvas.drawing.drawn
    assert drawn.width() * canvas.px_per_unit > canvas.viewport().width() / 12


def test_fit_shows_everything(orchard):
    canvas = orchard.canvas
    canvas.zoom_to(150)
    canvas.fit()
    assert canvas.visible_area().contains(canvas.drawing.drawn)


def test_middle_button_pans(canvas):
    canvas.zoom_to(150)
    place = canvas.mapToScene(QPoint(100, 100))
    drag(canvas, QPoint(100, 100), QPoint(160, 130), button=MIDDLE)
    assert (canvas.mapFromScene(place) - QPoint(160, 130)).manhattanLength() <= 2
    assert not canvas.document.history.edits


def test_space_and_drag_pans(canvas):
    canvas.zoom_to(150)
    start = at(canvas, "panel")
    place = canvas.mapToScene(start)
    QTest.keyPress(canvas, Qt.Key.Key_Space)
    drag(canvas, start, start + QPoint(40, 20))
    QTest.keyRelease(canvas, Qt.Key.Key_Space)
    assert (canvas.mapFromScene(place) - start - QPoint(40, 20)).manhattanLength() <= 2
    assert not canvas.document.project.placement


def test_arrow_keys_walk_the_network(canvas):
    canvas.selection.only("meter")
    for key, reached in (
        (Qt.Key.Key_Down, "panel"),
        (Qt.Key.Key_Down, "charger"),
        (Qt.Key.Key_Right, "barn"),
        (Qt.Key.Key_Up, "panel"),
        (Qt.Key.Key_Up, "meter"),
        (Qt.Key.Key_Up, "utility"),
        (Qt.Key.Key_Up, "utility"),
    ):
        QTest.keyClick(canvas, key)
        assert canvas.selection.ids == (reached,)


def test_going_to_an_element_brings_it_into_view(orchard):
    canvas = orchard.canvas
    canvas.zoom_to(200)
    for key in canvas.document.project.equipment:
        canvas.selection.go_to(key)
        item = canvas.drawing.item(key)
        assert canvas.visible_area().intersects(item.core), key


def test_folding_hides_what_hangs_below_and_changes_no_project(canvas):
    before = canvas.document.project
    canvas.fold("panel")
    assert canvas.drawing.item("barn") is None
    words = [
        part.text for part in canvas.drawing.item("panel").sketch.elements if isinstance(part, Text)
    ]
    assert "2 not shown" in words
    assert canvas.document.project is before
    canvas.fold("panel")
    assert canvas.drawing.item("barn") is not None


@pytest.mark.parametrize("on", ["plus", "words"])
def test_a_click_on_the_note_of_what_is_not_shown_shows_it(canvas, on):
    canvas.fold("panel")
    canvas.gliding.stop()
    note = next(
        line for line in canvas.drawing.item("panel").sketch.lines if line.field == "folded"
    )
    port = canvas.drawing.port_of("panel")
    spot = note.box.center()
    point = canvas.mapFromScene(QPointF(port.x(), spot.y()) if on == "plus" else spot)
    told = []
    canvas.hint.connect(told.append)
    for place in (QPoint(5, 5), point):
        QTest.mouseMove(canvas.viewport(), place)
    assert "Click to show what hangs below" in told
    click(canvas, point)
    assert canvas.drawing.folded == frozenset()
    assert canvas.drawing.item("barn") is not None
    assert canvas.selection.ids == ("panel",)


def test_flags_follow_the_findings(orchard):
    canvas, review = orchard.canvas, orchard.document.review
    project = orchard.document.project
    marked = {
        key
        for key in (*project.equipment, *project.runs)
        if canvas.drawing.item(key) and canvas.drawing.item(key).mark
    }
    assert marked == {
        f.where for f in review.findings if f.where in project.equipment or f.where in project.runs
    }
    for key in marked:
        assert canvas.drawing.item(key).mark == review.worst(key)


def test_an_edit_leaves_untouched_items_alone(canvas):
    from ampacre.model.edits import alter

    kept = canvas.drawing.item("meter").sketch
    canvas.document.do(alter(canvas.document.project, "equipment", "spare", bus_a=225.0))
    assert canvas.drawing.item("meter").sketch is kept
