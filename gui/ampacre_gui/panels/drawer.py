"""The equipment drawer: every kind of equipment, to drag onto the drawing or add with Enter."""

from collections.abc import Sequence
from typing import cast

from PySide6.QtCore import (
    QMimeData,
    QModelIndex,
    QPersistentModelIndex,
    QPoint,
    QRect,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QDrag, QFont, QIcon, QKeyEvent, QPainter, QPalette, QPixmap, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListView,
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from ampacre.model.words import KINDS
from ampacre_gui.dragging import KIND, data_of_kind
from ampacre_gui.guard import Guarded
from ampacre_gui.icons import kind_icon
from ampacre_gui.phrases import said

__all__ = ["Drawer"]

Index = QModelIndex | QPersistentModelIndex

_KIND = Qt.ItemDataRole.UserRole
_ICON = 28
_CELL_HEIGHT = 62
_LEAST_CELL = 74

_WHAT_FOR = {
    "utility source": "The utility's line or service",
    "transformer": "Changes the voltage; utility's or your own",
    "meter": "Meter socket, revenue or private",
    "disconnect": "Enclosed switch, with or without a breaker",
    "panel": "Panelboard with a bus and circuits",
    "transfer switch": "Changes over between normal and standby supply",
    "generator": "Standby generator",
    "inverter": "Solar inverter that follows the supply",
    "battery": "Storage with its inverter",
    "charger": "Vehicle charger",
    "motor": "Motor, pump or compressor",
    "load": "A load on a circuit of its own, a range or dryer too where it is not in its dwelling load",
    "dwelling load": "All that a dwelling uses, as one entry: floor area, range, dryer and so on",
    "pedestal": "Supply post for a visitor's vehicle or boat",
    "junction": "Splice box, handhole or wireway",
}
_OTHER_WORDS = {
    "utility source": "grid service power company",
    "disconnect": "breaker switch main fuse enclosed",
    "panel": "subpanel panelboard distribution board load center",
    "transfer switch": "standby changeover",
    "generator": "standby genset",
    "inverter": "solar photovoltaic pv",
    "battery": "storage",
    "charger": "car vehicle ev evse",
    "motor": "pump compressor fan well heat pump air conditioner irrigation",
    "load": "lights lighting receptacles outlets heater water heater appliance welder range dryer",
    "dwelling load": "house home cabin appliance range oven cooktop dryer dishwasher water heater",
    "pedestal": "camp rv boat dock post",
    "junction": "splice box handhole",
}


class _Cell(Guarded, QStyledItemDelegate):
    """A symbol with its words below, on two lines where one is too narrow."""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        plain = QStyleOptionViewItem(option)
        self.initStyleOption(plain, index)
        icon, words = QIcon(plain.icon), plain.text
        plain.icon, plain.text = QIcon(), ""
        style = plain.widget.style()
        style.drawControl(QStyle.ControlElement.CE_ItemViewItem, plain, painter, plain.widget)
        box = option.rect
        icon.paint(painter, QRect(box.center().x() - _ICON // 2, box.top() + 4, _ICON, _ICON))
        painter.setFont(option.font)
        painter.setPen(option.palette.color(QPalette.ColorRole.Text))
        below = box.adjusted(1, _ICON + 6, -1, 0)
        flags = Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap
        painter.drawText(below, int(flags), words)

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        grid = cast("QListWidget", option.widget).gridSize()
        return QSize(grid.width(), grid.height() - 2)


class _Kinds(Guarded, QListWidget):
    """The symbols with their words, as many in a row as there is room for.

    `existing` is what a drag says of the piece: whether it stands already.
    """

    def __init__(self) -> None:
        super().__init__()
        self.existing = False
        self.setViewMode(QListView.ViewMode.IconMode)
        self.setMovement(QListView.Movement.Static)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setUniformItemSizes(True)
        self.setIconSize(QSize(_ICON, _ICON))
        self.setSpacing(0)
        self.setItemDelegate(_Cell(self))
        self.setVerticalScrollMode(QListWidget.ScrollMode.ScrollPerPixel)
        font = QFont(self.font())
        font.setPointSizeF(font.pointSizeF() * 0.9)
        self.setFont(font)
        self.setDragEnabled(True)
        self.setDragDropMode(QAbstractItemView.DragDropMode.DragOnly)
        self.setFrameShape(QListWidget.Shape.NoFrame)
        self.setAccessibleName(self.tr("Kinds of equipment"))
        for kind in KINDS:
            item = QListWidgetItem(said(kind), self)
            item.setData(_KIND, kind)
            item.setToolTip(said(_WHAT_FOR[kind]))
        self.draw_icons()

    def draw_icons(self) -> None:
        for row in range(self.count()):
            item = self.item(row)
            item.setIcon(kind_icon(item.data(_KIND), _ICON))

    def resizeEvent(self, event: QResizeEvent) -> None:
        # room for the scroll bar is kept, so that its coming does not change the columns
        room = self.width() - self.verticalScrollBar().sizeHint().width() - 6
        columns = max(room // _LEAST_CELL, 1)
        self.setGridSize(QSize(room // columns, _CELL_HEIGHT))
        super().resizeEvent(event)

    def mimeTypes(self) -> list[str]:
        return [KIND]

    def mimeData(self, items: Sequence[QListWidgetItem]) -> QMimeData:
        return data_of_kind(items[0].data(_KIND), existing=self.existing)

    def startDrag(self, actions: Qt.DropAction) -> None:
        item = self.currentItem()
        if item is None:
            return
        drag = QDrag(self)
        drag.setMimeData(self.mimeData([item]))
        drag.setPixmap(_faded(item.icon()))
        # the pointer holds the symbol where its line enters
        drag.setHotSpot(QPoint(_ICON // 2, 0))
        drag.exec(Qt.DropAction.CopyAction)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if self.currentItem():
                self.itemActivated.emit(self.currentItem())
            return
        super().keyPressEvent(event)


def _faded(icon: QIcon) -> QPixmap:
    picture = QPixmap(_ICON, _ICON)
    picture.fill(Qt.GlobalColor.transparent)
    painter = QPainter(picture)
    painter.setOpacity(0.8)
    icon.paint(painter, 0, 0, _ICON, _ICON)
    painter.end()
    return picture


class Drawer(QWidget):
    """Search, the kinds, and whether what is drawn stands already or is work to be done."""

    wanted = Signal(str)
    """Add a piece of this kind below what is selected."""
    standing_chosen = Signal(bool)
    """What is drawn from now on stands already, or not."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._search = QLineEdit()
        self._search.setPlaceholderText(self.tr("Find equipment"))
        self._search.setAccessibleName(self._search.placeholderText())
        self._search.setClearButtonEnabled(True)
        self._search.textChanged.connect(self._filter)
        self._search.returnPressed.connect(self._add_current)
        self._kinds = _Kinds()
        self._kinds.itemActivated.connect(self._add)
        self._kinds.currentItemChanged.connect(self._tell)
        self._nothing = QLabel(self.tr("Nothing by that name"))
        self._nothing.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._nothing.hide()
        self._told = QLabel()
        self._told.setWordWrap(True)
        self._told.hide()
        self._standing = QComboBox()
        self._standing.addItem(self.tr("new work"), False)
        self._standing.addItem(self.tr("existing"), True)
        self._standing.setAccessibleName(self.tr("Draw as"))
        self._standing.currentIndexChanged.connect(self._choose_standing)
        below = QHBoxLayout()
        label = QLabel(self.tr("Draw as"))
        label.setBuddy(self._standing)
        below.addWidget(label)
        below.addWidget(self._standing, 1)
        box = QVBoxLayout(self)
        box.setContentsMargins(8, 8, 8, 8)
        box.setSpacing(6)
        box.addWidget(self._search)
        box.addWidget(self._kinds, 1)
        box.addWidget(self._nothing)
        box.addWidget(self._told)
        box.addLayout(below)

    def focus_search(self) -> None:
        self._search.setFocus()
        self._search.selectAll()

    def show_all(self) -> None:
        """Forget what was searched for."""
        self._search.clear()

    def draw_icons(self) -> None:
        """Draw the symbols anew, in the colours of the desktop."""
        self._kinds.draw_icons()

    def _choose_standing(self) -> None:
        self._kinds.existing = bool(self._standing.currentData())
        self.standing_chosen.emit(self._kinds.existing)

    def _filter(self, text: str) -> None:
        wanted = text.casefold().split()
        fitting = []
        for row in range(self._kinds.count()):
            item = self._kinds.item(row)
            kind = item.data(_KIND)
            words = f"{item.text().casefold()} {_OTHER_WORDS.get(kind, '')}".split()
            fits = all(any(each.startswith(word) for each in words) for word in wanted)
            item.setHidden(not fits)
            if fits:
                fitting.append(item)
        # a kind's own name goes before the other words for it
        asked = " ".join(wanted)
        fitting.sort(key=lambda item: not item.text().casefold().startswith(asked))
        first = next(iter(fitting), None)
        # where nothing is searched for, nothing is found that Enter would add
        self._kinds.setCurrentItem(first if wanted else None)  # type: ignore[arg-type]
        self._kinds.setVisible(first is not None)
        self._nothing.setVisible(first is None)
        self._tell(self._kinds.currentItem())

    def _tell(self, item: QListWidgetItem | None) -> None:
        """Say what the found kind is for: what was typed need not be its name."""
        self._told.setText(item.toolTip() if item is not None else "")
        self._told.setVisible(item is not None and bool(self._search.text()))

    def _add_current(self) -> None:
        item = self._kinds.currentItem()
        if item is not None and not item.isHidden():
            self._add(item)

    def _add(self, item: QListWidgetItem) -> None:
        self.wanted.emit(item.data(_KIND))
