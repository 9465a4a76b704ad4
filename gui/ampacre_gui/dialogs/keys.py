"""The keys of all commands in one place, and those that the drawing has besides."""

from collections.abc import Iterable

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from ampacre_gui.phrases import said

__all__ = ["KeysDialog"]

_ON_THE_DRAWING = (
    ("Zoom at the pointer", "Ctrl+wheel"),
    ("Move over the drawing", "wheel; space or middle button and drag"),
    ("Move sideways", "Shift+wheel"),
    ("Feed another piece", "drag the round grip below a piece to it"),
    ("Feed a run from another piece", "drag the round grip where the run starts to it"),
    ("Select more", "Ctrl+click, Shift+click, drag on empty ground"),
    ("Go to what feeds it, what it feeds, its neighbors", "arrow keys"),
    ("Show details", "Enter or double click"),
    ("Show the whole drawing", "Home"),
    ("Give up what is under way", "Escape"),
)


class KeysDialog(QDialog):
    """The commands that have keys, then what pointer and keys do on the drawing.

    Keys that only some keyboards have, such as one for Undo, work without being listed. What keys
    do in a panel is said by its own help.
    """

    def __init__(self, actions: Iterable[QAction], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("Keyboard Shortcuts"))
        lines = QTreeWidget()
        lines.setColumnCount(2)
        lines.setHeaderLabels([self.tr("Command"), self.tr("Keys")])
        lines.setRootIsDecorated(False)
        lines.setAccessibleName(self.windowTitle())
        for action in actions:
            keys = ", ".join(
                key.toString(QKeySequence.SequenceFormat.NativeText)
                for key in action.shortcuts()
                if key[0].key() <= Qt.Key.Key_F12  # type: ignore[index]
            )
            if keys:
                QTreeWidgetItem(lines, [action.iconText().partition("\n")[0], keys])
        for what, keys in _ON_THE_DRAWING:
            QTreeWidgetItem(lines, [said(what), said(keys)])
        lines.resizeColumnToContents(0)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        box = QVBoxLayout(self)
        box.setContentsMargins(14, 14, 14, 14)
        box.addWidget(lines)
        box.addWidget(buttons)
        self.resize(620, 480)
