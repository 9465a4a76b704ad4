"""Editor of the members of a group: a list in which those that belong to it are ticked."""

from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from ampacre.quantity import UnitSystem
from ampacre_gui.panels.references import Choices

__all__ = ["MembersEditor"]

_KEY = Qt.ItemDataRole.UserRole


class MembersEditor(QWidget):
    """Enters the ids of all ticked lines."""

    entered = Signal(object)
    refused = Signal(str)

    def __init__(self, name: str, choices: Choices, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._list = QListWidget()
        self._list.setAccessibleName(name)
        self._list.setMinimumHeight(150)
        for word, key in choices:
            item = QListWidgetItem(word, self._list)
            item.setData(_KEY, key)
        self._list.itemChanged.connect(lambda _: self.entered.emit(self._ticked()))
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addWidget(self._list)
        self.setFocusProxy(self._list)

    def show_value(self, value: tuple[str, ...], _hint: str, _units: UnitSystem) -> None:
        self._list.blockSignals(True)
        for item in self._items():
            ticked = item.data(_KEY) in value
            item.setCheckState(Qt.CheckState.Checked if ticked else Qt.CheckState.Unchecked)
        self._list.blockSignals(False)

    def keep_as_typed(self) -> None:
        """Nothing to do: the form shows the document's value again."""

    def _items(self) -> list[QListWidgetItem]:
        return [self._list.item(row) for row in range(self._list.count())]

    def _ticked(self) -> tuple[Any, ...]:
        checked = Qt.CheckState.Checked
        return tuple(item.data(_KEY) for item in self._items() if item.checkState() == checked)
