"""Commands that bring a panel to the front, so that the list of commands (Ctrl+K) has them."""

from functools import partial

from PySide6.QtCore import QCoreApplication
from PySide6.QtGui import QAction

from ampacre_gui.commands import Commands
from ampacre_gui.docks import Docks
from ampacre_gui.phrases import filled

__all__ = ["add_panel_commands"]

_HAVE_ONE = {"drawer", "details", "worksheet", "runs", "circuits"}
"""Panels that another command leads to."""


def add_panel_commands(docks: Docks, commands: Commands) -> None:
    """Add a command for each panel, called as the panel is."""
    for name in docks:
        if name in _HAVE_ONE:
            continue
        action = commands.add(f"panel {name}", "", partial(docks.go_to, name), "")
        _call(action, docks[name].windowTitle())
        docks[name].windowTitleChanged.connect(partial(_call, action))


def _call(action: QAction, title: str) -> None:
    words = QCoreApplication.translate("PanelCommands", "Show Panel: %1")
    action.setText(filled(words, title))
