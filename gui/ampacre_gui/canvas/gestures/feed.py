"""Drawing a run: from the handle below one piece to the piece that it shall feed."""

from PySide6.QtCore import QPoint, Qt

from ampacre_gui.canvas.gestures.gesture import Gesture
from ampacre_gui.intents import Intent, to_feed

__all__ = ["Feed"]


class Feed(Gesture):
    """`source` is the piece whose handle was taken."""

    pointer = Qt.CursorShape.CrossCursor
    source = ""

    def move(self, at: QPoint) -> None:
        port = self.view.drawing.port_of(self.source)
        if port is None:
            return
        intent, target = self._intent(at)
        start = self.view.mapFromScene(port)
        self.view.drawing.mark_target(target, welcome=intent.edit is not None)
        self.view.ghost.show_line(start, at)
        self.view.tell(intent, at)

    def _intent(self, at: QPoint) -> tuple[Intent, str]:
        target = self.view.element_at(at)
        if target not in self.view.document.project.equipment or target == self.source:
            return Intent(self.view.tr("Let go on the piece that this one shall feed")), ""
        return to_feed(self.view.document.study, self.source, target), target

    def finish(self, at: QPoint) -> None:
        intent, _ = self._intent(at)
        self.cancel()
        self.view.carry_out(intent)

    def cancel(self) -> None:
        self.view.drawing.mark_target("")
        self.view.clear_ghost()
