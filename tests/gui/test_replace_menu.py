"""Replacing a piece with one of another kind from the menus."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QMenu

from ampacre.model import records as r
from ampacre_gui.replace_menu import ReplaceMenu


def opened(menu):
    menu.aboutToShow.emit()
    return {action.text().replace("&", ""): action for action in menu.actions()}


@pytest.fixture
def menu(window):
    return next(iter(window.menuBar().findChildren(ReplaceMenu)))


def test_a_piece_is_replaced_in_one_step_and_stays_selected(window, menu):
    before = window.document.project
    window.selection.only("barn")
    assert menu.menuAction().isEnabled()
    opened(menu)["disconnect"].trigger()
    after = window.document.project
    assert isinstance(after.equipment["barn"], r.Disconnect)
    assert after.equipment["barn"].name == "Barn"
    assert window.selection.ids == ("barn",)
    assert [edit.label for edit in window.document.history.edits] == [
        "Replace panel Barn with disconnect"
    ]
    window.commands["undo"].trigger()
    assert window.document.project == before


def test_kinds_that_cannot_be_are_greyed_and_say_why(window, menu):
    window.selection.only("panel")
    kinds = opened(menu)
    assert kinds["disconnect"].isEnabled()
    assert not kinds["panel"].isEnabled()
    assert kinds["panel"].toolTip() == "P is a panel already"
    assert not kinds["motor"].isEnabled()
    assert kinds["motor"].toolTip() == "A motor feeds nothing, and P feeds Barn, C1"


def test_only_one_piece_can_be_replaced_at_a_time(window, menu):
    run = next(iter(window.document.project.runs))
    for ids, on in (((), False), ((run,), False), (("panel", "barn"), False), (("barn",), True)):
        window.selection.set(ids)
        assert menu.menuAction().isEnabled() is on


def test_the_context_menu_offers_it_with_keys_alone(window, qtbot):
    window.selection.only("barn")
    context = window.commands.context_menu()
    inner = context.findChild(ReplaceMenu)
    assert isinstance(inner, QMenu)
    inner.popup(window.mapToGlobal(window.rect().center()))
    qtbot.waitUntil(inner.isVisible)
    while inner.activeAction() is None or inner.activeAction().text() != "&junction":
        QTest.keyClick(inner, Qt.Key.Key_Down)
    QTest.keyClick(inner, Qt.Key.Key_Return)
    assert isinstance(window.document.project.equipment["barn"], r.Junction)
    context.close()
