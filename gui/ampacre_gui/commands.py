"""The commands of a window: their words, keys and icons, and when they can be used."""

from collections.abc import Callable

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMenu, QMenuBar, QWidget

from ampacre.model.edits import place, remove
from ampacre.model.project import Edit
from ampacre.model.words import KINDS
from ampacre.study.keeping import kept
from ampacre_gui.access_keys import give_access_keys
from ampacre_gui.dialogs.feed_from import FeedFromDialog
from ampacre_gui.dialogs.running import run_dialog
from ampacre_gui.document import Document
from ampacre_gui.icons import command_icon, kind_icon
from ampacre_gui.intents import SOURCES, Intent, can_feed, to_add
from ampacre_gui.phrases import said
from ampacre_gui.replace_menu import ReplaceMenu
from ampacre_gui.selection import Selection
from ampacre_gui.walking import feeder_of

__all__ = ["Commands"]

_KEYS = QKeySequence.StandardKey


class Commands(QObject):
    """Actions by name. The window adds those that belong to it and builds menus from all."""

    def __init__(self, document: Document, selection: Selection, window: QWidget) -> None:
        super().__init__(window)
        self._document = document
        self._selection = selection
        self._window = window
        self._actions: dict[str, QAction] = {}
        self._icons: dict[str, str] = {}
        self._reasons: dict[QAction, str] = {}
        self._existing = False
        self.add("undo", self.tr("&Undo"), document.undo, _KEYS.Undo, icon="undo")
        self.add("redo", self.tr("&Redo"), document.redo, _KEYS.Redo, icon="redo")
        # Qt's own set of keys for Delete has Ctrl+D in it on some desktops
        self.add("delete", self.tr("&Delete"), self.remove, "Del", icon="remove")
        self.add("select all", self.tr("Select &All"), self._select_all, _KEYS.SelectAll)
        self.add("select none", self.tr("Select &None"), selection.clear, "Esc")
        self.add("feed from", self.tr("&Feed From\u2026"), self._feed_from, "Ctrl+L", icon="feed")
        self.add("tidy", self.tr("Put Back to &Tidy Place"), self._tidy, "")
        keep = self.add("keep choices", self.tr("&Keep Chosen Values"), self._keep_choices, "")
        keep.setToolTip(self.tr("Enters what the program chose, so that no later load changes it"))
        document.history_changed.connect(self.renew)
        document.changed.connect(lambda _: self.renew())
        selection.changed.connect(self.renew)
        self.renew()

    def add(
        self, name: str, text: str, act: Callable[[], object],
        keys: QKeySequence.StandardKey | str, *, icon: str = "", fallback: str = "",
    ) -> QAction:  # fmt: skip
        """Make an action; `fallback` is its key where the desktop has none for a standard key."""
        action = QAction(text, self._window)
        action.setObjectName(name)
        action.setShortcutVisibleInContextMenu(False)
        action.triggered.connect(lambda _=False: act())
        sequences = (
            QKeySequence.keyBindings(keys) if isinstance(keys, QKeySequence.StandardKey) else []
        )
        if isinstance(keys, str) and keys:
            sequences = [QKeySequence(keys)]
        action.setShortcuts(sequences or ([QKeySequence(fallback)] if fallback else []))
        if icon:
            self._icons[name] = icon
            action.setIcon(command_icon(icon))
        self._actions[name] = action
        self._window.addAction(action)
        return action

    def keep_to(self, name: str, *views: QWidget) -> None:
        """Have the key of an action work only in these; elsewhere it means something else."""
        action = self._actions[name]
        action.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
        self._window.removeAction(action)
        for view in views:
            view.addAction(action)

    def take(self, action: QAction) -> None:
        """Have an action that was made elsewhere, with a name of its own, among the others."""
        self._actions[action.objectName()] = action

    def __getitem__(self, name: str) -> QAction:
        return self._actions[name]

    def all(self) -> list[QAction]:
        """All actions, in the order in which they were made."""
        return list(self._actions.values())

    def allow(self, name: str, usable: bool, otherwise: str) -> None:
        """Let an action be used or not; `otherwise` is what would have to be, for people."""
        action = self._actions[name]
        action.setEnabled(usable)
        self._reasons[action] = "" if usable else otherwise

    def why_not(self, action: QAction) -> str:
        """Say why an action can't be used now, "" where it can."""
        return self._reasons.get(action, "")

    def draw_icons(self) -> None:
        for name, icon in self._icons.items():
            self._actions[name].setIcon(command_icon(icon))

    def renew(self) -> None:
        """Say what can be done now, and what undo and redo would do."""
        tr, history = self.tr, self._document.history
        for name, word, edit, otherwise in (
            ("undo", tr("&Undo"), history.peek_undo(), tr("nothing was changed yet")),
            ("redo", tr("&Redo"), history.peek_redo(), tr("nothing was undone")),
        ):
            action = self._actions[name]
            self.allow(name, edit is not None, otherwise)
            action.setText(f"{word} {edit.label.replace('&', '&&')}" if edit else word)
            action.setIconText(word.replace("&", ""))
        project = self._document.project
        ids = self._selection.ids
        pieces = [key for key in ids if key in project.equipment]
        self.allow("delete", bool(ids), tr("select a piece or a run first"))
        self.allow("select all", bool(project.equipment), tr("nothing is drawn yet"))
        self.allow("keep choices", bool(project.equipment), tr("nothing is drawn yet"))
        self.allow("select none", bool(ids), tr("nothing is selected"))
        single = len(pieces) == 1 and len(ids) == 1
        self.allow("feed from", single, tr("select one piece first"))
        moved = any(key in project.placement for key in pieces)
        self.allow("tidy", moved, tr("select a piece that was moved by hand first"))

    # what they do -----------------------------------------------------------------------------

    def carry_out(self, intent: Intent) -> bool:
        """Do what an intent means and show what came of it; else say why it can't be."""
        if intent.edit is None:
            self._document.trouble.emit(intent.words)
            return False
        done = self._document.do(intent.edit)
        if done:
            self._selection.go_to(intent.selects)
        return done

    def draw_as(self, existing: bool) -> None:
        """Say whether what is added from now on stands already."""
        self._existing = existing

    def add_below(self, kind: str) -> bool:
        """Add a piece below what is selected, beside it where it feeds nothing, or by itself.

        Tells whether it was added.
        """
        target = self._selection.current
        piece = self._document.project.equipment.get(target or "")
        if piece is not None and not can_feed(piece) and kind not in SOURCES:
            target = feeder_of(self._document.study, piece.id) or target
        return self.carry_out(to_add(self._document.study, kind, target, existing=self._existing))

    def remove(self) -> None:
        ids = self._selection.ids
        if ids:
            self._document.do(remove(self._document.project, ids))

    def _select_all(self) -> None:
        self._selection.set(self._document.project.equipment)

    def _tidy(self) -> None:
        project = self._document.project
        edit = Edit("", ())
        for key in self._selection.ids:
            if key in project.placement:
                edit = edit.then(place(project, key, 0, 0))
        self._document.do(edit)

    def _keep_choices(self) -> None:
        """Enter what was chosen for what is selected, or for all that is drawn."""
        project = self._document.project
        edit = kept(
            self._document.study, self._selection.ids or (*project.equipment, *project.runs)
        )
        if edit.changes:
            self._document.do(edit)
        else:
            self._document.trouble.emit(self.tr("Nothing there was chosen by the program"))

    def _feed_from(self) -> None:
        target = self._selection.current
        if target in self._document.project.equipment:
            dialog = FeedFromDialog(self._document, str(target), self._window)
            if run_dialog(dialog):
                self.carry_out(dialog.intent())

    # menus ------------------------------------------------------------------------------------

    def fill(self, menu: QMenu, *names: str) -> None:
        """Put actions into a menu; "-" is a separator."""
        for name in names:
            if name == "-":
                menu.addSeparator()
            else:
                menu.addAction(self._actions[name])

    def bar_menu(self, bar: QMenuBar, title: str, *names: str) -> QMenu:
        """Add a menu to the menu bar."""
        menu = QMenu(title, bar)
        bar.addMenu(menu)
        self.fill(menu, *names)
        return menu

    def _where_added(self) -> str:
        """Say where `add_below` puts a piece."""
        current, project = self._selection.current, self._document.project
        if current is None:
            return self.tr("Add &Here")
        if current in project.runs:
            return self.tr("&Insert in This Run")
        below = can_feed(project.equipment[current])
        return self.tr("Add &Below") if below else self.tr("Add &Beside")

    def context_menu(self) -> QMenu:
        """The menu for what is selected, or for empty ground."""
        menu = QMenu(self._window)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        selected = self._selection.ids
        if selected:
            self.fill(menu, "details", "rename", "worksheet", "-")
        adding = menu.addMenu(self._where_added())
        for kind in KINDS:
            action = adding.addAction(kind_icon(kind, 20), said(kind))
            action.triggered.connect(lambda _=False, kind=kind: self.add_below(kind))
        give_access_keys(adding)
        if selected:
            menu.addMenu(ReplaceMenu(self._document, self._selection, menu))
            self.fill(menu, "feed from", "tidy", "fold", "-")
            self.fill(menu, "cut", "copy", "paste", "duplicate", "delete")
        else:
            self.fill(menu, "-", "paste", "select all", "fit")
        return menu
