"""Writes a set to files: beside their place first, and into it when all of them are complete."""

import os
import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path

from msgspec.structs import replace
from PySide6.QtCore import QObject, Signal

from ampacre.sheets.making import Files, Job
from ampacre_gui.phrases import filled
from ampacre_gui.sheets.forms import Form
from ampacre_gui.sheets.maker import Maker

__all__ = ["Writing"]

Confirm = Callable[[list[Path]], bool]


class Writing(QObject):
    """One export at a time. What fails or is called off leaves every file as it was."""

    begun = Signal()
    told = Signal(object)
    """Chapters or Made: how far it is."""
    done = Signal(object)
    """The paths of the files, in a list."""
    failed = Signal(str)
    """Why nothing was written, in words; "" where somebody thought better of it."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._maker = Maker(self)
        self._maker.told.connect(self.told)
        self._maker.done.connect(self._put_in_place)
        self._maker.failed.connect(self._give_up)
        self._scratch: Path | None = None
        self._folder = Path()
        self._may_replace: Confirm = lambda _: True

    @property
    def busy(self) -> bool:
        return self._maker.busy

    def start(self, job: Job, form: Form, folder: Path, name: str, may_replace: Confirm) -> None:
        """Write to a folder; `may_replace` is asked about files that are there already."""
        self.stop()
        self._folder, self._may_replace = folder, may_replace
        try:
            self._scratch = Path(tempfile.mkdtemp(prefix=".ampacre-", dir=folder))
        except OSError as error:
            words = self.tr("%1 cannot be written to: %2")
            self.failed.emit(filled(words, folder, error.strerror or error))
            return
        self._maker.start(replace(job, target=str(form.path_in(self._scratch, name))))
        if self.busy:
            self.begun.emit()

    def stop(self) -> None:
        """Call off what is being written; nothing of it stays."""
        self._maker.stop()
        self._clear()

    def _clear(self) -> None:
        scratch, self._scratch = self._scratch, None
        if scratch is not None:
            shutil.rmtree(scratch, ignore_errors=True)

    def _give_up(self, why: str) -> None:
        self._clear()
        self.failed.emit(why)

    def _put_in_place(self, files: Files) -> None:
        places = {Path(made): self._folder / Path(made).name for made in files.paths}
        there = [place for place in places.values() if place.exists()]
        if there and not self._may_replace(there):
            self._give_up("")
            return
        try:
            for made, place in places.items():
                # a link stays a link
                os.replace(made, os.path.realpath(place))  # noqa: PTH105 - one step everywhere
        except OSError as error:
            words = self.tr("%1 could not be written: %2")
            self._give_up(filled(words, place.name, error.strerror or error))
            return
        self._clear()
        self.done.emit(list(places.values()))
