"""After undo and redo: what the step put back or altered is selected and in view."""

from PySide6.QtCore import QObject

from ampacre.model.project import Edit
from ampacre.model.records import Run
from ampacre_gui.canvas.view import View
from ampacre_gui.document import Document
from ampacre_gui.selection import Selection

__all__ = ["Retracing"]


class Retracing(QObject):
    """Follows undo, redo and the history; a change that somebody makes selects by itself."""

    def __init__(self, document: Document, selection: Selection, canvas: View) -> None:
        super().__init__(canvas)
        self._document = document
        self._selection = selection
        self._canvas = canvas
        document.retraced.connect(self._show)

    def _show(self, edit: Edit) -> None:
        keys = self._put_back(edit) or self._altered(edit) or self._left_behind(edit)
        if not keys:
            return
        # somebody who looks at one of them goes on looking at it
        if not set(self._selection.ids) & set(keys):
            self._selection.set(keys)
        item = self._canvas.drawing.item(self._selection.ids[-1])
        if item is not None and not self._canvas.visible_area().intersects(item.core):
            self._canvas.bring_in(item.key)

    def _put_back(self, edit: Edit) -> list[str]:
        """Give the pieces that are there again, or else the runs."""
        fresh = [change.key for change in edit.changes if change.before is None]
        return self._pieces(fresh) or self._runs(fresh)

    def _altered(self, edit: Edit) -> list[str]:
        """Give the pieces of which anything is another now, such as their place; or else the runs."""
        touched = [change.key for change in edit.changes]
        return self._pieces(touched) or self._runs(touched)

    def _left_behind(self, edit: Edit) -> list[str]:
        """Give what fed the pieces that are gone."""
        if self._selection.ids:
            return []
        gone = [change.before for change in edit.changes if change.after is None]
        return self._pieces([record.source for record in gone if isinstance(record, Run)])[:1]

    def _pieces(self, keys: list[str]) -> list[str]:
        return [key for key in dict.fromkeys(keys) if key in self._document.project.equipment]

    def _runs(self, keys: list[str]) -> list[str]:
        return [key for key in dict.fromkeys(keys) if key in self._document.project.runs]
