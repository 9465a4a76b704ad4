"""Bringing a new piece from the drawer onto the drawing."""

from PySide6.QtCore import QPoint

from ampacre_gui.canvas.gestures.aim import Aim
from ampacre_gui.intents import Intent, to_add

__all__ = ["Place"]


class Place(Aim):
    """`kind` is what is being dragged; on empty ground it starts a tree of its own."""

    kind = ""
    existing = False

    def intent(self, at: QPoint) -> tuple[Intent, str]:
        target = self.view.element_at(at)
        study = self.view.document.study
        return to_add(study, self.kind, target or None, existing=self.existing), target

    def line(self, at: QPoint, target: str) -> tuple[QPoint, QPoint] | None:
        port = self.view.drawing.port_of(target)
        return (self.view.mapFromScene(port), at) if port else None
