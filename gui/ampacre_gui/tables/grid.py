"""The view of a table: keys, the clipboard, and the selection that it shares with the window."""

from collections.abc import Callable, Iterator

from PySide6.QtCore import (
    QEvent,
    QItemSelection,
    QItemSelectionModel,
    QItemSelectionRange,
    QModelIndex,
    QPersistentModelIndex,
    Qt,
    Signal,
)
from PySide6.QtGui import QAction, QGuiApplication, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from ampacre_gui.guard import Guarded
from ampacre_gui.phrases import filled
from ampacre_gui.selection import Selection
from ampacre_gui.tables.block import read_block, write_block
from ampacre_gui.tables.editor import CellDelegate
from ampacre_gui.tables.model import Entry, TableModel

__all__ = ["Grid"]

_KEYS = QKeySequence.StandardKey
_SELECT = QItemSelectionModel.SelectionFlag
_FILL = QKeySequence("Ctrl+Shift+D")
_OURS = (
    Qt.Key.Key_Delete, Qt.Key.Key_Backspace, Qt.Key.Key_F2, Qt.Key.Key_Home, Qt.Key.Key_End,
    Qt.Key.Key_Escape,
)  # fmt: skip
"""Keys that have a meaning in a table and another one in the window."""

Index = QModelIndex | QPersistentModelIndex


