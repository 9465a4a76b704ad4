"""Cut, copy, paste and duplicate, in the drawing and in the outline.

Their keys count only while one of these two has the focus itself, so that text being typed
anywhere, a name in the outline included, keeps its own.
"""

from PySide6.QtCore import QEvent, QObject, QPoint, Qt
from PySide6.QtGui import QGuiApplication, QKeySequence, QMouseEvent
from PySide6.QtWidgets import QMainWindow, QWidget

from ampacre.model.copying import Fragment, branch, cut
from ampacre.model.pasting import Pasted, duplicate, paste
from ampacre.model.project import Refused
from ampacre.model.system import System
from ampacre.store.clipping import decode_copy
from ampacre.store.parse import Unreadable
from ampacre_gui.canvas.view import View
from ampacre_gui.commands import Commands
from ampacre_gui.copied_forms import COPY, forms_of
from ampacre_gui.document import Document
from ampacre_gui.guard import Guarded
from ampacre_gui.phrases import filled
from ampacre_gui.selection import Selection

__all__ = ["Clipboard"]

_KEYS = QKeySequence.StandardKey


class Clipboard(Guarded, QObject):
    """Adds its commands to those of a window and carries them out."""

    def __init__(
        self,
        document: Document,
        selection: Selection,
        commands: Commands,
        canvas: View,
        outline: QWidget,
        window: QMainWindow,
    ) -> None:
        super().__init__(window)
        self._document = document
        self._selection = selection
        self._canvas = canvas
        self._pointer: QPoint | None = None
        self._by_key = False
        self._last: tuple[tuple[str, ...], QPoint | None, str | None] | None = None
        below = self.tr("with everything below them")
        for name, text, act, keys, tip in (
            ("cut", self.tr("&Cut"), self.cut, _KEYS.Cut, self.tr("Cut the selected pieces %1")),
            ("copy", self.tr("C&opy"), self.copy, _KEYS.Copy, self.tr("Copy the selected pieces %1")),
            ("paste", self.tr("&Paste"), self.paste, _KEYS.Paste,
             self.tr("Paste below the selected piece, or the one under the pointer")),
            ("duplicate", self.tr("Dup&licate"), self.duplicate, "Ctrl+D",
             self.tr("Copy the selected pieces %1, beside them")),
        ):  # fmt: skip
            action = commands.add(name, text, act, keys)
            action.setToolTip(filled(tip, below))
            action.setStatusTip(action.toolTip())
            action.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
            window.removeAction(action)
            canvas.addAction(action)
            outline.addAction(action)
        self._commands = commands
        commands["paste"].installEventFilter(self)
        canvas.viewport().installEventFilter(self)
        document.changed.connect(lambda _: self._renew())
        selection.changed.connect(self._renew)
        # where the pointer rests counts only once it has been moved there since
        document.changed.connect(lambda _: self._forget_pointer())
        selection.changed.connect(self._forget_pointer)
        self._renew()

    def _renew(self) -> None:
        present = self._document.project.equipment
        pieces = any(key in present for key in self._selection.ids)
        for name in ("cut", "copy", "duplicate"):
            self._commands.allow(name, pieces, self.tr("select a piece first"))

    def _forget_pointer(self) -> None:
        self._pointer = None

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        kind = event.type()
        if kind == QEvent.Type.Shortcut:
            self._by_key = True
        elif kind == QEvent.Type.Leave:
            self._forget_pointer()
        elif isinstance(event, QMouseEvent):
            self._pointer = event.position().toPoint()
        return False

    # commands ---------------------------------------------------------------------------------

    def copy(self) -> None:
        """Put the selected pieces on the clipboard."""
        self._offer(branch(self._document.project, self._selection.ids))

    def cut(self) -> None:
        """Put the selected pieces on the clipboard and remove them, as one step."""
        fragment, edit = cut(self._document.project, self._selection.ids)
        self._offer(fragment)
        self._document.do(edit)

    def _offer(self, fragment: Fragment) -> None:
        owners = (*fragment.content.equipment, *fragment.content.runs)
        items = (item for key in owners if (item := self._canvas.drawing.item(key)))
        drawn = [element for item in items for element in item.sketch.elements]
        forms = forms_of(self._document.study, fragment, self._document.title, drawn)
        QGuiApplication.clipboard().setMimeData(forms)

    def duplicate(self) -> None:
        """Put a copy of the selected pieces beside them."""
        project = self._document.project
        self._do(duplicate(project, self._selection.ids, self._systems()))

    def paste(self) -> None:
        """Put what is on the clipboard into the project, or say why that can't be."""
        by_key, self._by_key = self._by_key, False
        data = QGuiApplication.clipboard().mimeData()
        if data is None or not data.hasFormat(COPY):
            self._document.trouble.emit(self.tr("There is no equipment on the clipboard"))
            return
        try:
            fragment = decode_copy(bytes(data.data(COPY).data()))
        except Unreadable as error:
            words = filled(self.tr("What is on the clipboard %1"), error)
            self._document.trouble.emit(words)
            return
        target = self._target(by_key=by_key)
        try:
            pasted = paste(self._document.project, fragment, target, self._systems())
        except Refused as refused:
            self._document.trouble.emit(str(refused))
            return
        if self._do(pasted):
            self._last = (self._selection.ids, self._pointer, target)

    def _do(self, pasted: Pasted) -> bool:
        done = self._document.do(pasted.edit)
        if done:
            self._selection.set(pasted.tops)
            self._selection.reveal.emit(pasted.tops[-1])
        return done

    def _systems(self) -> dict[str, System]:
        facts = self._document.study.all_equipment()
        return {each.piece.id: each.system for each in facts if each.system}

    def _target(self, *, by_key: bool) -> str | None:
        """The piece under the pointer, where a key was pressed, else what is selected.

        Pasting again without moving or selecting anything goes to the same piece again. A run
        stands for the piece that it comes from.
        """
        if self._last and self._last[:2] == (self._selection.ids, self._pointer):
            return self._last[2]
        under = self._canvas.element_at(self._pointer) if by_key and self._pointer else ""
        key = under or self._selection.current or ""
        run = self._document.project.runs.get(key)
        return run.source if run else key or None
