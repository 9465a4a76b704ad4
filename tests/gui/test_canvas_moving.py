"""Pulling runs to other panels, gliding to a new layout, and showing the selection alone."""

import pytest
from gui.test_canvas import LEFT, NONE, at, drag, empty_ground, handle_of
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QProxyStyle, QStyle

from ampacre.model.edits import alter, remove


@pytest.fixture
def canvas(window):
    window.canvas.zoom_to(60)
    window.canvas.fit()
    return window.canvas


def run_to(canvas, target):
    return next(run for run in canvas.document.project.runs.values() if run.target == target)


def supply_end(canvas, run):
    """Take the pointer to a run's line, then to the grip where the line starts."""
    middle = canvas.drawing.item(run.id).way.pointAtPercent(0.6)
    QTest.mouseMove(canvas.viewport(), empty_ground(canvas))
    QTest.mouseMove(canvas.viewport(), canvas.mapFromScene(middle))
    return canvas.mapFromScene(canvas.drawing.supply_end.middle(canvas.px_per_unit))


@pytest.fixture
def branched(canvas):
    """With the spare panel fed from P, so that the barn can be fed from either."""
    drag(canvas, handle_of(canvas, "panel"), at(canvas, "spare"))
    canvas.gliding.stop()
    canvas.fit()
    canvas.selection.clear()
    return canvas


def test_pulling_the_supply_end_feeds_the_same_run_from_another_panel(branched):
    canvas, run = branched, run_to(branched, "barn")
    drag(canvas, supply_end(canvas, run), at(canvas, "spare"))
    moved = canvas.document.project.runs[run.id]
    assert (moved.source, moved.target) == ("spare", "barn")
    canvas.document.undo()
    assert canvas.document.project.runs[run.id] == run


def test_what_pulling_would_do_is_shown_before(branched):
    canvas, run = branched, run_to(branched, "barn")
    steps = len(canvas.document.history.edits)
    drag(canvas, supply_end(canvas, run), at(canvas, "spare"), release=False)
    assert canvas.drawing.item("spare").target == "yes"
    assert canvas.ghost.isVisible()
    assert canvas._bubble.text().startswith("Feed Barn from Spare instead of P")
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    assert canvas.drawing.item("spare").target == ""
    assert not canvas.ghost.isVisible()
    assert len(canvas.document.history.edits) == steps


@pytest.mark.parametrize("target", ["barn", "panel", "charger"])
def test_a_supply_end_is_not_hung_where_it_makes_no_sense(branched, target, qtbot):
    canvas, run = branched, run_to(branched, "barn")
    drag(canvas, supply_end(canvas, run), at(canvas, target), release=False)
    assert canvas.drawing.item(target).target == "no"
    with qtbot.waitSignal(canvas.document.trouble):
        QTest.mouseRelease(canvas.viewport(), LEFT, NONE, at(canvas, target))
    assert canvas.document.project.runs[run.id] == run


def test_a_supply_end_let_go_on_empty_ground_stays(branched, qtbot):
    canvas, run = branched, run_to(branched, "barn")
    with qtbot.waitSignal(canvas.document.trouble):
        drag(canvas, supply_end(canvas, run), QPoint(6, canvas.viewport().height() - 6))
    assert canvas.document.project.runs[run.id] == run


def test_every_run_has_its_grip_where_it_leaves_its_source(orchard):
    drawing, project = orchard.canvas.drawing, orchard.document.project
    for run in project.runs.values():
        start, end = drawing.ends_of(run.id)
        source, target = drawing.item(run.source), drawing.item(run.target)
        reach = 20.0
        area = source.core.adjusted(-reach, -reach, reach, reach) | source.bounds
        assert area.contains(start), run.id
        assert start != end or target.role == "piece"


# with the keyboard --------------------------------------------------------------------------------

ALT = Qt.KeyboardModifier.AltModifier


def nudge(canvas, *keys):
    """Hold Alt, press arrows, let go of Alt."""
    for key in keys:
        QTest.keyPress(canvas, key, ALT)
        QTest.keyRelease(canvas, key)
    QTest.keyRelease(canvas, Qt.Key.Key_Alt)


