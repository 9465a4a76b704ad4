"""What every gesture is."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, QPointF, Qt

if TYPE_CHECKING:
    from ampacre_gui.canvas.view import View

__all__ = ["Gesture"]


class Gesture:
    """A drag that is going on. Points are given in the viewport's pixels.

    Nothing in the document changes before `finish`; `cancel` leaves everything as it was.
    """

    pointer = Qt.CursorShape.ArrowCursor

    def __init__(self, view: "View", start: QPoint) -> None:
        self.view = view
        self.start = start

    def move(self, at: QPoint) -> None:
        """The pointer moved."""

    def finish(self, at: QPoint) -> None:
        """The button was let go."""

    def cancel(self) -> None:
        """Escape was pressed, or the window lost the pointer."""

    def spot(self, at: QPoint) -> QPointF:
        """Give the place on the drawing under a point of the viewport."""
        return self.view.mapToScene(at)
