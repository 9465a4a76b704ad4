"""The row of buttons below the menus, and the name of the property at its end."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QLabel, QSizePolicy, QToolBar, QWidget

from ampacre_gui.commands import Commands

__all__ = ["Toolbar"]

_BUTTONS = ("open", "save", "-", "undo", "redo", "-", "feed from", "delete", "-",
            "zoom out", "zoom in", "fit", "-", "export")  # fmt: skip


class Toolbar(QToolBar):
    """The commands used most."""

    def __init__(self, commands: Commands) -> None:
        super().__init__()
        self.setWindowTitle(self.tr("Tools"))
        self.setObjectName("tools")
        self.setMovable(False)
        self.setIconSize(QSize(20, 20))
        self.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonIconOnly)
        for name in _BUTTONS:
            if name == "-":
                self.addSeparator()
            else:
                self.addAction(commands[name])
        gap = QWidget()
        gap.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.addWidget(gap)
        self.property_name = QLabel()
        self.property_name.setObjectName("quiet")
        self.addWidget(self.property_name)
        layout = self.layout()
        assert layout is not None
        layout.setContentsMargins(6, 1, 10, 1)
