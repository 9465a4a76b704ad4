"""Moves the selected pieces step by step with the keyboard, as a drag does with the pointer."""

from functools import partial

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QMenu

from ampacre_gui.canvas.view import View
from ampacre_gui.commands import Commands
from ampacre_gui.document import Document
from ampacre_gui.guard import Guarded
from ampacre_gui.moving import STEP_MM, move, topmost
from ampacre_gui.selection import Selection

__all__ = ["Nudging"]


class Nudging(Guarded, QObject):
    """Four commands. All steps taken while Alt is held down are one step of undo."""

    def __init__(
        self, document: Document, selection: Selection, commands: Commands, canvas: View
    ) -> None:
        super().__init__(canvas)
        self._document = document
        self._selection = selection
        self._commands = commands
        self._canvas = canvas
        self._burst = 0
        ways = {
            "left": (self.tr("Move &Left"), "Alt+Left", -1, 0),
            "right": (self.tr("Move &Right"), "Alt+Right", 1, 0),
            "up": (self.tr("Move &Up"), "Alt+Up", 0, -1),
            "down": (self.tr("Move &Down"), "Alt+Down", 0, 1),
        }
        self._names = [f"move {way}" for way in ways]
        for name, (words, key, right, down) in zip(self._names, ways.values(), strict=True):
            commands.add(name, words, partial(self._move, right, down), key)
            # elsewhere Alt and an arrow open a list that drops down
            commands.keep_to(name, canvas)
        selection.changed.connect(self._allow)
        self._allow()
        canvas.installEventFilter(self)

    def menu(self, parent: QMenu) -> QMenu:
        """Give a menu of the four."""
        menu = QMenu(self.tr("Move by a &Step"), parent)
        self._commands.fill(menu, *self._names)
        return menu

    def _allow(self) -> None:
        pieces = self._document.project.equipment
        some = any(key in pieces for key in self._selection.ids)
        for name in self._names:
            self._commands.allow(name, some, self.tr("select a piece first"))

    def _move(self, right: int, down: int) -> None:
        document, keys = self._document, topmost(self._document.study, self._selection.ids)
        edit = move(document.project, keys, right * STEP_MM, down * STEP_MM, f"nudge {self._burst}")
        if document.do(edit) and keys:
            self._canvas.bring_in(keys[-1])

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.KeyRelease:
            assert isinstance(event, QKeyEvent)
            self._burst += event.key() == Qt.Key.Key_Alt
        elif event.type() == QEvent.Type.FocusOut:
            # Alt may be let go of elsewhere
            self._burst += 1
        return False
