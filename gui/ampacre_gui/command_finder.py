"""Finds a command by a few letters of its name and runs it: a list over the middle of the window."""

from typing import NamedTuple

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QAction, QBrush, QFont, QKeyEvent, QKeySequence
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QHeaderView,
    QLabel,
    QLineEdit,
    QMenu,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)
from shiboken6 import isValid

from ampacre_gui.commands import Commands
from ampacre_gui.guard import Guarded
from ampacre_gui.lately import note_use, used_lately
from ampacre_gui.look import look
from ampacre_gui.matching import best_first
from ampacre_gui.phrases import filled

__all__ = ["CommandFinder", "Entry", "entries"]

_USED = "commands used"
_WIDTH, _ROWS, _TOP = 620, 12, 64
_REASON = 300
_MOVES = (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown)


class Entry(NamedTuple):
    """A command as the list shows it; `otherwise` says why it can't be used now."""

    action: QAction
    words: str
    menu: str
    key: str
    otherwise: str


def _plain(text: str) -> str:
    """Give the text of an action or menu without the marks of access keys."""
    return text.replace("&&", "\0").replace("&", "").replace("\0", "&")


def _menu_of(action: QAction) -> str:
    menus = [each for each in action.associatedObjects() if isinstance(each, QMenu)]
    return next((_plain(menu.title()) for menu in menus if menu.title()), "")


def entries(commands: Commands) -> list[Entry]:
    """Give every command once, those used lately first, then in the order of the menus."""
    lately = used_lately(_USED)
    actions = commands.all()
    actions.sort(
        key=lambda action: (
            lately.index(action.objectName()) if action.objectName() in lately else len(lately)
        )
    )
    shown = QKeySequence.SequenceFormat.NativeText
    return [
        Entry(
            action, _plain(action.text()), _menu_of(action), action.shortcut().toString(shown),
            commands.why_not(action),
        )
        for action in actions
    ]  # fmt: skip


class _Line(Guarded, QLineEdit):
    """What is typed; keys that move go to the list."""

    def __init__(self, finder: "CommandFinder") -> None:
        super().__init__()
        self._finder = finder

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in _MOVES:
            QApplication.sendEvent(self._finder.lines, event)
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._finder.run()
        elif event.key() == Qt.Key.Key_Escape:
            self._finder.leave()
        else:
            super().keyPressEvent(event)


class CommandFinder(Guarded, QFrame):
    """Lies over the window while somebody looks for a command, and goes when the focus does."""

    coming = Signal()
    """Commands are about to be shown: say now which of them can be used."""

    def __init__(self, commands: Commands, window: QWidget) -> None:
        super().__init__(window)
        self._commands = commands
        self._entries: list[Entry] = []
        self._back: QWidget | None = None
        self.setObjectName("overlay")
        self.setAutoFillBackground(True)
        self.line = _Line(self)
        self.line.setPlaceholderText(self.tr("Find a command by a few letters"))
        self.line.setAccessibleName(self.line.placeholderText())
        self.line.textChanged.connect(self._fill)
        self.lines = QTreeWidget()
        self.lines.setColumnCount(3)
        self.lines.setHeaderHidden(True)
        self.lines.setRootIsDecorated(False)
        self.lines.setUniformRowHeights(True)
        self.lines.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.lines.setAccessibleName(self.tr("Commands"))
        header = self.lines.header()
        header.setStretchLastSection(False)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.Fixed)
        header.setSectionResizeMode(2, QHeaderView.ResizeMode.ResizeToContents)
        self.lines.itemClicked.connect(lambda *_: self.run())
        self.note = QLabel()
        self.note.setObjectName("quiet")
        self.note.setTextFormat(Qt.TextFormat.PlainText)
        self.note.setWordWrap(True)
        self.note.setContentsMargins(4, 0, 4, 0)
        box = QVBoxLayout(self)
        box.setContentsMargins(10, 10, 10, 8)
        box.setSpacing(6)
        for widget in (self.line, self.lines, self.note):
            box.addWidget(widget)
        self.hide()
        window.installEventFilter(self)
        application = QApplication.instance()
        assert isinstance(application, QApplication)
        application.focusChanged.connect(self._follow_focus)

    def come(self) -> None:
        """Show all commands; the one used last is at hand."""
        if not self.isVisible():
            self._back = QApplication.focusWidget()
        self.coming.emit()
        self._entries = entries(self._commands)
        self.line.clear()
        self._fill("")
        self._settle()
        self.show()
        self.raise_()
        self.line.setFocus(Qt.FocusReason.PopupFocusReason)

    def leave(self) -> None:
        """Go away and give the focus back to where it was."""
        back, self._back = self._back, None
        self.hide()
        if back is not None and isValid(back) and back.isVisible():
            back.setFocus(Qt.FocusReason.PopupFocusReason)

    def run(self) -> None:
        """Run the command at hand, or say why it can't be run."""
        item = self.lines.currentItem()
        if item is None:
            return
        entry = self._entries[item.data(0, Qt.ItemDataRole.UserRole)]
        if entry.action.isEnabled():
            self.leave()
            note_use(_USED, entry.action.objectName())
            entry.action.trigger()
        else:
            self._tell(entry)

    def _fill(self, wanted: str) -> None:
        self.lines.clear()
        faint, slanted = QBrush(look().quiet), QFont(self.lines.font())
        slanted.setItalic(True)
        for place in best_first(wanted, [entry.words for entry in self._entries]):
            entry = self._entries[place]
            item = QTreeWidgetItem([entry.words, entry.otherwise or entry.menu, entry.key])
            item.setData(0, Qt.ItemDataRole.UserRole, place)
            item.setTextAlignment(2, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            item.setForeground(1, faint)
            item.setToolTip(1, entry.otherwise)
            if not entry.action.isEnabled():
                for column in range(3):
                    item.setForeground(column, faint)
                    item.setFont(column, slanted)
            self.lines.addTopLevelItem(item)
        # a long reason leaves room for the words
        self.lines.setColumnWidth(1, min(self.lines.sizeHintForColumn(1), _REASON))
        first = self.lines.topLevelItem(0)
        if first is None:
            self.note.setText(self.tr("No command by these letters"))
        else:
            self.lines.setCurrentItem(first)
            self.note.setText(self.tr("Enter runs it, Escape closes"))

    def _tell(self, entry: Entry) -> None:
        words = self.tr("%1 can't be used now: %2.")
        self.note.setText(filled(words, entry.words, entry.otherwise))

    def _settle(self) -> None:
        """Take the place below the menus, in the middle, as large as the window lets."""
        window = self.parentWidget()
        assert window is not None
        row = self.lines.sizeHintForRow(0)
        around = self.line.sizeHint().height() + self.note.sizeHint().height() + 34
        width = min(_WIDTH, window.width() - 40)
        height = min(around + row * _ROWS, window.height() - _TOP - 20)
        self.setGeometry((window.width() - width) // 2, _TOP, width, height)

    def _follow_focus(self, _old: QWidget | None, new: QWidget | None) -> None:
        if self.isVisible() and new is not None and not self.isAncestorOf(new):
            self._back = None
            self.hide()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize and self.isVisible():
            self._settle()
        return False
