"""Moving the view over the drawing, as if pulling the paper."""

from PySide6.QtCore import QPoint, Qt

from ampacre_gui.canvas.gestures.gesture import Gesture

__all__ = ["Pan"]


class Pan(Gesture):
    """With the middle button, or the space bar held."""

    pointer = Qt.CursorShape.ClosedHandCursor

    def move(self, at: QPoint) -> None:
        moved = at - self.start
        self.start = at
        self.view.scroll_by(-moved)
