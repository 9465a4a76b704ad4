"""Moving pieces by hand from their tidy place."""

from PySide6.QtCore import QPoint, QPointF, Qt

from ampacre.model.edits import place
from ampacre.model.project import Edit
from ampacre.model.records import Placement
from ampacre_gui.canvas.gestures.gesture import Gesture
from ampacre_gui.canvas.painter import SCALE

__all__ = ["Shift"]

_GRID_MM = 2.5


class Shift(Gesture):
    """Takes all selected pieces along; the offset keeps to the drawing's module."""

    pointer = Qt.CursorShape.SizeAllCursor

    def move(self, at: QPoint) -> None:
        off = self._offset_mm(at) * SCALE
        for key in self._pieces():
            item = self.view.drawing.item(key)
            if item:
                item.setPos(off)

    def _offset_mm(self, at: QPoint) -> QPointF:
        moved = (self.spot(at) - self.spot(self.start)) / SCALE
        return QPointF(
            round(moved.x() / _GRID_MM) * _GRID_MM, round(moved.y() / _GRID_MM) * _GRID_MM
        )

    def _pieces(self) -> list[str]:
        pieces = self.view.document.project.equipment
        return [key for key in self.view.selection.ids if key in pieces]

    def finish(self, at: QPoint) -> None:
        off = self._offset_mm(at)
        self.cancel()
        project = self.view.document.project
        edit = Edit("", ())
        for key in self._pieces():
            present = project.placement.get(key) or Placement(id=key)
            moved = place(project, key, present.dx_mm + off.x(), present.dy_mm + off.y())
            edit = edit.then(moved)
        self.view.document.do(edit)

    def cancel(self) -> None:
        for key in self._pieces():
            item = self.view.drawing.item(key)
            if item:
                item.setPos(QPointF())
