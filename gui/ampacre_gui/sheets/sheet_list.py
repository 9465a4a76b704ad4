"""The sheets of the set, by number and title; a check says which of them are wanted."""

import msgspec
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from ampacre.picture.primitives import Picture
from ampacre.sheets.making import Drawn

__all__ = ["SheetList", "picture_of"]

_DRAWN = Qt.ItemDataRole.UserRole
_CHECKED, _UNCHECKED = Qt.CheckState.Checked, Qt.CheckState.Unchecked


class SheetList(QWidget):
    shown = Signal()
    """Another sheet is to be shown."""
    choice_changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.list = QListWidget()
        self.list.setAccessibleName(self.tr("Sheets"))
        self.list.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.currentItemChanged.connect(lambda *_: self.shown.emit())
        self.list.itemChanged.connect(lambda _: self.choice_changed.emit())
        self._unwanted: set[str] = set()
        heading = QLabel(self.tr("Sheets"))
        heading.setObjectName("heading")
        line = QHBoxLayout()
        line.addWidget(heading, 1)
        for words, told, state in (
            (self.tr("All"), self.tr("Choose all sheets"), _CHECKED),
            (self.tr("None"), self.tr("Choose no sheet"), _UNCHECKED),
        ):
            button = QToolButton()
            button.setText(words)
            button.setAutoRaise(True)
            button.setToolTip(told)
            button.setAccessibleName(told)
            button.clicked.connect(lambda _=False, state=state: self.choose_all(state))
            line.addWidget(button)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(6)
        box.addLayout(line)
        box.addWidget(self.list, 1)

    def begin(self) -> None:
        """Empty the list for another set; sheets not wanted stay so."""
        self._unwanted = {sheet.number for sheet in self.all()} - set(self.numbers)
        # items go one by one, and each that goes would have the next one shown
        self.list.blockSignals(True)
        self.list.clear()
        self.list.blockSignals(False)

    def add(self, sheet: Drawn) -> None:
        item = QListWidgetItem(f"{sheet.number}  {sheet.title}")
        item.setToolTip(item.text())
        item.setData(_DRAWN, sheet)
        item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
        item.setCheckState(_UNCHECKED if sheet.number in self._unwanted else _CHECKED)
        self.list.addItem(item)

    def all(self) -> list[Drawn]:
        return [self.list.item(row).data(_DRAWN) for row in range(self.list.count())]

    @property
    def wanted(self) -> list[Drawn]:
        """The sheets that are checked."""
        items = (self.list.item(row) for row in range(self.list.count()))
        return [item.data(_DRAWN) for item in items if item.checkState() == _CHECKED]

    @property
    def numbers(self) -> tuple[str, ...]:
        """The numbers of the sheets that are checked."""
        return tuple(sheet.number for sheet in self.wanted)

    @property
    def current(self) -> Drawn | None:
        item = self.list.currentItem()
        return item.data(_DRAWN) if item else None

    def choose_all(self, state: Qt.CheckState) -> None:
        self.list.blockSignals(True)
        for row in range(self.list.count()):
            self.list.item(row).setCheckState(state)
        self.list.blockSignals(False)
        self.list.viewport().update()
        self.choice_changed.emit()

    def go(self, steps: int) -> None:
        """Show a sheet further on or back, stopping at the first and the last."""
        last = self.list.count() - 1
        self.list.setCurrentRow(min(max(self.list.currentRow() + steps, 0), last))

    def go_to(self, number: str) -> None:
        """Show the sheet of a number, the first where there is none."""
        numbers = [sheet.number for sheet in self.all()]
        self.list.setCurrentRow(numbers.index(number) if number in numbers else 0)


def picture_of(sheet: Drawn) -> Picture:
    """Decode what was drawn on a sheet."""
    return msgspec.msgpack.decode(sheet.picture, type=Picture)
