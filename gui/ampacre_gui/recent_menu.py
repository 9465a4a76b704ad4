"""The menu of files opened lately."""

from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QMenu, QWidget

from ampacre_gui.recent import forget_all, recent_files

__all__ = ["RecentMenu"]


class RecentMenu(QMenu):
    """Filled whenever it is opened; files that are gone are greyed."""

    chosen = Signal(Path)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setTitle(self.tr("Open &Recent"))
        self.setToolTipsVisible(True)
        self.aboutToShow.connect(self._fill)

    def _fill(self) -> None:
        self.clear()
        files = recent_files()
        for path in files:
            action = self.addAction(path.name.replace("&", "&&"))
            action.setToolTip(str(path))
            action.setEnabled(path.exists())
            action.triggered.connect(lambda _=False, path=path: self.chosen.emit(path))
        self.addSeparator()
        clear = self.addAction(self.tr("&Clear List"))
        clear.setEnabled(bool(files))
        clear.triggered.connect(forget_all)
