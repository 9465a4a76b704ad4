"""Lists of parts in the details, as a dwelling's appliances: typed through, added, taken away."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from ampacre.model import records as r
from ampacre.model.edits import put


@pytest.fixture
def appliances(window):
    window.activateWindow()
    window.document.do(put("", "equipment", r.DwellingLoad(id="house", name="House")))
    window.selection.only("house")
    QApplication.processEvents()
    return next(f for f in window.details.fields if f.spec.name == "appliances").editor


def entered(window):
    return window.document.project.equipment["house"].appliances


def press_add(appliances):
    appliances._add_button.setFocus()
    QTest.keyClick(appliances._add_button, Qt.Key.Key_Space)
    QApplication.processEvents()


def type_on(words):
    for word in words:
        QTest.keyClicks(QApplication.focusWidget(), word)
        QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
        QApplication.processEvents()


def test_one_that_is_added_waits_for_what_it_is(appliances):
    press_add(appliances)
    assert QApplication.focusWidget() is appliances.rows[0].editors["kind"]
    press_add(appliances)
    assert QApplication.focusWidget() is appliances.rows[1].editors["kind"]


def test_tab_goes_on_to_the_next_field_after_an_entry(window, appliances):
    press_add(appliances)
    type_on(["dryer", "Dryer", "5.5 kVA"])
    assert QApplication.focusWidget() is appliances.rows[0].editors["full_load_a"]
    assert entered(window) == (r.Appliance(kind="dryer", name="Dryer", va=5500.0),)


def test_what_was_not_understood_stays_when_another_field_is_entered(window, appliances):
    press_add(appliances)
    type_on(["", "", "lots"])
    row = appliances.rows[0]
    row.editors["name"].setFocus()
    type_on(["Range"])
    assert row.editors["va"].text() == "lots"
    assert entered(window) == (r.Appliance(kind="cooking", name="Range"),)


def test_undo_is_seen_in_the_row(window, appliances):
    press_add(appliances)
    type_on(["", "Range"])
    window.document.undo()
    QApplication.processEvents()
    assert appliances.rows[0].editors["name"].text() == ""


def test_taking_one_away_leaves_the_others_as_they_are(window, appliances):
    for name in ("Range", "Oven"):
        press_add(appliances)
        type_on(["", name])
    QTest.mouseClick(appliances.rows[0]._remove, Qt.MouseButton.LeftButton)
    QApplication.processEvents()
    assert [row.editors["name"].text() for row in appliances.rows] == ["Oven"]
    assert [each.name for each in entered(window)] == ["Oven"]


def test_a_row_has_room_in_the_panel_at_its_usual_width(window, appliances):
    press_add(appliances)
    QApplication.processEvents()
    room = window.details.viewport().width()
    assert appliances.rows[0].minimumSizeHint().width() < room
    assert window.details.horizontalScrollBar().maximum() == 0
