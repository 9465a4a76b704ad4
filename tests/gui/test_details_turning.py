"""The details of one element after another: the page that stays shows what a new one does."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox, QLabel, QLineEdit

from ampacre.model.edits import alter
from ampacre_gui.panels.details import Details
from ampacre_gui.selection import Selection


def page_of(details):
    """All words on the page that are shown, and what may be chosen."""
    page, said = details.widget(), []
    for kind in (QLabel, QLineEdit, QComboBox):
        for widget in page.findChildren(kind):
            # Qt's own line of a list is told with the list
            if not widget.isVisibleTo(page) or isinstance(widget.parent(), QComboBox):
                continue
            words = widget.currentText() if kind is QComboBox else widget.text()
            choices = (
                [widget.itemText(i) for i in range(widget.count())] if kind is QComboBox else []
            )
            said.append((kind.__name__, widget.accessibleName(), words, widget.toolTip(), choices))
    return sorted(said)


def test_each_element_is_shown_as_on_a_page_of_its_own(orchard, qapp):
    document, selection = orchard.document, orchard.selection
    for key in sorted([*document.project.equipment, *document.project.runs]):
        selection.only(key)
        qapp.processEvents()
        other = Selection()
        other.only(key)
        alone = Details(document, other)
        assert page_of(orchard.details) == page_of(alone), key
        alone.deleteLater()


def field(details, name):
    return next(field for field in details.fields if field.spec.name == name)


@pytest.mark.parametrize(("name", "wrong"), [("bus_a", "horses"), ("name", "x" * 5000)])
def test_what_was_not_taken_is_left_behind(window, name, wrong):
    details, selection = window.details, window.selection
    selection.only("panel")
    editor = field(details, name).editor
    editor.setFocus()
    editor.setMaxLength(100_000)
    editor.selectAll()
    QTest.keyClicks(editor, wrong[:40])
    editor.setText(wrong)
    QTest.keyClick(editor, Qt.Key.Key_Return)
    assert field(details, name).reason
    selection.only("barn")
    assert not field(details, name).reason
    assert field(details, name).editor.text() == {"bus_a": "100 A", "name": "Barn"}[name]
    selection.only("panel")
    assert field(details, name).editor.text() == {"bus_a": "200 A", "name": "P"}[name]


def test_an_entry_goes_to_the_element_that_is_shown_now(window):
    details, document = window.details, window.document
    window.selection.only("panel")
    window.selection.only("barn")
    editor = field(details, "bus_a").editor
    editor.setFocus()
    editor.selectAll()
    QTest.keyClicks(editor, "125")
    QTest.keyClick(editor, Qt.Key.Key_Return)
    assert document.project.equipment["barn"].bus_a == 125.0
    assert document.project.equipment["panel"].bus_a == 200.0
    assert document.history.peek_undo().label == "Change bus rating of Barn"
    details.work.choice.entered.emit("existing")
    assert document.project.equipment["panel"].since == "work"


def test_what_may_be_chosen_is_that_of_the_element_shown_now(window):
    details, document = window.details, window.document
    runs = {run.target: run.id for run in document.project.runs.values()}
    document.do(alter(document.project, "runs", runs["barn"], name="West"))
    document.do(alter(document.project, "runs", runs["charger"], name="East"))
    told = {}
    for target in ("barn", "charger"):
        window.selection.only(runs[target])
        if not details._all:
            details._more.click()
        box = field(details, "neutral_with").editor
        told[target] = {box.itemText(place) for place in range(1, box.count())}
    assert told == {"barn": {"East"}, "charger": {"West"}}
