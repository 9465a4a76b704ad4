"""Runs dialogs, and lets go of them afterwards."""

from PySide6.QtWidgets import QDialog

__all__ = ["run_dialog"]


def run_dialog(dialog: QDialog) -> bool:
    """Run a dialog; tells whether it was accepted. It can still be read in the same turn."""
    # as a child of its window it would live, and follow the document, as long as that does
    accepted = bool(dialog.exec())
    dialog.deleteLater()
    return accepted
