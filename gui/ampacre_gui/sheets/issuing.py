"""Handing a set in: asks for its date and note, then keeps it and records it in the project."""

from pathlib import Path
from typing import NamedTuple

from msgspec.structs import replace
from PySide6.QtCore import QDate, Qt, Signal
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLabel,
    QLineEdit,
    QWidget,
)

from ampacre.model.project import Edit, Project
from ampacre.sheets.making import Job
from ampacre.store.file import NotSaved, encode, write
from ampacre.store.issued import issue_edit, kept_path, kept_sheets, next_number
from ampacre_gui.dialogs.running import run_dialog
from ampacre_gui.document import Document
from ampacre_gui.filing import open_outside, save
from ampacre_gui.phrases import filled
from ampacre_gui.sheets.day_edit import DayEdit
from ampacre_gui.sheets.forms import PDF
from ampacre_gui.sheets.places import may_replace
from ampacre_gui.sheets.putting_out import PuttingOut

__all__ = ["IssueDialog", "Issuing"]

_LONGEST_NOTE = 200


class IssueDialog(QDialog):
    """Says what will be kept and where, and how many violations are open."""

    def __init__(
        self, path: Path, number: int, date: QDate, open_words: str, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(filled(self.tr("Issue Set %1"), number))
        words = self.tr("Its sheets are kept as %1 and its project as %2, beside the file.")
        told = QLabel(filled(words, kept_sheets(path, number).name, kept_path(path, number).name))
        told.setWordWrap(True)
        violations = QLabel(open_words)
        violations.setWordWrap(True)
        self.date = DayEdit(date)
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


class Issuing(PuttingOut):
    """Numbers a set, has its sheets written beside the file, and then records it."""

    issued = Signal()
    """The set is kept, and the project says so."""

    def __init__(self, document: Document, window: QWidget) -> None:
        super().__init__(window)
        self._document = document
        self._set: _Set | None = None

    def start(self, job: Job, date: QDate, open_words: str) -> None:
        """Ask for date and note, and issue the set; `job` makes its sheets, but for what is asked.

        `open_words` say what is open in the project.
        """
        document = self._document
        if (document.path is None or document.modified) and not save(document, self._window):
            return
        path = document.path
        assert path is not None
        number = next_number(path, document.project)
        dialog = IssueDialog(path, number, date, open_words, self._window)
        if not run_dialog(dialog):
            return
        date_text, note = dialog.date.iso, dialog.note.text().strip()
        edit = issue_edit(document.project, number, date_text, note)
        self._set = _Set(path, number, document.project, edit)
        self._writing.start(
            replace(job, project=encode(self._set.after), date=date_text),
            PDF, path.parent, kept_sheets(path, number).stem,
            lambda there: may_replace(there, self._window),
        )  # fmt: skip

    def _written(self, paths: list[Path]) -> None:
        begun, (sheets,) = self._set, paths
        assert begun is not None
        why = ""
        if not begun.still_of(self._document):
            why = self.tr("the project was changed meanwhile; issue it as it is now")
        else:
            try:
                begun.keep(self._document)
            except NotSaved as error:
                why = str(error)
        if why:
            sheets.unlink(missing_ok=True)
            self.failed.emit(filled(self.tr("The set was not issued: %1."), why))
            return
        words = self.tr("Set %1 is issued: its sheets are kept as %2.")
        self.written.emit(filled(words, begun.number, sheets.name), {
            self.tr("Open"): lambda: open_outside(sheets),
            self.tr("Show Folder"): lambda: open_outside(sheets.parent),
        })  # fmt: skip
        self.issued.emit()


class _Set(NamedTuple):
    """A set on its way out: the project it is made from, and the edit that records it."""

    path: Path
    number: int
    before: Project
    edit: Edit

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
