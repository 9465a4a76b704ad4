"""Choosing which numbers the drawing writes, and asking how they are worked out."""

import pytest
from gui.conftest import orchard_project
from PySide6.QtCore import QPoint, QSettings, Qt
from PySide6.QtTest import QTest

from ampacre.picture.primitives import Text
from ampacre_gui.badge_menu import remembered_badge

CHOICES = ["Everything", "Load", "Spare Capacity", "Voltage", "Fault Current", "Sizes"]


def choose(window, name):
    """Choose by the keyboard alone: the access key of the entry in the open menu."""
    action = next(each for each in window._badges.actions() if each.text().replace("&", "") == name)
    window._badges.popup(window.canvas.mapToGlobal(window.canvas.rect().center()))
    key = action.text()[action.text().index("&") + 1]
    QTest.keyClick(window._badges, key.lower())
    return action


def written(window):
    items = window.canvas.drawing._items.values()
    return [
        (item, element)
        for item in items
        for element in item.sketch.elements
        if isinstance(element, Text)
    ]


def fields(window):
    return {element.field for _, element in written(window)}


def test_the_menu_has_one_choice_at_a_time(orchard):
    assert [action.text().replace("&", "") for action in orchard._badges.actions()] == CHOICES
    for name in CHOICES:
        chosen = choose(orchard, name)
        assert [action for action in orchard._badges.actions() if action.isChecked()] == [chosen]


@pytest.mark.parametrize(
    ("name", "there", "gone"),
    [
        ("Load", {"calculated", "load"}, {"fault", "drop", "size", "voltage"}),
        ("Spare Capacity", {"spare"}, {"fault", "calculated", "drop", "size"}),
        ("Voltage", {"voltage", "drop"}, {"fault", "calculated", "size"}),
        ("Fault Current", {"fault", "ground fault"}, {"calculated", "drop", "size"}),
        ("Sizes", {"size", "grounding", "device"}, {"fault", "calculated", "drop"}),
        ("Everything", {"size", "fault", "calculated", "drop"}, {"voltage", "spare"}),
    ],
)
def test_a_choice_writes_its_numbers_and_no_others(orchard, name, there, gone):
    choose(orchard, "Load" if name == "Everything" else "Everything")
    choose(orchard, name)
    assert fields(orchard) >= there
    assert not fields(orchard) & gone
    assert "name" in fields(orchard)


def test_a_choice_moves_nothing_and_changes_no_project(orchard):
    drawing, project = orchard.canvas.drawing, orchard.document.project
    laid_out, view = drawing._one_line, orchard.canvas.visible_area()
    cores = {key: item.core for key, item in drawing._items.items() if item.role == "piece"}
    for name in CHOICES:
        choose(orchard, name)
        assert {key: drawing.item(key).core for key in cores} == cores
    assert drawing._one_line is laid_out
    assert orchard.canvas.visible_area() == view
    assert orchard.document.project is project
    assert not orchard.document.history.edits


def test_the_choice_is_remembered(orchard, show):
    choose(orchard, "Fault Current")
    other = show(orchard_project())
    assert other.canvas.drawing.badge == "fault"
    (chosen,) = (action for action in other._badges.actions() if action.isChecked())
    assert chosen.text().replace("&", "") == "Fault Current"


def test_a_choice_of_another_version_is_passed_over(qapp):
    QSettings().setValue("beside each piece", "horoscope")
    assert remembered_badge() == ""


@pytest.mark.parametrize("name", CHOICES[1:])
def test_a_click_on_a_number_opens_its_working(orchard, qtbot, name):
    choose(orchard, name)
    canvas = orchard.canvas
    canvas.zoom_to(100)
    numbers = {}
    for item, element in written(orchard):
        if (element.field not in ("", "name", "spaces", "electrodes") and item.role == "piece") or (
            name == "Sizes" and element.field == "size"
        ):
            numbers.setdefault(element.field, (item, element))
    assert numbers
    for item, element in numbers.values():
        line = next(line for line in item.sketch.lines if line.field == element.field)
        canvas.centerOn(line.box.center())
        point = canvas.mapFromScene(line.box.center())
        with qtbot.waitSignal(canvas.number_wanted):
            QTest.mouseClick(canvas.viewport(), Qt.MouseButton.LeftButton, pos=point)
        shown = orchard.worksheet.toPlainText()
        assert "no working" not in shown, element.text
        figure = element.text.split()
        wanted = next(word for word in figure if word[0].isdigit()).rstrip(",%")
        if element.field in ("fault", "voltage", "spare", "calculated"):
            assert wanted in shown.replace("\xa0", " "), (element.text, shown)


@pytest.mark.parametrize(
    ("field", "title"), [("fault", "Fault current at"), ("calculated", "Load by")]
)
def test_the_working_of_the_number_that_was_clicked_is_at_the_top(orchard, field, title):
    canvas, worksheet = orchard.canvas, orchard.worksheet
    canvas.zoom_to(100)
    pieces = orchard.document.project.equipment.values()
    key = next(piece.id for piece in pieces if piece.name == "S1")
    canvas.bring_to_middle(key)
    line = next(each for each in canvas.drawing.item(key).sketch.lines if each.field == field)
    canvas.centerOn(line.box.center())
    point = canvas.mapFromScene(line.box.center())
    QTest.mouseClick(canvas.viewport(), Qt.MouseButton.LeftButton, pos=point)
    top = worksheet.cursorForPosition(QPoint(8, 14)).block().text()
    assert top.startswith(title)
    orchard.selection.only(next(piece.id for piece in pieces if piece.name == "M1"))
    assert worksheet.verticalScrollBar().value() == 0
