"""Exporting a set: asks where to, has it written there, and says what became of it."""

from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from ampacre.sheets.making import Job
from ampacre_gui.filing import open_outside
from ampacre_gui.phrases import filled
from ampacre_gui.sheets.forms import Form
from ampacre_gui.sheets.places import ask_for_file, ask_for_folder, may_replace
from ampacre_gui.sheets.writing import Writing

__all__ = ["Exporting"]


class Exporting(QObject):
    """One export at a time; nothing begins where nobody says where to."""

    begun = Signal()
    told = Signal(object)
    """Chapters or Made: how far it is."""
    ended = Signal(str, object)
    """What became of it in words, "" where somebody thought better of it; and buttons for them."""

    def __init__(self, window: QWidget) -> None:
        super().__init__(window)
        self._window = window
        self._writing = Writing(self)
        self._writing.begun.connect(self.begun)
        self._writing.told.connect(self.told)
        self._writing.done.connect(self._written)
        self._writing.failed.connect(self._not_written)

    @property
    def busy(self) -> bool:
        return self._writing.busy

    def stop(self) -> None:
        """Call off what is being written; nothing of it stays."""
        self._writing.stop()

    def start(self, job: Job, form: Form, name: str) -> None:
        """Ask where a set goes, and write it there in a form; `name` is what is suggested."""
        if form.many:
            folder = ask_for_folder(form, self._window)
            if folder is not None:
                self._write(job, form, folder, name)
        else:
            file = ask_for_file(form, name, self._window)
            if file is not None:
                self._write(job, form, file.parent, file.stem, asked=file)

    def _write(
        self, job: Job, form: Form, folder: Path, name: str, asked: Path | None = None
    ) -> None:
        # where one file is asked for, it was asked then whether it may be replaced
        def confirm(there: list[Path]) -> bool:
            return there == [asked] or may_replace(there, self._window)

        self._writing.start(job, form, folder, name, confirm)

    def _written(self, paths: list[Path]) -> None:
        first = paths[0]
        show_folder = {self.tr("Show Folder"): lambda: open_outside(first.parent)}
        if len(paths) > 1:
            words = filled(self.tr("%1 files written to %2"), len(paths), first.parent)
            self.ended.emit(words, show_folder)
        else:
            opening = {self.tr("Open"): lambda: open_outside(first)}
            self.ended.emit(filled(self.tr("Written: %1"), first), opening | show_folder)

    def _not_written(self, why: str) -> None:
        self.ended.emit(filled(self.tr("Nothing was written: %1."), why) if why else "", {})
