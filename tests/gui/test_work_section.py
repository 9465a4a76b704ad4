"""What an element is to the work, and what stood in its place, said in the details."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from ampacre.model import records as r
from ampacre.model.edits import alter, put
from ampacre.model.standing import work_of
from ampacre_gui.panels.editors import SEVERAL


@pytest.fixture
def details(window):
    return window.details


def piece(window, key):
    return window.document.project.equipment[key]


def press(details, words):
    button = next(button for button in details.work.buttons if button.text() == words)
    assert button.isVisibleTo(details)
    button.setFocus()
    QTest.keyClick(button, Qt.Key.Key_Space)


def offered(details):
    return [button.text() for button in details.work.buttons if button.isVisibleTo(details)]


def before_field(details, name):
    return next(field for field in details.work.before.fields if field.spec.name == name)


def choose(details, work):
    """Go to a word by the keyboard, as somebody does who never opens the list."""
    choice = details.work.choice
    choice.setFocus()
    for key in [Qt.Key.Key_Up] * 2 + [Qt.Key.Key_Down] * ["existing", "new", "removed"].index(work):
        QTest.keyClick(details.work.choice, key)


@pytest.mark.parametrize("work", ["existing", "new", "removed"])
@pytest.mark.parametrize("key", ["barn", "charger"])
def test_the_work_is_chosen_in_a_word(window, details, key, work):
    window.selection.only(key)
    choose(details, work)
    assert work_of(piece(window, key)) == work
    assert details.work.choice.currentText() == work
    assert details._what.text().endswith(work)


def test_several_are_marked_in_one_step(window, details):
    window.selection.set(("barn", "charger"))
    assert details.work.choice.placeholderText() == SEVERAL
    assert details.work.choice.currentIndex() == -1
    choice = details.work.choice
    choice.setCurrentIndex(choice.findData("removed"))
    choice.activated.emit(choice.currentIndex())
    assert {work_of(piece(window, key)) for key in ("barn", "charger")} == {"removed"}
    assert len(window.document.history.edits) == 1


def test_a_replacement_keeps_what_was_there_and_takes_new_values(window, details):
    window.selection.only("barn")
    assert offered(details) == ["Replace What Is There Now"]
    press(details, "Replace What Is There Now")
    assert piece(window, "barn").was == r.Panel(id="barn", name="Barn", bus_a=100.0)
    assert before_field(details, "bus_a").editor.text() == "100 A"
    bus = next(one for one in details.fields if one.spec.name == "bus_a").editor
    bus.setFocus()
    bus.selectAll()
    QTest.keyClicks(bus, "200")
    QTest.keyClick(bus, Qt.Key.Key_Return)
    assert (piece(window, "barn").bus_a, piece(window, "barn").was.bus_a) == (200.0, 100.0)
    assert details._what.text() == "panel \u00b7 reused"


def test_what_stood_here_is_entered_for_a_new_piece(window, details):
    window.selection.only("panel")
    press(details, "Something Stood Here Before")
    bus = before_field(details, "bus_a").editor
    assert bus.placeholderText() == "not known (A)"
    bus.setFocus()
    QTest.keyClicks(bus, "60 A")
    QTest.keyClick(bus, Qt.Key.Key_Return)
    assert piece(window, "panel").was.bus_a == 60.0
    assert piece(window, "panel").bus_a == 200.0
    label = window.document.history.peek_undo().label
    assert label == "Change bus rating before the work of P"


def test_the_page_stays_where_it_is_when_more_is_asked(window, details, qtbot):
    window.selection.only("panel")
    bar = details.verticalScrollBar()
    before = details.work.buttons[1]
    qtbot.waitUntil(lambda: before.height() == before.sizeHint().height() and bar.maximum() > 0)
    details.ensureWidgetVisible(before)
    at = bar.value()
    press(details, "Something Stood Here Before")
    qtbot.waitUntil(lambda: bar.value() == at)
    assert bar.maximum() > at


def test_the_main_device_of_before_is_put_in_and_filled(window, details):
    window.selection.only("panel")
    press(details, "Something Stood Here Before")
    part = next(part for part in details.work.before.parts if part.path == ("main",))
    assert not part.box.isChecked()
    part.box.click()
    assert piece(window, "panel").was.main == r.Device()
    rating = before_field(details, "main.rating_a").editor
    rating.setFocus()
    QTest.keyClicks(rating, "60")
    QTest.keyClick(rating, Qt.Key.Key_Return)
    assert piece(window, "panel").was.main.rating_a == 60.0
    assert piece(window, "panel").main.rating_a == 200.0


def test_nothing_stood_here_after_all(window, details):
    window.selection.only("panel")
    before = window.document.project
    press(details, "Something Stood Here Before")
    assert offered(details) == ["Nothing Stood Here Before"]
    press(details, "Nothing Stood Here Before")
    assert window.document.project == before
    assert details.work.before is None


def test_a_wrong_entry_of_before_is_refused_at_its_field(window, details):
    window.selection.only("panel")
    press(details, "Something Stood Here Before")
    bus = before_field(details, "bus_a")
    bus.editor.setFocus()
    QTest.keyClicks(bus.editor, "much")
    QTest.keyClick(bus.editor, Qt.Key.Key_Return)
    assert bus.reason
    assert bus.editor.text() == "much"
    assert piece(window, "panel").was.bus_a is None


def test_a_run_says_what_lay_there_before(window, details):
    run = next(run for run in window.document.project.runs.values() if run.target == "barn")
    window.selection.only(run.id)
    press(details, "Something Stood Here Before")
    size = before_field(details, "conductors.size").editor
    size.setFocus()
    size.setCurrentIndex(size.findData("6"))
    size.activated.emit(size.currentIndex())
    after = window.document.project.runs[run.id]
    assert (after.was.conductors.size, after.conductors.size) == ("6", None)
    assert (after.was.source, after.was.spaces) == (run.source, run.spaces)


def test_fields_of_before_say_so_to_those_who_hear_them(window, details):
    window.selection.only("panel")
    press(details, "Something Stood Here Before")
    for one in details.work.before.fields:
        assert one.editor.accessibleName().startswith("Before: ")


def test_stages_are_asked_for_where_there_are_several(window, details):
    window.selection.only("panel")
    assert "since" not in [one.spec.name for one in details.fields]
    window.document.do(put("", "stages", r.Stage(id="later", name="Next year", order=1)))
    since = next(one for one in details.fields if one.spec.name == "since")
    assert since.isVisibleTo(details)
    since.editor.setCurrentIndex(since.editor.findData("later"))
    since.editor.activated.emit(since.editor.currentIndex())
    assert piece(window, "panel").since == "later"


def test_what_is_reused_is_said_of_a_removed_piece(window, details):
    window.selection.only("spare")
    assert "reuses" not in [one.spec.name for one in details.fields]
    window.selection.only("barn")
    choose(details, "removed")
    window.selection.only("spare")
    reuses = next(one for one in details.fields if one.spec.name == "reuses")
    assert reuses.isVisibleTo(details)
    reuses.editor.setCurrentIndex(reuses.editor.findData("barn"))
    reuses.editor.activated.emit(reuses.editor.currentIndex())
    assert details.work.choice.currentText() == "reused"


def test_nobody_can_choose_reused_without_saying_of_what(window, details):
    window.selection.only("spare")
    choice = details.work.choice
    choice.setFocus()
    assert choice.currentText() == "new"
    QTest.keyClick(choice, Qt.Key.Key_Down)
    assert choice.currentText() == "removed"
    assert not choice.model().item(choice.findData("reused")).isEnabled()


def left_open(window, name):
    """Take the sizes out of the run to a piece, so that the program chooses them."""
    document = window.document
    run = next(
        run
        for run in document.project.runs.values()
        if document.project.equipment[run.target].name == name
    )
    document.do(alter(document.project, "runs", run.id, conductors=r.Conductors()))
    return document.project.runs[run.id]


def test_a_new_run_that_is_there_now_keeps_what_was_chosen_for_it(orchard):
    document, run = orchard.document, left_open(orchard, "C2")
    chosen = document.study.run(run.id).size
    assert chosen.how == "chosen"
    orchard.selection.only(run.id)
    choose(orchard.details, "existing")
    assert document.project.runs[run.id].conductors.size == chosen.value
    assert document.history.peek_undo().label == "Mark the run to C2 as existing"
    orchard.commands["undo"].trigger()
    assert document.project.runs[run.id] == run


def test_chosen_values_are_kept_on_request(orchard):
    document, run = orchard.document, left_open(orchard, "C2")
    orchard.selection.only(run.id)
    orchard.commands["keep choices"].trigger()
    assert document.project.runs[run.id].conductors.size is not None
    assert document.history.peek_undo().label == "Keep what was chosen for the run to C2"
    said = []
    document.trouble.connect(said.append)
    orchard.commands["keep choices"].trigger()
    assert said == ["Nothing there was chosen by the program"]
    assert len(document.history.edits) == 2
