"""Questions that have to be answered before work goes on, and messages that have to be read."""

from typing import Final

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QMessageBox, QWidget

from ampacre_gui.dialogs.running import run_dialog

__all__ = ["DO", "DROP", "ELSE", "STAY", "ask", "show_problem"]

DO: Final = QMessageBox.ButtonRole.AcceptRole
DROP: Final = QMessageBox.ButtonRole.DestructiveRole
ELSE: Final = QMessageBox.ButtonRole.ActionRole
STAY: Final = QMessageBox.ButtonRole.RejectRole
"""What an answer means, by which a desktop puts the buttons in its own order."""


def ask(
    parent: QWidget | None, what: str, why: str, *answers: tuple[str, QMessageBox.ButtonRole]
) -> int:
    """Give the number of the answer chosen. Enter means the one to `DO`, Escape the last."""
    box = _box(QMessageBox.Icon.Question, parent, what, why)
    buttons = [box.addButton(*answer) for answer in answers]
    roles = [role for _, role in answers]
    box.setDefaultButton(buttons[roles.index(DO)])
    box.setEscapeButton(buttons[-1])
    run_dialog(box)
    # nothing is clicked where the box was closed
    clicked = (at for at, button in enumerate(buttons) if box.clickedButton() is button)
    return next(clicked, len(buttons) - 1)


def show_problem(parent: QWidget | None, what: str, why: str) -> None:
    """Say what could not be done, and why."""
    box = _box(QMessageBox.Icon.Warning, parent, what, why)
    box.addButton(QCoreApplication.translate("Questions", "&Close"), DO)
    run_dialog(box)


def _box(icon: QMessageBox.Icon, parent: QWidget | None, what: str, why: str) -> QMessageBox:
    box = QMessageBox(icon, "Ampacre", what, QMessageBox.StandardButton.NoButton, parent)
    box.setInformativeText(why)
    return box
