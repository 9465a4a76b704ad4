"""The pointer of the desktop for a program that is at work."""

from collections.abc import Iterator
from contextlib import contextmanager

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication

__all__ = ["busy"]


@contextmanager
def busy() -> Iterator[None]:
    """Show that the program is at work and takes nothing in for a moment."""
    QGuiApplication.setOverrideCursor(Qt.CursorShape.WaitCursor)
    try:
        yield
    finally:
        QGuiApplication.restoreOverrideCursor()
