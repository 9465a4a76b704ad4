"""What exporting and issuing share: a set is written, and a window is told what became of it."""

from pathlib import Path

from PySide6.QtCore import QCoreApplication, QObject, Signal
from PySide6.QtWidgets import QWidget

from ampacre_gui.phrases import filled
from ampacre_gui.sheets.writing import Writing

__all__ = ["PuttingOut"]


class PuttingOut(QObject):
    """One set at a time, on its way from a window into files."""

    begun = Signal()
    told = Signal(object)
    """Chapters or Made: how far it is."""
    written = Signal(str, object)
    """What was put where, in words, and buttons for it."""
    failed = Signal(str)
    """Why nothing was, "" where somebody thought better of it."""

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

    def _written(self, paths: list[Path]) -> None:
        """Say what became of the files, which are there now."""
        raise NotImplementedError

    def _not_written(self, why: str) -> None:
        words = QCoreApplication.translate("PuttingOut", "Nothing was written: %1.")
        self.failed.emit(filled(words, why) if why else "")