def test_alt_and_arrows_move_what_is_selected_by_steps(canvas):
    history, project = canvas.document.history, canvas.document.project
    canvas.setFocus()
    canvas.selection.set(("meter", "barn"))
    right, down = Qt.Key.Key_Right, Qt.Key.Key_Down
    nudge(canvas, right, right, down)
    # the barn hangs from the meter and comes along
    place = canvas.document.project.placement
    assert set(place) == {"meter"}
    assert (place["meter"].dx_mm, place["meter"].dy_mm) == (5.0, 2.5)
    assert canvas.selection.ids == ("meter", "barn")
    assert [edit.label for edit in history.edits] == ["Move M1"]
    nudge(canvas, Qt.Key.Key_Up, Qt.Key.Key_Left)
    assert canvas.document.project.placement["meter"].dx_mm == 2.5
    assert len(history.edits) == 2
    canvas.document.undo()
    canvas.document.undo()
    assert canvas.document.project == project


def test_steps_there_and_back_leave_nothing_to_undo(canvas):
    canvas.setFocus()
    canvas.selection.only("barn")
    nudge(canvas, Qt.Key.Key_Left, Qt.Key.Key_Right)
    assert not canvas.document.history.edits
    assert not canvas.document.project.placement


def test_steps_need_a_selected_piece_and_the_keys_of_the_drawing(window, canvas):
    nudge(canvas, Qt.Key.Key_Left)
    canvas.selection.only(run_to(canvas, "barn").id)
    nudge(canvas, Qt.Key.Key_Left)
    assert canvas.selection.ids == (run_to(canvas, "barn").id,)
    assert window.commands.why_not(window.commands["move left"]) == "select a piece first"
    canvas.selection.only("barn")
    window.findings.setFocus()
    nudge(QApplication.focusWidget(), Qt.Key.Key_Left)
    assert not canvas.document.project.placement
    window.commands["move left"].trigger()
    assert canvas.document.project.placement["barn"].dx_mm == -2.5


def test_what_is_moved_by_steps_stays_in_view(canvas):
    canvas.setFocus()
    canvas.zoom_to(200)
    canvas.selection.only("barn")
    canvas.bring_to_middle("barn")
    nudge(canvas, *[Qt.Key.Key_Left] * 40)
    assert canvas.visible_area().contains(canvas.drawing.item("barn").core)


# gliding ------------------------------------------------------------------------------------------


def away(canvas):
    """What is shown elsewhere than in its place."""
    return [key for key, item in canvas.drawing._items.items() if not item.off.isNull()]


def removed_charger(canvas):
    """Without the charger the barn has more room and moves."""
    return remove(canvas.document.project, ["charger"])


def test_pieces_glide_to_their_new_places(canvas, qtbot):
    canvas.selection.only("meter")
    barn = canvas.drawing.item("barn")
    stood = QPointF(canvas.mapFromScene(barn.place))
    assert canvas.document.do(removed_charger(canvas))
    assert away(canvas)
    now = QPointF(canvas.mapFromScene(barn.place + barn.off))
    assert (now - stood).manhattanLength() <= 2
    qtbot.waitUntil(lambda: not away(canvas))
    assert not canvas.drawing._away


def test_an_edit_while_pieces_glide_puts_them_in_their_places(canvas):
    assert canvas.document.do(removed_charger(canvas))
    assert away(canvas)
    canvas.document.undo()
    canvas.gliding.stop()
    assert not away(canvas)


def test_a_number_makes_nothing_glide(canvas):
    run = run_to(canvas, "barn")
    assert canvas.document.do(alter(canvas.document.project, "runs", run.id, length_m=50.0))
    assert not away(canvas)


def test_nothing_glides_where_it_is_seen_from_afar(canvas):
    canvas.zoom_to(4)
    canvas.selection.only("meter")
    before = canvas.point_of("meter")
    assert canvas.document.do(removed_charger(canvas))
    assert not away(canvas)
    assert (canvas.point_of("meter") - before).manhattanLength() <= 4


