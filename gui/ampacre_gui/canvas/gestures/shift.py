"""Moving pieces by hand from their tidy place."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, QPointF, Qt

from ampacre.model.edits import place
from ampacre.model.project import Edit
from ampacre.model.records import Placement
from ampacre_gui.canvas.gestures.gesture import Gesture
from ampacre_gui.canvas.painter import SCALE

if TYPE_CHECKING:
    from ampacre_gui.canvas.view import View

__all__ = ["Shift"]

_GRID_MM = 2.5


class Shift(Gesture):
    """Takes the selected pieces along with what hangs from them, by steps of the drawing's module."""

    pointer = Qt.CursorShape.SizeAllCursor

    def __init__(self, view: "View", start: QPoint) -> None:
        super().__init__(view, start)
        project, network = view.document.project, view.document.study.network
        chosen = [key for key in view.selection.ids if key in project.equipment]
        below = {key: network.below(key) if key in network.graph else set() for key in chosen}
        self._moved = [key for key in chosen if not any(key in below[other] for other in chosen)]
        carried = set(self._moved).union(*(below[key] for key in self._moved))
        runs = project.runs.values()
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
        return QPointF(
            round(moved.x() / _GRID_MM) * _GRID_MM, round(moved.y() / _GRID_MM) * _GRID_MM
        )

    def finish(self, at: QPoint) -> None:
        off = self._offset_mm(at)
        self.cancel()
        project = self.view.document.project
        edit = Edit("", ())
        for key in self._moved:
            present = project.placement.get(key) or Placement(id=key)
            moved = place(project, key, present.dx_mm + off.x(), present.dy_mm + off.y())
            edit = edit.then(moved)
        self.view.document.do(edit)

    def cancel(self) -> None:
        self._show(QPointF())
        self.view.hint.emit("")
