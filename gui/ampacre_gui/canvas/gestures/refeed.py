"""Hanging a run on another piece: its supply end is pulled from where it starts."""

from PySide6.QtCore import QPoint, QPointF, Qt

from ampacre_gui.canvas.gestures.gesture import Gesture
from ampacre_gui.intents import Intent, to_refeed

__all__ = ["Refeed"]


class Refeed(Gesture):
    """`run` is the one whose supply end was taken."""

    pointer = Qt.CursorShape.CrossCursor
    run = ""

    def move(self, at: QPoint) -> None:
        ends = self.view.drawing.ends_of(self.run)
        if ends is None:
            return
        intent, target = self._intent(at)
        self.view.drawing.mark_target(target, welcome=intent.edit is not None)
        self.view.ghost.show_line(at, self.view.mapFromScene(QPointF(ends[1])))
        self.view.tell(intent, at)

    def _intent(self, at: QPoint) -> tuple[Intent, str]:
        target = self.view.element_at(at)
        if target not in self.view.document.project.equipment:
            return Intent(self.view.tr("Let go on the piece that shall feed this run")), ""
        return to_refeed(self.view.document.study, self.run, target), target

    def finish(self, at: QPoint) -> None:
        intent, _ = self._intent(at)
        self.cancel()
        self.view.carry_out(intent)

    def cancel(self) -> None:
        self.view.drawing.mark_target("")
        self.view.clear_ghost()
