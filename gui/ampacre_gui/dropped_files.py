"""Project files dropped onto a window are opened."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QEvent, QMimeData, QObject, QTimer
from PySide6.QtGui import QDropEvent
from PySide6.QtWidgets import QWidget

from ampacre_gui.filing import ENDING
from ampacre_gui.guard import Guarded

__all__ = ["DroppedFiles", "files_in"]


def files_in(data: QMimeData) -> list[Path]:
    """Give the project files that are carried in a drag."""
    paths = [Path(url.toLocalFile()) for url in data.urls() if url.isLocalFile()]
    return [path for path in paths if path.suffix.lower() == ENDING]


class DroppedFiles(Guarded, QObject):
    """Watches a window for drags that nothing in it takes, and hands their files to `open_all`."""

    def __init__(self, window: QWidget, open_all: Callable[[list[Path]], None]) -> None:
        super().__init__(window)
        self._open_all = open_all
        window.setAcceptDrops(True)
        window.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        kinds = (QEvent.Type.DragEnter, QEvent.Type.DragMove, QEvent.Type.Drop)
        if event.type() not in kinds or not isinstance(event, QDropEvent):
            return False
        paths = files_in(event.mimeData())
        if not paths:
            return False
        event.acceptProposedAction()
        if event.type() == QEvent.Type.Drop:
            # questions that opening may ask must not hold up the program that was dragged from
            QTimer.singleShot(0, self, lambda: self._open_all(paths))
        return True
