"""Drawing a run: from the handle below one piece to the piece that it shall feed."""

from PySide6.QtCore import QPoint, Qt

from ampacre_gui.canvas.gestures.aim import Aim
from ampacre_gui.intents import Intent, to_feed

__all__ = ["Feed"]


class Feed(Aim):
    """`source` is the piece whose handle was taken."""

    pointer = Qt.CursorShape.CrossCursor
    source = ""

    def intent(self, at: QPoint) -> tuple[Intent, str]:
        target = self.view.element_at(at)
        if target not in self.view.document.project.equipment or target == self.source:
            return Intent(self.view.tr("Let go on the piece that this one shall feed")), ""
        return to_feed(self.view.document.study, self.source, target), target

    def line(self, at: QPoint, target: str) -> tuple[QPoint, QPoint] | None:
        port = self.view.drawing.port_of(self.source)
        return (self.view.mapFromScene(port), at) if port else None
