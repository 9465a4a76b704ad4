"""Moving pieces by hand from their tidy place."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, QPointF, Qt

from ampacre_gui.canvas.gestures.gesture import Gesture
from ampacre_gui.canvas.painter import SCALE
from ampacre_gui.moving import STEP_MM, carried_by, move, topmost

if TYPE_CHECKING:
    from ampacre_gui.canvas.view import View

__all__ = ["Shift"]


class Shift(Gesture):
    """Takes the selected pieces along with what hangs from them, by steps of the drawing's module."""

    pointer = Qt.CursorShape.SizeAllCursor

    def __init__(self, view: "View", start: QPoint) -> None:
        super().__init__(view, start)
        study = view.document.study
        self._moved = topmost(study, view.selection.ids)
        carried = set(self._moved).union(*(carried_by(study, key) for key in self._moved))
        runs = study.project.runs.values()
        self._carried = [*carried, *(run.id for run in runs if run.source in carried)]
        view.drawing.offer_handle("")
        view.drawing.offer_supply_end("")

    def move(self, at: QPoint) -> None:
        self._show(self._offset_mm(at) * SCALE)
        self.view.hint.emit(self.view.tr("Let go to move it here; what hangs from it comes along"))

    def _show(self, off: QPointF) -> None:
        for key in self._carried:
            item = self.view.drawing.item(key)
            if item:
                item.move_off(off)

    def _offset_mm(self, at: QPoint) -> QPointF:
        moved = (self.spot(at) - self.spot(self.start)) / SCALE
        return QPointF(round(moved.x() / STEP_MM) * STEP_MM, round(moved.y() / STEP_MM) * STEP_MM)

    def finish(self, at: QPoint) -> None:
        off = self._offset_mm(at)
        self.cancel()
        document = self.view.document
        document.do(move(document.project, self._moved, off.x(), off.y()))

    def cancel(self) -> None:
        self._show(QPointF())
        self.view.hint.emit("")