class Grid(Guarded, QTableView):
    """Cells that are typed over in place, copied and pasted in rectangles."""

    said = Signal(str)
    """What there is to say of the current cell, or of what was just tried."""

    def __init__(self, model: TableModel, selection: Selection, parent: QWidget) -> None:
        super().__init__(parent)
        self._model = model
        self._selection = selection
        self._own = False
        self._find: Callable[[], None] | None = None
        self.setModel(model)
        delegate = CellDelegate(model, selection, self)
        delegate.stepped.connect(self._step_after_entry)
        self.setItemDelegate(delegate)
        triggers = QAbstractItemView.EditTrigger
        self.setEditTriggers(
            triggers.DoubleClicked | triggers.EditKeyPressed | triggers.AnyKeyPressed
        )
        self.setFrameShape(QTableView.Shape.NoFrame)
        self.setWordWrap(False)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self._arrange_heads()
        self._add_actions()
        self.selectionModel().selectionChanged.connect(self._take_selection)
        self.selectionModel().currentChanged.connect(lambda *_: self._say_current())
        self.doubleClicked.connect(self._refuse)
        model.dataChanged.connect(lambda *_: self._say_current())
        model.modelReset.connect(self.set_widths)
        selection.changed.connect(self._mark_rows)

    def _arrange_heads(self) -> None:
        rows, heads = self.verticalHeader(), self.horizontalHeader()
        height = self.fontMetrics().height()
        rows.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        rows.setDefaultSectionSize(height + 8)
        rows.setDefaultAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        heads.setHighlightSections(False)
        heads.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        heads.setMinimumSectionSize(30)
        self.set_widths()

    def set_widths(self) -> None:
        """Give the columns their usual widths."""
        one = self.fontMetrics().averageCharWidth()
        for at, column in enumerate(self._model.sheet.columns):
            self.setColumnWidth(at, one * column.chars + 18)

    def let_sort(self) -> None:
        """Let a press on a head sort by it; a third press gives the table's own order again."""
        heads = self.horizontalHeader()
        heads.setSortIndicator(-1, Qt.SortOrder.AscendingOrder)
        heads.setSortIndicatorClearable(True)
        self.setSortingEnabled(True)
        self._add(self.tr("&Sort by This Column"), self._sort_here)

    def let_find(self, find: Callable[[], None]) -> None:
        """Have the key that finds in the drawing find in the table."""
        self._find = find

    def _sort_here(self) -> None:
        heads, column = self.horizontalHeader(), self.currentIndex().column()
        again = heads.sortIndicatorSection() == column
        up = heads.sortIndicatorOrder() == Qt.SortOrder.AscendingOrder
        orders = Qt.SortOrder
        self.sortByColumn(column, orders.DescendingOrder if again and up else orders.AscendingOrder)

    def _add_actions(self) -> None:
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)
        self._add(self.tr("&Copy"), self.copy)
        self._add(self.tr("&Paste"), self.paste)
        self._add(self.tr("C&lear"), self.clear_cells)
        self._add(self.tr("&Fill Down"), self.fill_down)

    def _add(self, text: str, act: Callable[[], None]) -> None:
        # without shortcuts: the keys are taken below, ahead of those of the window
        action = QAction(text, self)
        action.triggered.connect(lambda _=False: act())
        self.addAction(action)

    # keys -------------------------------------------------------------------------------------

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ShortcutOverride:
            assert isinstance(event, QKeyEvent)
            if self._act_of(event) or event.key() in _OURS or event.matches(_KEYS.SelectAll):
                event.accept()
                return True
        return super().event(event)

    def _act_of(self, event: QKeyEvent) -> Callable[[], None] | None:
        if event.matches(_KEYS.Copy):
            return self.copy
        if event.matches(_KEYS.Paste):
            return self.paste
        if event.matches(_KEYS.Find):
            return self._find
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace) and not event.modifiers():
            return self.clear_cells
        if QKeySequence(event.keyCombination()) == _FILL:
            return self.fill_down
        return None

    def keyPressEvent(self, event: QKeyEvent) -> None:
        act = self._act_of(event)
        if act:
            act()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            back = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
            self._step(-1 if back else 1, 0)
        elif event.key() == Qt.Key.Key_Escape and self.currentIndex().isValid():
            self._model.let_go(self.currentIndex())
        elif not (_begins_entry(event) and self._refuse(self.currentIndex())):
            super().keyPressEvent(event)

    def _refuse(self, index: Index) -> bool:
        """Say of a cell that takes no entries why; tells whether it is one."""
        words = self._model.refusal(index) if index.isValid() else ""
        if words:
            self.said.emit(words)
        return bool(words)

    def _step(self, rows: int, columns: int) -> None:
        index = self.currentIndex()
        beside = self._model.index(index.row() + rows, index.column() + columns)
        if beside.isValid():
            self._jump(beside)

    def _jump(self, index: QModelIndex) -> None:
        """Go to a cell as an arrow key does: a rectangle drawn by Shift then begins there."""
        left = index.column() == 0
        beside = index.siblingAtColumn(1 if left else index.column() - 1)
        self.selectionModel().setCurrentIndex(beside, _SELECT.NoUpdate)
        key = Qt.Key.Key_Left if left else Qt.Key.Key_Right
        arrow = QKeyEvent(QEvent.Type.KeyPress, key, Qt.KeyboardModifier.NoModifier)
        super().keyPressEvent(arrow)

    def _step_after_entry(self, rows: int, columns: int) -> None:
        self.setFocus()
        index = self.currentIndex()
        if index.isValid() and not self._model.reason(index):
            self._step(rows, columns)

    # what is selected -------------------------------------------------------------------------

    def _say_current(self) -> None:
        index = self.currentIndex()
        self.said.emit(self._model.note(index) if index.isValid() else "")

    def _ranges(self) -> list[QItemSelectionRange]:
        selected = self.selectionModel().selection()
        return [selected.at(at) for at in range(selected.size())]

    def _rows(self) -> list[int]:
        spans = (range(each.top(), each.bottom() + 1) for each in self._ranges())
        return sorted(set().union(*spans))

    def _take_selection(self) -> None:
        if self._own:
            return
        current = self.currentIndex().row()
        rows = sorted(self._rows(), key=lambda row: row == current)
        keys = [key for key in map(self._model.element, rows) if key]
        if keys:
            self._selection.set(keys)
            if self._model.element(current) in keys:
                self._selection.reveal.emit(keys[-1])

    def renew(self) -> None:
        """Follow document and selection; rows that come and go select nothing."""
        self._own = True
        self._model.renew()
        self._own = False
        self.show_selection()

    def show_selection(self) -> None:
        """Select the rows of what is selected in the window; a rectangle that says so stays."""
        wanted = [key for key in self._selection.ids if self._model.row_of(key) >= 0]
        here = {self._model.element(row) for row in self._rows()}
        if wanted and set(wanted) != here - {""}:
            self.show_rows(wanted)

    def show_rows(self, wanted: list[str]) -> None:
        """Select the rows of elements, and bring the last one into view."""
        column = max(self.currentIndex().column(), 0)
        found = QItemSelection()
        for key in wanted:
            index = self._model.index(self._model.row_of(key), column)
            found.select(index, index)
        last = self._model.index(self._model.row_of(wanted[-1]), column)
        self._own = True
        self._jump(last)
        self.selectionModel().select(found, _SELECT.ClearAndSelect)
        self._own = False
        self.scrollTo(last)

    def _mark_rows(self) -> None:
        self.viewport().update()

    def _rectangle(self) -> tuple[range, range] | None:
        """Give rows and columns of the selected cells, None where they are no rectangle."""
        ranges = self._ranges()
        if not ranges:
            return None
        rows = range(min(r.top() for r in ranges), max(r.bottom() for r in ranges) + 1)
        columns = range(min(r.left() for r in ranges), max(r.right() for r in ranges) + 1)
        covered = sum(each.width() * each.height() for each in ranges)
        return (rows, columns) if covered == len(rows) * len(columns) else None

    # clipboard --------------------------------------------------------------------------------

    def _plain(self, row: int, column: int) -> str:
        return self._model.cell(self._model.index(row, column)).plain

    def copy(self) -> None:
        """Put the selected cells on the clipboard; whole rows with their heads."""
        rectangle = self._rectangle()
        if rectangle is None:
            self.said.emit(self.tr("Select one rectangle of cells to copy them."))
            return
        rows, columns = rectangle
        lines = [[self._plain(row, column) for column in columns] for row in rows]
        if len(columns) == self._model.columnCount():
            lines.insert(0, self._heads())
        QGuiApplication.clipboard().setText(write_block(lines))

    def _heads(self) -> list[str]:
        return [self._model.head(column) for column in self._model.sheet.columns]

    def paste(self) -> None:
        """Type what is on the clipboard over the cells from the selected one on, as one edit."""
        block = read_block(QGuiApplication.clipboard().text())
        whole_rows = bool(block) and block[0] == self._heads()
        if whole_rows:
            block = block[1:]
        rectangle = self._rectangle()
        if not block or rectangle is None:
            self.said.emit(self.tr("There are no cells on the clipboard, or none to paste over."))
            return
        rows, columns = rectangle
        if len(block) == 1 and len(block[0]) == 1:
            entries = [Entry(row, column, block[0][0]) for row in rows for column in columns]
        else:
            entries = [
                Entry(rows.start + down, columns.start + right, text)
                for down, line in enumerate(block)
                for right, text in enumerate(line)
            ]
        trouble = self.tr("Nothing was pasted.")
        self._type_all(entries, self.tr("Paste into cells"), trouble, only_altered=whole_rows)

    def _type_all(
        self, entries: list[Entry], label: str, trouble: str, *, only_altered: bool = False
    ) -> None:
        down = max((entry.row for entry in entries), default=0) + 1
        right = max((entry.column for entry in entries), default=0) + 1
        if down > self._model.rowCount() or right > self._model.columnCount():
            words = self.tr("The cells would reach to row %1 and column %2 of %3 rows, %4 columns.")
            numbers = (down, right, self._model.rowCount(), self._model.columnCount())
            self.said.emit(f"{trouble} {filled(words, *numbers)}")
            return
        wrong = self._model.type_all(entries, label, only_altered=only_altered)
        if wrong:
            self.said.emit(f"{trouble} {wrong}")

    def clear_cells(self) -> None:
        """Empty the selected cells, so that the study chooses for them; others stay."""
        entries = [Entry(*at, "") for at in self._selected() if self._clears(*at)]
        for at in self._selected():
            self._model.let_go(self._model.index(*at))
        if entries:
            self._type_all(entries, self.tr("Clear cells"), self.tr("Nothing was cleared."))
        else:
            self.said.emit(self.tr("Nothing here can be cleared: it is worked out or needed."))

    def _selected(self) -> Iterator[tuple[int, int]]:
        for each in self._ranges():
            for row in range(each.top(), each.bottom() + 1):
                for column in range(each.left(), each.right() + 1):
                    yield row, column

    def _clears(self, row: int, column: int) -> bool:
        index = self._model.index(row, column)
        return self._model.column(index).clears and self._model.can_type(index)

    def fill_down(self) -> None:
        """Type what is entered in the uppermost selected cells into those below them."""
        rectangle = self._rectangle()
        if rectangle is None or len(rectangle[0]) < 2:
            self.said.emit(self.tr("Select the cell to fill from and those below it."))
            return
        rows, columns = rectangle
        entries = [
            Entry(row, column, self._model.cell(self._model.index(rows.start, column)).entry)
            for row in rows[1:]
            for column in columns
        ]
        self._type_all(entries, self.tr("Fill cells down"), self.tr("Nothing was filled."))


def _begins_entry(event: QKeyEvent) -> bool:
    """Whether a key would open an editor in a cell that takes entries."""
    if event.modifiers() & ~(
        Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier
    ):
        return False
    return event.key() == Qt.Key.Key_F2 or bool(event.text().strip() and event.text().isprintable())
