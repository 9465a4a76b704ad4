"""Runs dialogs, and lets go of them afterwards."""

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QDialog

__all__ = ["run_dialog"]

_FRAME = QSize(16, 48)
"""What the desktop's frame and title take of a screen, with some air."""


def run_dialog(dialog: QDialog) -> bool:
    """Run a dialog; tells whether it was accepted. It can still be read in the same turn."""
    # on a small screen its buttons would lie below the edge
    room = dialog.screen().availableSize() - _FRAME
    if dialog.size().boundedTo(room) != dialog.size():
        dialog.resize(dialog.size().boundedTo(room))
    # as a child of its window it would live, and follow the document, as long as that does
    accepted = bool(dialog.exec())
    dialog.deleteLater()
    return accepted
