"""Takes pictures of the main states of the window, light and dark, at several sizes.

    python tests/screens.py FOLDER [WIDTHxHEIGHT ...]

Looking at them is the only test of what no test can tell. QT_SCALE_FACTOR enlarges as it does for
the program. Nothing is read from or left in the home folder.
"""

import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QSettings, QSize, QStandardPaths, Qt
from PySide6.QtGui import QColor, QPalette
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QWidget

from ampacre.model.edits import alter
from ampacre_gui.app import Program, make_application
from ampacre_gui.dialogs.about import CautionsDialog
from ampacre_gui.dialogs.panel_help import PanelHelpDialog
from ampacre_gui.style import style_sheet
from ampacre_gui.window import Window

_SIZES = ((1280, 720), (1920, 1080))


def palette(*, dark: bool) -> QPalette:
    """Give the colours of a desktop, which tell the program whether it is light or dark."""
    if not dark:
        return QPalette(QColor("#efefef"))
    colours = QPalette(QColor("#2d2f33"))
    colours.setColor(QPalette.ColorRole.Base, QColor("#232529"))
    colours.setColor(QPalette.ColorRole.AlternateBase, QColor("#2a2c30"))
    colours.setColor(QPalette.ColorRole.Highlight, QColor("#2f6c9c"))
    colours.setColor(QPalette.ColorRole.HighlightedText, QColor("#ffffff"))
    colours.setColor(QPalette.ColorRole.PlaceholderText, QColor("#8d9096"))
    colours.setColor(QPalette.ColorRole.Link, QColor("#6cb2eb"))
    disabled = QPalette.ColorGroup.Disabled
    for role in (
        QPalette.ColorRole.Text,
        QPalette.ColorRole.ButtonText,
        QPalette.ColorRole.WindowText,
    ):
        colours.setColor(disabled, role, QColor("#7d8087"))
    return colours


def settle() -> None:
    """Let the window come to rest; the page of a finding waits for a pause in the work."""
    for _ in range(3):
        QTest.qWait(150)


def piece_named(window: Window, name: str) -> str:
    pieces = window.document.project.equipment.values()
    return next(piece.id for piece in pieces if piece.name == name)


def states(program: Program, width: int, height: int) -> Iterator[tuple[str, QWidget]]:
    """Bring the program into each state in turn: its name, and what is to be pictured."""

    def fresh(show: Callable[[], None]) -> Window:
        show()
        window = program.windows[-1]
        window.setWindowState(Qt.WindowState.WindowNoState)
        window.resize(width, height)
        window._docks.arrange(QSize(width, height))
        window.canvas.fit()
        settle()
        return window

    window = fresh(program.show_new)
    yield "empty", window
    window = fresh(program.show_sample)
    yield "orchard", window
    window.selection.go_to(piece_named(window, "S1"))
    settle()
    yield "overloaded", window
    window.commands["command"].trigger()
    QTest.keyClicks(window.command_finder.line, "e")
    settle()
    yield "commands", window
    window.command_finder.leave()
    window.commands["find"].trigger()
    QTest.keyClicks(window.find_bar.line, "charger")
    settle()
    yield "find", window
    window.find_bar.leave()
    window.selection.go_to(piece_named(window, "S1"))
    settle()
    lines = window.details.findChildren(QLineEdit)
    line = next(line for line in lines if line.accessibleName().startswith("Bus rating"))
    line.setFocus()
    line.selectAll()
    QTest.keyClicks(line, "lots")
    QTest.keyClick(line, Qt.Key.Key_Return)
    settle()
    yield "wrong-entry", window
    line.setText("400 A")
    window.canvas.setFocus()
    key = piece_named(window, "T1")
    for kva in (100.0, 112.5, 150.0):
        window.document.do(alter(window.document.project, "equipment", key, kva=kva))
    window.document.undo()
    window._docks["history"].raise_()
    settle()
    yield "history", window
    page = PanelHelpDialog("details", "Details", window)
    page.show()
    settle()
    yield "panel-help", page
    page.close()
    dialog = CautionsDialog("About Ampacre", "Close", window)
    dialog.show()
    settle()
    yield "about", dialog
    dialog.close()


def main(folder: Path, sizes: list[tuple[int, int]]) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    home = tempfile.mkdtemp()
    QStandardPaths.setTestModeEnabled(True)
    application = make_application(sys.argv[:1])
    application.setApplicationName("Ampacre screens")
    QSettings.setDefaultFormat(QSettings.Format.IniFormat)
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, home)
    for dark in (False, True):
        application.setPalette(palette(dark=dark))
        application.setStyleSheet(style_sheet())
        for width, height in sizes:
            program = Program()
            for name, widget in states(program, width, height):
                scheme = "dark" if dark else "light"
                path = folder / f"{name}-{scheme}-{width}x{height}.png"
                widget.grab().save(str(path))
                print(path)
            for window in list(program.windows):
                window.document.history.mark_saved()
                window.close()
            QApplication.processEvents()


if __name__ == "__main__":
    wanted = [tuple(map(int, each.split("x"))) for each in sys.argv[2:]]
    main(Path(sys.argv[1]), [(w, h) for w, h in wanted] or list(_SIZES))
