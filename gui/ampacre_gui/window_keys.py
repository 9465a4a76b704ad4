"""Lets keys of the window be keys of the window while somebody is typing in a line.

On some desktops Ctrl+D, Ctrl+E and Ctrl+K edit the line: they would delete what stands in a field
where the menu promises another thing.
"""

from PySide6.QtCore import QCoreApplication, QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from ampacre_gui.guard import Guarded

__all__ = ["WindowKeys"]

_KEYS = (Qt.Key.Key_D, Qt.Key.Key_E, Qt.Key.Key_K)


class WindowKeys(Guarded, QObject):
    """A filter for lines of text that leaves these keys to the window's commands."""

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() != QEvent.Type.ShortcutOverride or not isinstance(event, QKeyEvent):
            return False
        control = event.modifiers() == Qt.KeyboardModifier.ControlModifier
        if control and event.key() in _KEYS:
            event.ignore()
            return True
        return False

    @staticmethod
    def prevail_in(line: QWidget) -> None:
        """Have the window's keys go before those of a line of text."""
        application = QCoreApplication.instance()
        found = application.findChild(WindowKeys) if application else None
        line.installEventFilter(found or WindowKeys(application))
