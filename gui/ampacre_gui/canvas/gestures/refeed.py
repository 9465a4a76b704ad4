"""Hanging a run on another piece: its supply end is pulled from where it starts."""

from PySide6.QtCore import QPoint, Qt

from ampacre_gui.canvas.gestures.aim import Aim
from ampacre_gui.intents import Intent, to_refeed

__all__ = ["Refeed"]


class Refeed(Aim):
    """`run` is the one whose supply end was taken."""

    pointer = Qt.CursorShape.CrossCursor
    run = ""

    def intent(self, at: QPoint) -> tuple[Intent, str]:
        target = self.view.element_at(at)
        if target not in self.view.document.project.equipment:
            return Intent(self.view.tr("Let go on the piece that shall feed this run")), ""
        return to_refeed(self.view.document.study, self.run, target), target

    def line(self, at: QPoint, target: str) -> tuple[QPoint, QPoint] | None:
        ends = self.view.drawing.ends_of(self.run)
        return (at, self.view.mapFromScene(ends[1])) if ends else None