def test_nothing_glides_where_the_desktop_wants_no_motion(canvas):
    class Still(QProxyStyle):
        def styleHint(self, hint, option=None, widget=None, data=None):
            if hint == QStyle.StyleHint.SH_Widget_Animation_Duration:
                return 0
            return super().styleHint(hint, option, widget, data)

    still = Still(QApplication.style().name())
    canvas.setStyle(still)
    assert canvas.document.do(removed_charger(canvas))
    assert not away(canvas)
    canvas.setStyle(None)


@pytest.mark.parametrize("looked_at", ["barn", "meter"])
def test_what_is_looked_at_keeps_its_place_on_the_screen(canvas, looked_at):
    canvas.zoom_to(80)
    canvas.selection.only(looked_at)
    before = canvas.point_of(looked_at)
    for change in (
        removed_charger(canvas),
        alter(
            canvas.document.project, "equipment", "panel", name="A panel with a name of two lines"
        ),
    ):
        assert canvas.document.do(change)
        assert (canvas.point_of(looked_at) - before).manhattanLength() <= 4
        # undo would go to what it puts back
        assert canvas.document.do(change.inverse())
    assert (canvas.point_of(looked_at) - before).manhattanLength() <= 4


def test_with_nothing_selected_the_middle_keeps_its_place(canvas):
    canvas.zoom_to(80)
    key = canvas._kept_in_sight()
    before = canvas.mapFromScene(canvas.drawing.item(key).place)
    assert canvas.document.do(removed_charger(canvas))
    after = canvas.mapFromScene(canvas.drawing.item(key).place)
    assert (after - before).manhattanLength() <= 4


# showing a part -----------------------------------------------------------------------------------


def test_selection_only_fills_the_view_with_it(orchard):
    canvas = orchard.canvas
    key = next(iter(orchard.document.project.equipment))
    canvas.fit()
    canvas.setFocus()
    assert not orchard.commands["fit selection"].isEnabled()
    canvas.selection.only(key)
    QTest.keyClick(canvas, Qt.Key.Key_8, Qt.KeyboardModifier.ControlModifier)
    assert canvas.zoom_pct == pytest.approx(100)
    middle = QPointF(canvas.viewport().rect().center())
    assert (canvas.point_of(key) - middle).manhattanLength() < 120
    canvas.selection.set(orchard.document.project.equipment)
    QTest.keyClick(canvas, Qt.Key.Key_8, Qt.KeyboardModifier.ControlModifier)
    for key in orchard.document.project.equipment:
        assert canvas.visible_area().contains(canvas.drawing.item(key).core)


def test_a_panel_that_is_folded_away_keeps_its_riser_where_it_was(orchard):
    canvas = orchard.canvas
    pieces = orchard.document.project.equipment.values()
    key = next(piece.id for piece in pieces if piece.name == "S1")
    canvas.zoom_to(60)
    canvas.selection.only(key)
    canvas.centerOn(canvas.drawing.port_of(key))

    def riser():
        return canvas.mapFromScene(canvas.drawing.port_of(key)).x()

    before, width = riser(), canvas.drawing.item(key).core.width()
    orchard.commands["fold"].trigger()
    assert canvas.drawing.item(key).core.width() < width
    assert abs(riser() - before) <= 2
    orchard.commands["fold"].trigger()
    assert abs(riser() - before) <= 2


def test_undo_of_what_was_alone_in_view_shows_what_is_left(orchard):
    canvas = orchard.canvas
    canvas.zoom_to(100)
    before = orchard.document.project
    orchard.commands.add_below("panel")
    canvas.bring_to_middle(orchard.selection.current)
    assert not any(canvas.drawing.items_in(canvas.visible_area())[1:])
    orchard.document.undo()
    assert orchard.document.project == before
    canvas.gliding.stop()
    assert canvas.drawing.shows_any_in(canvas.visible_area())
