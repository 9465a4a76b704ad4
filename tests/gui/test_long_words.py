"""Words that are longer than a panel is wide, and names that look like markup."""

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel, QLineEdit


def line(window, name):
    lines = window.details.findChildren(QLineEdit)
    return next(line for line in lines if line.accessibleName().startswith(name))


def enter(window, name, text):
    field = line(window, name)
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, text)
    QTest.keyClick(field, Qt.Key.Key_Return)


def room(window):
    area = window.details.findChild(QLabel).parentWidget()
    while area.parentWidget() is not window.details.viewport():
        area = area.parentWidget()
    return area.width(), window.details.viewport().width()


def test_a_refused_number_makes_details_no_wider(window, qtbot):
    window.selection.only("panel")
    enter(window, "Bus rating", "1" + "0" * 60)
    qtbot.waitUntil(lambda: any("not understood" in label.text() for label in labels(window)))
    width, given = room(window)
    assert width <= given


def test_a_long_name_makes_details_no_wider(window, qtbot):
    window.selection.only("panel")
    enter(window, "Name", "X" * 120)
    assert window.document.project.equipment["panel"].name == "X" * 120
    for key in ("panel", "barn"):
        window.selection.only(key)
        qtbot.waitUntil(lambda: any("X" * 10 in label.text() for label in labels(window)))
        width, given = room(window)
        assert width <= given


def test_a_name_is_shown_as_it_was_typed(window):
    window.selection.only("panel")
    enter(window, "Name", "<b>A</b>")
    head = next(label for label in labels(window) if label.text() == "<b>A</b>")
    assert head.textFormat() == Qt.TextFormat.PlainText


def labels(window):
    return window.details.findChildren(QLabel)
