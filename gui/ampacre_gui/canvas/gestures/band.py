"""Selecting all that lies in a rectangle pulled open on empty ground."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, QRect, QSize
from PySide6.QtWidgets import QRubberBand

from ampacre_gui.canvas.gestures.gesture import Gesture

if TYPE_CHECKING:
    from ampacre_gui.canvas.view import View

__all__ = ["Band"]


class Band(Gesture):
    """`adding` keeps what was selected before."""

    adding = False

    def __init__(self, view: "View", start: QPoint) -> None:
        super().__init__(view, start)
        self._before = view.selection.ids
        self._band = QRubberBand(QRubberBand.Shape.Rectangle, view.viewport())
        self._band.setGeometry(QRect(start, QSize()))
        self._band.show()

    def move(self, at: QPoint) -> None:
        area = QRect(self.start, at).normalized()
        self._band.setGeometry(area)
        inside = self.view.drawing.items_in(self.view.mapToScene(area).boundingRect())
        self.view.selection.set((*self._before, *inside) if self.adding else inside)

    def finish(self, at: QPoint) -> None:
        self.move(at)
        self._band.deleteLater()

    def cancel(self) -> None:
        self.view.selection.set(self._before)
        self._band.deleteLater()
