"""Keeps the journal of an open document: begun with the first edit, synced off the GUI thread."""

import contextlib
import secrets
from pathlib import Path
from threading import Thread

from PySide6.QtCore import QLockFile, QObject, QStandardPaths, QTimer, Signal

from ampacre.model.project import Edit, Project
from ampacre.store.file import digest, encode, save
from ampacre.store.journal import Journal, beside
from ampacre_gui.locks import hold, is_held

__all__ = ["Journaling", "left_untitled", "place_for_untitled"]

_SYNC_MS = 700


def place_for_untitled() -> Path:
    """Give the folder in which projects without a file keep their journals."""
    kind = QStandardPaths.StandardLocation.AppLocalDataLocation
    return Path(QStandardPaths.writableLocation(kind)) / "unsaved"


def left_untitled() -> list[Path]:
    """Journals of projects that were never saved and never closed, oldest first."""
    left = [path for path in place_for_untitled().glob("*.journal") if not is_held(path)]
    return sorted(left, key=lambda path: path.stat().st_mtime)


class Journaling(QObject):
    """The journal of one document, of which `data` are the file's bytes (b"" if untitled)."""

    trouble = Signal(str)

    def __init__(self, data: bytes, path: Path | None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._data = data
        self._path = path
        self._journal: Journal | None = None
        self._told = ""
        self._closed = False
        self._lock: QLockFile | None = None
        self._timer = QTimer(self, singleShot=True, interval=_SYNC_MS)
        self._timer.timeout.connect(self._sync_aside)

    @property
    def digest(self) -> str:
        """The digest of the file as it was when it was read or written last."""
        return digest(self._data)

    def start_over(self, data: bytes) -> None:
        """Forget what was kept: the project is as the file is, which now holds `data`."""
        self._timer.stop()
        if self._journal is not None:
            self._journal.discard()
            self._journal = None
        self._data = data

    def resume(self, journal: Path) -> None:
        """Go on with a journal whose edits were recovered. Raises OSError."""
        self._journal = Journal.resume(journal)
        if self._path is None:
            self._lock = hold(journal)

    def write(self, before: Project, edit: Edit) -> None:
        """Add an edit that was applied to the project `before`."""
        if self._closed:
            return
        if self._journal is None:
            self._journal = self._begun(before)
        self._journal.write(edit)
        self._timer.start()
        if self._journal.trouble != self._told:
            self._told = self._journal.trouble
            if self._told:
                self.trouble.emit(self._told)

    def _begun(self, before: Project) -> Journal:
        if self._path is not None:
            return Journal.start(beside(self._path), self._data)
        folder = place_for_untitled()
        with contextlib.suppress(OSError):
            # where there can be no folder, the journal says itself that it keeps nothing
            folder.mkdir(parents=True, exist_ok=True)
        place = folder / f"{secrets.token_hex(6)}.journal"
        self._lock = hold(place)
        return Journal.start(place, encode(before), untitled=True)

    def save(self, project: Project, path: Path) -> None:
        """Write the project to its file. Raises NotSaved."""
        if self._journal is None:
            save(project, path)
        else:
            self._journal.save(project, path)
        self._path, self._data = path, encode(project)
        # where the next edit can't be kept either, that is told anew
        self._told = ""
        self._let_go()

    def sync(self) -> None:
        """Make what is kept last through a power cut before anything else happens."""
        self._timer.stop()
        if self._journal is not None:
            self._journal.sync()

    def close(self) -> None:
        """Delete the journal: all is saved, or the changes are given up."""
        self._timer.stop()
        self._closed = True
        if self._journal is not None:
            self._journal.discard()
            self._journal = None
        self._let_go()

    def _let_go(self) -> None:
        """Unlock the journal of a project without a file."""
        if self._lock is not None:
            self._lock.unlock()
            self._lock = None

    def _sync_aside(self) -> None:
        if self._journal is not None:
            Thread(target=self._journal.sync, daemon=True).start()
