"""Bringing a new piece from the drawer onto the drawing."""

from PySide6.QtCore import QPoint

from ampacre_gui.canvas.gestures.gesture import Gesture
from ampacre_gui.intents import Intent, to_add

__all__ = ["Place"]


class Place(Gesture):
    """`kind` is what is being dragged; on empty ground it starts a tree of its own."""

    kind = ""
    existing = False

    def move(self, at: QPoint) -> None:
        intent, target = self._intent(at)
        self.view.drawing.mark_target(target, welcome=intent.edit is not None)
        port = self.view.drawing.port_of(target) if intent.edit else None
        if port:
            self.view.ghost.show_line(self.view.mapFromScene(port), at)
        else:
            self.view.ghost.hide()
        self.view.tell(intent, at)

    def _intent(self, at: QPoint) -> tuple[Intent, str]:
        target = self.view.element_at(at)
        study = self.view.document.study
        return to_add(study, self.kind, target or None, existing=self.existing), target

    def finish(self, at: QPoint) -> None:
        intent, _ = self._intent(at)
        self.cancel()
        self.view.carry_out(intent)

    def cancel(self) -> None:
        self.view.drawing.mark_target("")
        self.view.clear_ghost()
