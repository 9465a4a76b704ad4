"""Starts the desktop program and keeps its windows."""

import logging
import sys
from pathlib import Path

from PySide6.QtCore import (
    QCoreApplication,
    QLibraryInfo,
    QLocale,
    QSettings,
    Qt,
    QTimer,
    QTranslator,
)
from PySide6.QtGui import QSessionManager
from PySide6.QtWidgets import QApplication, QWidget

from ampacre.model.project import Project
from ampacre.store.journal import NotRecovered, put_aside, recover
from ampacre_gui.busy import busy
from ampacre_gui.dialogs.about import CautionsDialog
from ampacre_gui.dialogs.questions import show_problem
from ampacre_gui.document import Document
from ampacre_gui.filing import ask_to_keep, open_document
from ampacre_gui.guard import watch_everything_else
from ampacre_gui.icons import program_icon
from ampacre_gui.journaling import left_untitled
from ampacre_gui.samples import ORCHARD, sample_project
from ampacre_gui.style import style_sheet
from ampacre_gui.window import Window

__all__ = ["Program", "make_application", "run"]


class Program:
    """All windows of the running program."""

    def __init__(self) -> None:
        self.windows: list[Window] = []

    def show(self, document: Document, instead_of: QWidget | None = None) -> Window:
        """Open a window on a document; `instead_of` is an untouched window that gives way."""
        with busy():
            window = Window(document, self)
            self.windows.append(window)
            window.destroyed.connect(lambda: self._forget(window))
            if instead_of is not None:
                window.setGeometry(instead_of.geometry())
            window.place()
            window.show()
        if instead_of is not None:
            instead_of.close()
        return window

    def _forget(self, window: Window) -> None:
        if window in self.windows:
            self.windows.remove(window)

    def show_new(self) -> None:
        self.show(Document())

    def show_file(self, path: Path, instead_of: QWidget | None = None) -> None:
        """Open a file, or raise the window that has it open."""
        for window in self.windows:
            if window.document.path == path.absolute():
                window.raise_()
                window.activateWindow()
                return
        document = open_document(path, instead_of)
        if document is not None:
            self.show(document, instead_of)

    def show_sample(self, instead_of: QWidget | None = None, file: str = ORCHARD) -> None:
        """Open a copy of a sample, which is not saved over."""
        self.show(Document(sample_project(file)), instead_of)

    def show_project(self, project: Project, instead_of: QWidget | None = None) -> None:
        """Open a window on a project that has no file yet."""
        self.show(Document(project), instead_of)

    def recover_untitled(self) -> None:
        """Bring back projects that were never saved when the program last ended."""
        for journal in left_untitled():
            try:
                project = recover(journal, b"")
            except NotRecovered as error:
                put_aside(journal)
                show_problem(
                    None,
                    QCoreApplication.translate("Program", "Unsaved work is damaged."),
                    str(error),
                )
                continue
            if project is None:
                journal.unlink(missing_ok=True)
                continue
            document = Document()
            document.recover(journal, project)
            self.show(document)

    def end_session(self, manager: QSessionManager) -> None:
        """Before the desktop's session ends: ask as at closing, or at least keep all in journals.

        Nothing is closed yet: another program may call the end off.
        """
        for window in self.windows:
            window.enter_typed()
            window.document.keep()
        unsaved = [window for window in self.windows if window.document.modified]
        if not unsaved or not manager.allowsInteraction():
            return
        for window in unsaved:
            window.raise_()
            window.activateWindow()
            if not ask_to_keep(window.document, window):
                manager.cancel()
                return
        manager.release()

    def quit(self) -> None:
        """Close all windows, each asking for itself; stops where one stays open."""
        for window in list(self.windows):
            if not window.close():
                return


def make_application(argv: list[str]) -> QApplication:
    """Set up the application object: its names, style and icon."""
    application = QApplication(argv)
    application.setOrganizationName("Ampacre")
    application.setApplicationName("Ampacre")
    application.setApplicationDisplayName("Ampacre")
    application.setStyle("Fusion")
    application.setStyleSheet(style_sheet())
    application.setWindowIcon(program_icon())
    _let_qt_speak(application)
    watch_everything_else()
    return application


def _let_qt_speak(application: QApplication) -> None:
    """Have Qt's own words, such as those of its dialogs, in the language of the system."""
    words = QTranslator(application)
    folder = QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath)
    if words.load(QLocale.system(), "qtbase", "_", folder):
        application.installTranslator(words)
    # Qt would turn the windows round for a language that our own words are not written in
    application.setLayoutDirection(Qt.LayoutDirection.LeftToRight)


def _state_cautions_once(program: Program) -> None:
    if QSettings().value("cautions stated", False, type=bool) or not program.windows:
        return
    translate = QCoreApplication.translate
    dialog = CautionsDialog(
        translate("Program", "Before You Start"), translate("Program", "I Understand"),
        program.windows[0],
    )  # fmt: skip
    if dialog.exec():
        QSettings().setValue("cautions stated", True)


def run(argv: list[str]) -> int:
    """Open the editor on the files named in `argv` (without the program's name), or on none."""
    logging.basicConfig(level=logging.WARNING)
    application = make_application([sys.argv[0]])
    program = Program()
    application.commitDataRequest.connect(program.end_session)
    for name in argv:
        program.show_file(Path(name))
    program.recover_untitled()
    if not program.windows:
        program.show_new()
    QTimer.singleShot(0, lambda: _state_cautions_once(program))
    return application.exec()
