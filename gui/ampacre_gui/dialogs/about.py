"""About the program, with the cautions that it states."""

from importlib.metadata import PackageNotFoundError, version

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from ampacre.sheets.frame import CAUTIONS
from ampacre_gui.dialogs.running import run_dialog
from ampacre_gui.icons import program_icon
from ampacre_gui.phrases import filled, said

__all__ = ["CautionsDialog", "about"]


class CautionsDialog(QDialog):
    """The program's name and the cautions, one below the other."""

    def __init__(self, title: str, button: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        picture = QLabel()
        picture.setPixmap(program_icon().pixmap(64, 64))
        name = QLabel(filled(self.tr("Ampacre %1"), _version()))
        font = QFont(self.font())
        font.setPointSizeF(font.pointSizeF() * 1.5)
        font.setBold(True)
        name.setFont(font)
        what = QLabel(self.tr("One-line diagrams with live electrical checks for rural properties"))
        what.setWordWrap(True)
        words = QVBoxLayout()
        words.addWidget(name)
        words.addWidget(what)
        words.addStretch(1)
        head = QHBoxLayout()
        head.setSpacing(18)
        head.addWidget(picture, 0, Qt.AlignmentFlag.AlignTop)
        head.addLayout(words, 1)
        box = QVBoxLayout(self)
        box.setContentsMargins(24, 20, 24, 18)
        box.setSpacing(10)
        box.addLayout(head)
        box.addSpacing(6)
        for caution in CAUTIONS:
            line = QLabel(f"\u2022  {said(caution)}")
            line.setWordWrap(True)
            box.addWidget(line)
        box.addSpacing(8)
        buttons = QDialogButtonBox()
        buttons.addButton(button, QDialogButtonBox.ButtonRole.AcceptRole)
        buttons.accepted.connect(self.accept)
        box.addWidget(buttons)
        self.setFixedWidth(480)


def _version() -> str:
    try:
        return version("ampacre")
    except PackageNotFoundError:
        return ""


def about(parent: QWidget) -> None:
    """Show the dialog from the Help menu."""
    dialog = CautionsDialog(parent.tr("About Ampacre"), parent.tr("Close"), parent)
    run_dialog(dialog)
