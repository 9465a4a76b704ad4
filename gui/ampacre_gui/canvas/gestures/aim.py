"""Drags that end on an element: what letting go would do is told on the way."""

from abc import ABC, abstractmethod

from PySide6.QtCore import QPoint

from ampacre_gui.canvas.gestures.gesture import Gesture
from ampacre_gui.intents import Intent

__all__ = ["Aim"]


class Aim(Gesture, ABC):
    """Lights up the element under the pointer and draws a line to show what would be joined."""

    @abstractmethod
    def intent(self, at: QPoint) -> tuple[Intent, str]:
        """Say what letting go at a point would do, and the id of the element aimed at, "" for none."""

    @abstractmethod
    def line(self, at: QPoint, target: str) -> tuple[QPoint, QPoint] | None:
        """Give the ends of the line to be shown; `target` is "" where letting go does nothing."""

    def move(self, at: QPoint) -> None:
        intent, target = self.intent(at)
        self.view.drawing.mark_target(target, welcome=intent.edit is not None)
        line = self.line(at, target if intent.edit else "")
        if line:
            self.view.ghost.show_line(*line)
        else:
            self.view.ghost.hide()
        self.view.tell(intent, at)

    def finish(self, at: QPoint) -> None:
        intent, _ = self.intent(at)
        self.cancel()
        self.view.carry_out(intent)

    def cancel(self) -> None:
        self.view.drawing.mark_target("")
        self.view.clear_ghost()
