"""The commands on files and on the project as a whole, and what they do."""

from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QObject
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QWidget

from ampacre.model.project import Project
from ampacre_gui.commands import Commands
from ampacre_gui.dialogs.lists import ListsDialog
from ampacre_gui.dialogs.properties import PropertiesDialog
from ampacre_gui.dialogs.running import run_dialog
from ampacre_gui.dialogs.templates import choose_template
from ampacre_gui.document import Document
from ampacre_gui.filing import choose_file, open_outside, save, save_as, save_copy
from ampacre_gui.infobar import InfoBar
from ampacre_gui.phrases import filled
from ampacre_gui.samples import ORCHARD

if TYPE_CHECKING:
    from ampacre_gui.sheets.sheets_window import SheetsWindow

__all__ = ["FileCommands", "Opener"]

_KEYS = QKeySequence.StandardKey


class Opener(Protocol):
    """What a window asks of the program: other windows. `instead_of` is one that gives way."""

    def show_new(self) -> None: ...
    def show_file(self, path: Path, instead_of: QWidget | None = None) -> None: ...
    def show_sample(self, instead_of: QWidget | None = None, file: str = ORCHARD) -> None: ...
    def show_project(self, project: Project, instead_of: QWidget | None = None) -> None: ...
    def quit(self) -> None: ...


class FileCommands(QObject):
    """New, open, save, the drawing set, properties and lists of one window's document."""

    def __init__(
        self, document: Document, commands: Commands, infobar: InfoBar, opener: Opener,
        window: QWidget,
    ) -> None:  # fmt: skip
        super().__init__(window)
        self._document = document
        self._infobar = infobar
        self._opener = opener
        self._window = window
        self.sheets: SheetsWindow | None = None
        self._add(commands)

    def _add(self, commands: Commands) -> None:
        add = commands.add
        add("new", self.tr("&New"), self._opener.show_new, _KEYS.New, icon="new")
        words = self.tr("New From &Template\u2026")
        add("new from template", words, self.new_from_template, "Ctrl+Shift+N")
        add("open", self.tr("&Open\u2026"), self.open, _KEYS.Open, icon="open")
        add("save", self.tr("&Save"), self._save, _KEYS.Save, icon="save")
        words = self.tr("Save &As\u2026")
        add("save as", words, self._save_as, _KEYS.SaveAs, fallback="Ctrl+Shift+S")
        add("save copy", self.tr("Save a Cop&y\u2026"), self._save_copy, "")
        words = self.tr("Sheets and Print Pre&view\u2026")
        add("sheets", words, self._look_at_sheets, "Ctrl+Shift+P")
        words = self.tr("Pr&int\u2026")
        add("print", words, self._print, _KEYS.Print, fallback="Ctrl+P")
        words = self.tr("&Export Drawing Set\u2026")
        add("export", words, self._export, "Ctrl+E", icon="export")
        add("properties", self.tr("Project &Properties\u2026"), self._properties, "Alt+Return")
        add("lists", self.tr("&Groups, Structures, Raceways\u2026"), self._lists, "Ctrl+G")
        add("close", self.tr("&Close"), self._window.close, _KEYS.Close)
        add("quit", self.tr("&Quit"), self._opener.quit, _KEYS.Quit, fallback="Ctrl+Q")
        add("sample", self.tr("Open the &Sample"), self.open_sample, "")

    def blank(self) -> QWidget | None:
        """Give the window where another document may take its place."""
        untouched = self._document.path is None and not self._document.history.edits
        return self._window if untouched else None

    def open(self) -> None:
        path = choose_file(self._window)
        if path:
            self.open_all([path])

    def open_all(self, paths: list[Path]) -> None:
        """Open files, the first in this window if nothing was done in it yet."""
        blank = self.blank()
        for path in paths:
            self._opener.show_file(path, blank)
            blank = None

    def new_from_template(self) -> None:
        project = choose_template(self._window)
        if project is not None:
            self._opener.show_project(project, self.blank())

    def open_sample(self, file: str = ORCHARD) -> None:
        self._opener.show_sample(self.blank(), file)

    def _save(self) -> None:
        save(self._document, self._window)

    def _save_as(self) -> None:
        save_as(self._document, self._window)

    def _save_copy(self) -> None:
        path = save_copy(self._document, self._window)
        if path:
            words = filled(self.tr("A copy was written to %1."), path)
            show = {self.tr("Show Folder"): lambda: open_outside(path.parent)}
            self._infobar.say(words, show, done=True)

    def _look_at_sheets(self) -> None:
        self._shown_sheets().sheets.list.setFocus()

    def _print(self) -> None:
        self._shown_sheets().print_when_drawn()

    def _export(self) -> None:
        self._shown_sheets().side.forms.setFocus()

    def _shown_sheets(self) -> "SheetsWindow":
        # not needed before somebody asks for it, and slow to load
        from ampacre_gui.sheets.sheets_window import SheetsWindow  # noqa: PLC0415

        if self.sheets is None:
            self.sheets = SheetsWindow(self._document, self._window)
        self.sheets.present()
        return self.sheets

    def _properties(self) -> None:
        run_dialog(PropertiesDialog(self._document, self._window))

    def _lists(self) -> None:
        run_dialog(ListsDialog(self._document, self._window))
