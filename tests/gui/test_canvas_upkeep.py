"""The canvas after edits: it shows what a new canvas would, and nothing is left of what was."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PySide6.QtCore import QPoint, QRect
from strategies import histories

from ampacre.model.edits import alter, place, remove
from ampacre.model.records import Charger
from ampacre.rules.review import Review
from ampacre.sheets.badges import BADGES
from ampacre.study.study import Study
from ampacre_gui.canvas.scene import Scene


def shown(scene):
    """All that a scene shows, item by item."""
    return {
        key: (item._figure, item.mark, item.role, item.bounds) for key, item in scene._items.items()
    }


def fresh(study, review, badge=""):
    scene = Scene()
    scene.badge = badge
    scene.show_study(study, review)
    return scene


@settings(max_examples=40)
@given(histories(), st.sampled_from(BADGES))
def test_after_any_edits_the_canvas_shows_what_a_new_one_does(qapp, history, badge):
    first, steps = history
    study = Study(first)
    review = Review(study)
    scene = fresh(study, review, badge)
    for _, project in steps:
        study.follow(project)
        review.follow(study)
        scene.show_study(study, review)
        assert shown(scene) == shown(fresh(study, review, badge))
        for item in scene._items.values():
            assert item in list(scene._cells.within(item.bounds))


@pytest.fixture
def painted(monkeypatch):
    """Parts of the scene that were asked to be painted again."""
    parts = []
    plain = Scene.update
    monkeypatch.setattr(Scene, "update", lambda self, rect: (parts.append(rect), plain(self, rect)))
    return parts


def test_a_number_is_redrawn_where_it_stands_and_nowhere_else(orchard, painted):
    canvas, project = orchard.canvas, orchard.document.project
    key = next(key for key, piece in project.equipment.items() if isinstance(piece, Charger))
    sketches = {key: item.sketch for key, item in canvas.drawing._items.items()}
    laid_out = canvas.drawing._one_line
    painted.clear()
    assert orchard.document.do(alter(project, "equipment", key, model="charger of another make"))
    assert canvas.drawing._one_line is laid_out
    again = {key for key, item in canvas.drawing._items.items() if item.sketch is not sketches[key]}
    assert len(again) <= 2
    assert len(painted) <= 6


def test_choosing_another_element_touches_only_the_two(orchard, painted):
    canvas = orchard.canvas
    one, other = list(orchard.document.project.equipment)[:2]
    canvas.selection.only(one)
    canvas.drawing.offer_handle("")
    painted.clear()
    canvas.drawing.select([other])
    bounds = {
        tuple(item.bounds.center().toTuple()) for item in map(canvas.drawing.item, (one, other))
    }
    assert {tuple(rect.center().toTuple()) for rect in painted} == bounds


def on_screen(canvas, qapp):
    """What the screen shows of the canvas; nothing is painted for it that was not asked for."""
    canvas.gliding.stop()
    qapp.processEvents()
    window, view = canvas.window(), canvas.viewport()
    whole = window.screen().grabWindow(window.winId()).toImage()
    return whole.copy(QRect(view.mapTo(window, QPoint()), view.size()))


def edits_of(project):
    """One edit of each sort that draws something in another place or another way."""
    piece = next(key for key, piece in project.equipment.items() if isinstance(piece, Charger))
    run = next(key for key, run in project.runs.items() if run.target == piece)
    yield alter(project, "equipment", piece, nameplate_a=80.0, setting_a=80.0)
    yield alter(project, "runs", run, length_m=900.0)
    yield alter(project, "equipment", piece, name="A charger with a long name of its own")
    yield place(project, piece, 60.0, 25.0)
    yield remove(project, [piece])


@pytest.mark.parametrize("zoom", [4, 14, 28, 60])
def test_undo_leaves_no_stray_pixel(orchard, qapp, zoom):
    canvas, document = orchard.canvas, orchard.document
    orchard.overview.want(False)
    piece = next(
        key for key, piece in document.project.equipment.items() if isinstance(piece, Charger)
    )
    canvas.zoom_to(zoom)
    feed = next(run for run in document.project.runs.values() if run.target == piece)
    canvas.centerOn(canvas.drawing.item(piece).core.center())
    canvas.selection.only(feed.source)
    before = on_screen(canvas, qapp)
    for edit in edits_of(document.project):
        assert document.do(edit)
        changed = on_screen(canvas, qapp)
        document.undo()
        # from very far a name is too small to be seen
        assert changed != before or zoom < 10, edit.label
        after = on_screen(canvas, qapp)
        strays = [
            (x, y)
            for x in range(after.width())
            for y in range(after.height())
            if after.pixel(x, y) != before.pixel(x, y)
        ]
        assert strays == [], edit.label


@pytest.mark.parametrize("zoom", [4, 14, 28, 60])
def test_what_is_painted_in_part_equals_what_is_painted_whole(orchard, qapp, zoom):
    canvas, drawing = orchard.canvas, orchard.canvas.drawing
    orchard.overview.want(False)
    canvas.zoom_to(zoom)
    canvas.centerOn(drawing.drawn.center())
    keys = [*orchard.document.project.equipment, *orchard.document.project.runs]
    for key in keys[::3]:
        canvas.selection.set([key])
        drawing.hover(keys[0])
        drawing.mark_target(keys[-1])
        on_screen(canvas, qapp)
        drawing.mark_target("")
    parts = on_screen(canvas, qapp)
    canvas.viewport().update()
    assert on_screen(canvas, qapp) == parts
