"""Dialogs in which every field is entered at once: Enter there must press no button."""

from PySide6.QtWidgets import QDialog, QDialogButtonBox, QPushButton, QTabWidget

__all__ = ["close_button", "press_nothing_on_enter", "tabs_of"]


def tabs_of(dialog: QDialog) -> QTabWidget:
    """Give the tabs that fill such a dialog, called as it is."""
    tabs = QTabWidget()
    tabs.setDocumentMode(True)
    # a screen reader is told of the bar, which the focus is handed on to
    for named in (tabs, tabs.tabBar()):
        named.setAccessibleName(dialog.windowTitle())
    return tabs


def close_button(dialog: QDialog) -> QDialogButtonBox:
    """Give the row with the button that closes such a dialog."""
    buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
    buttons.rejected.connect(dialog.reject)
    return buttons


def press_nothing_on_enter(dialog: QDialog) -> None:
    """Take the habit of dialogs from all buttons, which are pressed with the space bar."""
    for button in dialog.findChildren(QPushButton):
        button.setAutoDefault(False)
        button.setDefault(False)
