"""How long the canvas takes at 2,000 pieces. Nothing is asserted of time; run with --benchmark-enable."""

import pytest
from bench.property import make_property
from PySide6.QtWidgets import QApplication

from ampacre.model.edits import alter
from ampacre_gui.canvas.view import View
from ampacre_gui.document import Document
from ampacre_gui.selection import Selection

PIECES = 2000
SCALES = (1.0, 0.45, 0.2, 0.1)


@pytest.fixture(scope="module")
def canvas(qapp, tmp_path_factory):
    patch = pytest.MonkeyPatch()
    unsaved = tmp_path_factory.mktemp("unsaved")
    patch.setattr("ampacre_gui.journaling.place_for_untitled", lambda: unsaved)
    document = Document(make_property(PIECES, seed=1))
    view = View(document, Selection())
    view.resize(1600, 1000)
    view.show()
    QApplication.processEvents()
    yield view
    view.hide()
    document.close()
    patch.undo()


def busiest(canvas):
    """The middle of the cell of the drawing in which most stands."""
    cells = canvas.drawing._cells._cells.values()
    return max(cells, key=lambda cell: len(cell.items)).bounds.center()


def look_at(canvas, scale):
    canvas.zoom_to(100 * scale)
    canvas.centerOn(busiest(canvas))
    canvas.viewport().repaint()


@pytest.mark.parametrize("scale", SCALES)
def test_a_full_repaint(benchmark, canvas, scale):
    look_at(canvas, scale)
    benchmark(canvas.viewport().repaint)
    assert canvas.visible_area().intersects(canvas.drawing.drawn)


def test_a_full_repaint_of_the_whole_drawing(benchmark, canvas):
    canvas.fit()
    canvas.viewport().repaint()
    benchmark(canvas.viewport().repaint)
    assert canvas.visible_area().contains(canvas.drawing.drawn)


def test_forty_steps_of_zoom(benchmark, canvas):
    """Ten times out and in again by steps of a quarter octave; the time is that of all forty."""

    def steps():
        for factor in (0.84,) * 20 + (1 / 0.84,) * 20:
            canvas.zoom_to(canvas.zoom_pct * factor)
            canvas.viewport().repaint()

    look_at(canvas, 1.0)
    steps()
    benchmark(steps)
    assert canvas.zoom_pct == pytest.approx(100, rel=0.05)


def run_in_view(canvas):
    look_at(canvas, 0.45)
    runs = canvas.document.project.runs
    return next(
        item.key for item in canvas.drawing._cells.within(canvas.visible_area()) if item.key in runs
    )


def test_an_edited_number_on_the_canvas(benchmark, canvas):
    """From the published edit to the painted frame; the study itself is not counted."""
    key = run_in_view(canvas)
    study, review = canvas.document.study, canvas.document.review
    plain = canvas.document.project
    versions = [plain.apply(alter(plain, "runs", key, length_m=33.0)), plain]
    turn = iter(range(10**9))

    def edited():
        study.follow(versions[next(turn) % 2])

    def shown():
        canvas.refresh()
        canvas.viewport().repaint()

    edited()
    benchmark.pedantic(shown, setup=edited, rounds=12)
    assert review.study is study
    study.follow(plain)
    canvas.refresh()


def test_a_change_of_selection(benchmark, canvas):
    look_at(canvas, 0.45)
    keys = list(canvas.document.project.equipment)[:2]
    turn = iter(range(10**9))

    def choose():
        canvas.selection.only(keys[next(turn) % 2])

    benchmark(choose)
    assert canvas.drawing._selected <= set(keys)
