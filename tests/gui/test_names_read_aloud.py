"""All that the keyboard reaches has a name that a screen reader can say."""

from pathlib import Path

import pytest
from PySide6.QtCore import QDate, Qt
from PySide6.QtWidgets import (
    QAbstractScrollArea,
    QDockWidget,
    QLabel,
    QPushButton,
    QTabBar,
    QTabWidget,
    QWidget,
)
from sheets_windows import drawn

from ampacre_gui.dialogs.about import CautionsDialog
from ampacre_gui.dialogs.accept import AcceptDialog
from ampacre_gui.dialogs.feed_from import FeedFromDialog
from ampacre_gui.dialogs.keys import KeysDialog
from ampacre_gui.dialogs.lists import ListsDialog
from ampacre_gui.dialogs.panel_help import PanelHelpDialog
from ampacre_gui.dialogs.properties import PropertiesDialog
from ampacre_gui.dialogs.templates import TemplateDialog
from ampacre_gui.sheets.issuing import IssueDialog

DIALOGS = {
    "properties": lambda w: PropertiesDialog(w.document, w),
    "lists": lambda w: ListsDialog(w.document, w),
    "keys": lambda w: KeysDialog(w.commands.all(), w),
    "panel help": lambda w: PanelHelpDialog("details", "Details", w),
    "cautions": lambda w: CautionsDialog("About", "Close", w),
    "accept": lambda w: AcceptDialog("It is too small.", w),
    "templates": TemplateDialog,
    "feed from": lambda w: FeedFromDialog(w.document, next(iter(w.document.project.equipment)), w),
    "issue": lambda w: IssueDialog(Path("farm.ampacre"), 1, QDate(2026, 3, 1), "Nothing open.", w),
}


def nameless(root):
    """What the focus can go to, and nobody could say what it is."""
    named_by_labels = {label.buddy() for label in root.findChildren(QLabel) if label.text()}
    return [
        f"{widget.metaObject().className()} in {_around(widget, root)}"
        for widget in root.findChildren(QWidget)
        if widget.focusPolicy() != Qt.FocusPolicy.NoFocus
        and not widget.accessibleName()
        and not str(widget.property("text") or "").strip()
        and widget not in named_by_labels
        and not _is_nothing_by_itself(widget)
    ]


def _is_nothing_by_itself(widget):
    """Whether it says nothing now, or is a part of a control that stands for it."""
    around = widget.parentWidget()
    if isinstance(widget, QLabel):
        return not widget.text()
    if isinstance(widget, QTabBar):
        return widget.count() == 0
    if isinstance(around, QAbstractScrollArea) and around.viewport() is widget:
        return True
    return around.metaObject().className() == "QComboBoxPrivateContainer"


def _around(widget, root):
    names = []
    while widget is not root:
        widget = widget.parentWidget()
        names.append(f"{widget.metaObject().className()} {widget.objectName()}".strip())
    return ", ".join(names)


def test_a_nameless_control_is_found(qtbot):
    root = QWidget()
    qtbot.addWidget(root)
    QPushButton("Named", root)
    assert not nameless(root)
    QPushButton(root)
    assert nameless(root) == ["QPushButton in QWidget"]


@pytest.mark.parametrize("piece", ["S1", "C3"])
def test_all_of_the_window_has_names(orchard, piece):
    pieces = orchard.document.project.equipment.values()
    orchard.selection.only(next(each.id for each in pieces if each.name == piece))
    for dock in orchard.findChildren(QDockWidget):
        dock.show()
        dock.raise_()
        dock.widget().setFocus()
    orchard.selection.only(next(iter(orchard.document.project.runs)))
    orchard.find_bar.come()
    orchard.command_finder.come()
    assert not nameless(orchard)


@pytest.mark.parametrize("name", DIALOGS)
def test_all_of_a_dialog_has_names(orchard, qtbot, name):
    dialog = DIALOGS[name](orchard)
    qtbot.addWidget(dialog)
    dialog.show()
    for tabs in dialog.findChildren(QTabWidget):
        for at in range(tabs.count()):
            tabs.setCurrentIndex(at)
    assert not nameless(dialog)


def test_all_of_the_sheets_window_has_names(orchard, qtbot):
    orchard.commands["sheets"].trigger()
    drawn(orchard, qtbot)
    assert not nameless(orchard.files.sheets)
    orchard.files.sheets.close()
