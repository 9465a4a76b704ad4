"""What happens to an open file outside the program: others write to it, or nobody may."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QObject

from ampacre.model.project import Refused
from ampacre.store.file import Unreadable, writable
from ampacre_gui.document import Document
from ampacre_gui.infobar import InfoBar
from ampacre_gui.phrases import filled

__all__ = ["Outside", "why_read_only"]


def why_read_only(path: Path) -> str:
    """Say why a file can't be written where it is, "" where it can or where there is no folder."""
    sentence = ""
    if path.exists() and not writable(path):
        sentence = filled(QCoreApplication.translate("Outside", "%1 is read-only"), path.name)
    elif path.parent.exists() and not writable(path.parent):
        words = QCoreApplication.translate("Outside", "The folder %1 is read-only")
        sentence = filled(words, path.parent.name)
    return sentence


class Outside(QObject):
    """Says on the info bar of a window what became of its file; asks about each version once."""

    def __init__(self, document: Document, bar: InfoBar, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._bar = bar
        self._told = ""
        self._said = ""
        document.file_changed.connect(self._settled)

    def say_if_read_only(self) -> None:
        """Say at opening that the file can't be saved in its place."""
        why = why_read_only(self._document.path) if self._document.path else ""
        if why:
            words = self.tr("%1. Save keeps your changes under another name.")
            self._say(filled(words, why), {})

    def look(self) -> None:
        """Look whether another program wrote to the file meanwhile."""
        now = self._document.changed_outside
        if not now or now == self._told:
            return
        self._told = now
        path = self._document.path
        assert path is not None
        words = self.tr(
            "%1 was changed by another program. Loading the other version can be undone; "
            "keeping yours replaces it with the next save."
        )
        choices = {
            self.tr("Load the Other Version"): self._load,
            self.tr("Keep Mine"): self._document.keep_mine,
        }
        self._say(filled(words, path.name), choices)

    def _load(self) -> None:
        try:
            self._document.load_other()
        except (Unreadable, Refused) as error:
            words = self.tr("The other version could not be loaded; yours is as it was. (%1)")
            self._bar.say(filled(words, error))

    def _say(self, words: str, choices: dict[str, Callable[[], None]]) -> None:
        self._said = words
        self._bar.say(words, choices)

    def _settled(self) -> None:
        """The file was written or read anew: what was said of it no longer holds."""
        if self._said and self._bar.text == self._said:
            self._bar.hide()
        self._said = ""
