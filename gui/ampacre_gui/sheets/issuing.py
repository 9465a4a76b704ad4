"""Handing a set in: asks for its date and note, then keeps it and records it in the project."""

from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import QDate, Qt
from PySide6.QtWidgets import (
    QDateEdit,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLabel,
    QLineEdit,
    QWidget,
)

from ampacre.model.project import Edit, Project
from ampacre.store.file import NotSaved, encode, write
from ampacre.store.issued import issue_edit, kept_path, kept_sheets, next_number
from ampacre_gui.document import Document

__all__ = ["IssueDialog", "Issuing"]

_LONGEST_NOTE = 200


class IssueDialog(QDialog):
    """Says what will be kept and where, and how many violations are open."""

    def __init__(
        self, path: Path, number: int, date: QDate, open_words: str, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("Issue set %1").replace("%1", str(number)))
        told = QLabel(
            self.tr("Its sheets are kept as %1 and its project as %2, beside the file.")
            .replace("%1", kept_sheets(path, number).name)
            .replace("%2", kept_path(path, number).name)
        )
        told.setWordWrap(True)
        violations = QLabel(open_words)
        violations.setWordWrap(True)
        self.date = QDateEdit(date)
        self.date.setDisplayFormat("yyyy-MM-dd")
        self.date.setCalendarPopup(True)
        self.note = QLineEdit()
        self.note.setMaxLength(_LONGEST_NOTE)
        self.note.setPlaceholderText(self.tr("what it is handed in for"))
        buttons = QDialogButtonBox()
        buttons.addButton(self.tr("Issue Set"), QDialogButtonBox.ButtonRole.AcceptRole)
        buttons.addButton(QDialogButtonBox.StandardButton.Cancel)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        form = QFormLayout(self)
        form.setContentsMargins(18, 16, 18, 16)
        form.setVerticalSpacing(10)
        form.addRow(told)
        form.addRow(violations)
        form.addRow(self.tr("&Date"), self.date)
        form.addRow(self.tr("&Note"), self.note)
        form.addRow(buttons)
        form.setLabelAlignment(Qt.AlignmentFlag.AlignLeft)
        self.setMinimumWidth(460)
        self.note.setFocus()

    @property
    def date_text(self) -> str:
        return self.date.date().toString(Qt.DateFormat.ISODate)


class Issuing(NamedTuple):
    """A set on its way out: the project it is made from, and the edit that records it."""

    path: Path
    number: int
    before: Project
    edit: Edit

    @classmethod
    def of(cls, document: Document, date: str, note: str) -> "Issuing":
        assert document.path is not None
        number = next_number(document.path, document.project)
        edit = issue_edit(document.project, number, date, note)
        return cls(document.path, number, document.project, edit)

    @property
    def after(self) -> Project:
        """The project with the set recorded: its sheets bear the number."""
        return self.before.apply(self.edit)

    def still_of(self, document: Document) -> bool:
        """Whether the document is as it was when the set was begun."""
        return document.path == self.path and document.project == self.before

    def keep(self, document: Document) -> None:
        """Record the set, once its sheets are written. Raises NotSaved; then nothing is recorded."""
        kept = kept_path(self.path, self.number)
        write(encode(self.after), kept)
        document.make(self.edit)
        try:
            document.save()
        except NotSaved:
            document.undo()
            kept.unlink(missing_ok=True)
            raise
