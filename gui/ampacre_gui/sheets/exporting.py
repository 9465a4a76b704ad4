"""Exporting a set: asks where to, has it written there, and says what became of it."""

from pathlib import Path

from ampacre.sheets.making import Job
from ampacre_gui.filing import open_outside
from ampacre_gui.phrases import filled
from ampacre_gui.sheets.forms import Form
from ampacre_gui.sheets.places import ask_for_file, ask_for_folder, may_replace
from ampacre_gui.sheets.putting_out import PuttingOut

__all__ = ["Exporting"]


class Exporting(PuttingOut):
    """Nothing begins where nobody says where to."""

    def start(self, job: Job, form: Form, name: str, project: Path | None) -> None:
        """Ask where a set goes, and write it there in a form.

        `name` and the folder where the `project` is kept are what is suggested.
        """
        if form.many:
            folder = ask_for_folder(form, project, self._window)
            if folder is not None:
                self._write(job, form, folder, name)
        else:
            file = ask_for_file(form, name, project, self._window)
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
            self.written.emit(words, show_folder)
        else:
            opening = {self.tr("Open"): lambda: open_outside(first)}
            self.written.emit(filled(self.tr("Written: %1"), first), opening | show_folder)
