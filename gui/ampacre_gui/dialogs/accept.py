"""Asks why a finding is accepted."""

from typing import NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QWidget,
)

from ampacre_gui.dialogs.running import run_dialog
from ampacre_gui.signing import keep_signer, last_signer, today

__all__ = ["AcceptDialog", "Acceptance", "ask_reason"]


class Acceptance(NamedTuple):
    """Why, by whom and on which day (ISO 8601) a finding was accepted."""

    reason: str
    who: str
    when: str


class AcceptDialog(QDialog):
    """The finding in its own words, a reason, and who gives it."""

    def __init__(self, message: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("Accept a Finding"))
        told = QLabel(message)
        told.setWordWrap(True)
        self.reason = QPlainTextEdit()
        self.reason.setTabChangesFocus(True)
        self.reason.setFixedHeight(90)
        self.reason.textChanged.connect(self._look)
        self.who = QLineEdit(last_signer())
        buttons = QDialogButtonBox()
        self._accept = buttons.addButton(
            self.tr("Accept Finding"), QDialogButtonBox.ButtonRole.AcceptRole
        )
        buttons.addButton(QDialogButtonBox.StandardButton.Cancel)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        form = QFormLayout(self)
        form.setContentsMargins(18, 16, 18, 16)
        form.setVerticalSpacing(10)
        form.addRow(told)
        form.addRow(self.tr("Why it is &acceptable"), self.reason)
        form.addRow(self.tr("&Who says so"), self.who)
        form.addRow(buttons)
        form.setLabelAlignment(Qt.AlignmentFlag.AlignLeft)
        self.setMinimumWidth(460)
        self._look()

    def _look(self) -> None:
        there = bool(self.reason.toPlainText().strip())
        self._accept.setEnabled(there)
        self._accept.setToolTip("" if there else self.tr("The sheets print the reason: give one"))

    def told(self) -> Acceptance:
        who = self.who.text().strip()
        keep_signer(who)
        return Acceptance(self.reason.toPlainText().strip(), who, today())


def ask_reason(message: str, parent: QWidget) -> Acceptance | None:
    """Ask; gives None where somebody thought better of it."""
    dialog = AcceptDialog(message, parent)
    return dialog.told() if run_dialog(dialog) else None
