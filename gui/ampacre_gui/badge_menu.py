"""The menu that chooses which numbers the drawing writes beside pieces and runs."""

from PySide6.QtCore import QSettings, Signal
from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import QMenu, QWidget

from ampacre.sheets.badges import BADGES, Badge

__all__ = ["BadgeMenu", "remembered_badge"]

_KEY = "beside each piece"


def remembered_badge() -> Badge:
    """Give the choice of last time; what settings of another version hold is passed over."""
    kept = QSettings().value(_KEY, "")
    return next((badge for badge in BADGES if badge == kept), "")


class BadgeMenu(QMenu):
    """One choice of several; it is remembered, and is no part of the project."""

    chosen = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setTitle(self.tr("&Beside Each Piece"))
        words: dict[Badge, str] = {
            "": self.tr("&Everything"),
            "load": self.tr("&Load"),
            "spare": self.tr("&Spare Capacity"),
            "voltage": self.tr("&Voltage"),
            "fault": self.tr("&Fault Current"),
            "sizes": self.tr("Si&zes"),
        }
        group = QActionGroup(self)
        present = remembered_badge()
        for badge, text in words.items():
            action = QAction(text, group)
            action.setObjectName(f"beside {badge or 'everything'}")
            action.setCheckable(True)
            action.setChecked(badge == present)
            action.triggered.connect(lambda _=False, badge=badge: self._choose(badge))
            self.addAction(action)

    def _choose(self, badge: Badge) -> None:
        QSettings().setValue(_KEY, badge)
        self.chosen.emit(badge)
