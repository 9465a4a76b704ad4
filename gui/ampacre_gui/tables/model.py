"""The model of a table: it follows the document row by row and takes what is typed into cells."""

from collections.abc import Sequence
from typing import Any, NamedTuple

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from ampacre.model.project import Refused, StaleEdit
from ampacre.quantity import NotUnderstood, unit_word
from ampacre_gui.guard import Guarded
from ampacre_gui.panels.entries import sentence
from ampacre_gui.phrases import said
from ampacre_gui.stretches import stretches
from ampacre_gui.tables.cell_roles import Wrong, aligned, note, role_value
from ampacre_gui.tables.cells import Cell, Column, Draft, Sheet, in_order

__all__ = ["KEY", "Entry", "TableModel"]

KEY = Qt.ItemDataRole.UserRole

Index = QModelIndex | QPersistentModelIndex
_NOWHERE = QModelIndex()


class Entry(NamedTuple):
    """A text for a cell, by row and column."""

    row: int
    column: int
    text: str


class TableModel(Guarded, QAbstractTableModel):
    """Rows of a sheet, sorted and sifted here, so that thousands of them stay quick.

    Values that change move no row; sorting and sifting are done anew when somebody asks for it,
    or when rows come or go.
    """

    def __init__(self, sheet: Sheet, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.sheet = sheet
        self._columns = sheet.columns
        self._all = sheet.keys()
        self._keys = list(self._all)
        self._stamps = {key: sheet.stamp(key) for key in self._all}
        self._cells: dict[str, tuple[Cell, ...]] = {}
        self._wrong: dict[tuple[str, str], Wrong] = {}
        self._sorted: tuple[int, Qt.SortOrder] | None = None
        self._words: list[str] = []
        self._units = sheet.units
        self._places: dict[str, int] | None = None

    # keeping up with the document -------------------------------------------------------------

    def renew(self) -> None:
        """Follow the document: rows that come and go, and those that say something new."""
        self.sheet.follow()
        if [column.name for column in self.sheet.columns] != [c.name for c in self._columns]:
            self.begin_anew()
            return
        self._columns = self.sheet.columns
        keys = self.sheet.keys()
        stamps = {key: self.sheet.stamp(key) for key in keys}
        before, self._stamps = self._stamps, stamps
        altered = {key for key in keys if not _same(before.get(key, ()), stamps[key])}
        for key in altered | (before.keys() - stamps.keys()):
            self._cells.pop(key, None)
        self._wrong = {at: wrong for at, wrong in self._wrong.items() if at[0] in stamps}
        if keys != self._all:
            self._all = keys
            self._arrange()
        self._tell(altered & before.keys())
        if self._units != self.sheet.units:
            self._units = self.sheet.units
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(self._columns) - 1)

    def begin_anew(self) -> None:
        """Show other rows altogether, such as those of another panel."""
        self.beginResetModel()
        self.sheet.follow()
        self._columns = self.sheet.columns
        self._all = self.sheet.keys()
        self._stamps = {key: self.sheet.stamp(key) for key in self._all}
        self._cells.clear()
        self._wrong.clear()
        self._sorted = None
        self._keys = self._wanted()
        self._places = None
        self.endResetModel()

    def _tell(self, altered: set[str]) -> None:
        """Say of each stretch of altered rows that its data changed."""
        last = len(self._columns) - 1
        start: int | None = None
        for row, key in enumerate([*self._keys, ""]):
            if key in altered:
                start = row if start is None else start
            elif start is not None:
                self.dataChanged.emit(self.index(start, 0), self.index(row - 1, last))
                start = None

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        self._sorted = None if column < 0 else (column, order)
        self._arrange()

    def sift(self, text: str) -> None:
        """Show only rows in which all these words are found."""
        words = text.casefold().split()
        if words != self._words:
            self._words = words
            self._arrange()

    def _wanted(self) -> list[str]:
        keys = [key for key in self._all if self._fits(key)]
        if self._sorted:
            column, order = self._sorted
            cells = {key: self._cell(key, column) for key in keys}
            filled = [key for key in keys if cells[key].order is not None]
            filled.sort(
                key=lambda key: in_order(cells[key]), reverse=order == Qt.SortOrder.DescendingOrder
            )
            # rows without a value come last either way
            keys = filled + [key for key in keys if cells[key].order is None]
        return keys

    def _fits(self, key: str) -> bool:
        if not self._words:
            return True
        text = " ".join(cell.text for cell in self._row(key)).casefold()
        return all(word in text for word in self._words)

    def _arrange(self) -> None:
        """Bring the rows into the wanted order; what stays is moved, never made anew."""
        wanted = self._wanted()
        kept = set(wanted)
        gone = (at for at, key in enumerate(self._keys) if key not in kept)
        for first, last in reversed(stretches(gone)):
            self.beginRemoveRows(_NOWHERE, first, last)
            del self._keys[first : last + 1]
            self._places = None
            self.endRemoveRows()
        present = set(self._keys)
        place = {key: at for at, key in enumerate(wanted)}
        if self._keys != [key for key in wanted if key in present]:
            self._reorder(sorted(self._keys, key=place.__getitem__))
        new = (at for at, key in enumerate(wanted) if key not in present)
        for first, last in stretches(new):
            self.beginInsertRows(_NOWHERE, first, last)
            self._keys[first:first] = wanted[first : last + 1]
            self._places = None
            self.endInsertRows()

    def _reorder(self, keys: list[str]) -> None:
        self.layoutAboutToBeChanged.emit()
        before = self._keys
        self._keys = keys
        self._places = None
        place = {key: row for row, key in enumerate(keys)}
        old = self.persistentIndexList()
        new = [self.index(place[before[index.row()]], index.column()) for index in old]
        self.changePersistentIndexList(old, new)
        self.layoutChanged.emit()

    # what views ask ---------------------------------------------------------------------------

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        return 0 if parent.isValid() else len(self._keys)

    def columnCount(self, parent: Index = _NOWHERE) -> int:
        return 0 if parent.isValid() else len(self._columns)

    def _row(self, key: str) -> tuple[Cell, ...]:
        cells = self._cells.get(key)
        if cells is None:
            try:
                row = self.sheet.row(key)
            except KeyError:
                # removed a moment ago; the rows follow with the next turn of the event loop
                return tuple(Cell() for _ in self._columns)
            cells = tuple(column.read(row) for column in self._columns)
            self._cells[key] = cells
        return cells

    def _cell(self, key: str, column: int) -> Cell:
        """Give one cell without working out the others of its row."""
        known = self._cells.get(key)
        return known[column] if known else self._columns[column].read(self.sheet.row(key))

    def column(self, index: Index) -> Column:
        """Give the column of a cell."""
        return self._columns[index.column()]

    def cell(self, index: Index) -> Cell:
        """Give what a cell holds by the document."""
        return self._row(self._keys[index.row()])[index.column()]

    def element(self, row: int) -> str:
        """Give the id of the piece or run that a row stands for, "" for none."""
        return self.sheet.element(self._keys[row])

    def row_of(self, element: str) -> int:
        """Give the row that stands for an element, -1 where none is shown."""
        if self._places is None:
            self._places = {self.sheet.element(key): row for row, key in enumerate(self._keys)}
        return self._places.get(element, -1) if element else -1

    def reason(self, index: Index) -> str:
        """Say why what stands typed in a cell was not taken; "" where all is well."""
        wrong = self._wrong_at(index)
        return wrong.reason if wrong else ""

    def _wrong_at(self, index: Index) -> Wrong | None:
        return self._wrong.get((self._keys[index.row()], self.column(index).name))

    def note(self, index: Index) -> str:
        """Say in a line what there is to know of a cell."""
        return f"{self._place(index)}: {note(self.cell(index), self._wrong_at(index))}"

    def _place(self, index: Index) -> str:
        place = self.sheet.place(self._keys[index.row()], index.row() + 1)
        return f"{place[:1].upper()}{place[1:]}, {said(self.column(index).title).casefold()}"

    def head(self, column: Column) -> str:
        """Give the title of a column, with the unit of the numbers below it."""
        title = said(column.title)
        word = unit_word(column.unit, self.sheet.units) if column.unit else ""
        return f"{title}, {word}" if word else title

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if orientation == Qt.Orientation.Vertical:
            return str(section + 1) if role == Qt.ItemDataRole.DisplayRole else None
        column = self._columns[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return self.head(column)
        if role == Qt.ItemDataRole.ToolTipRole:
            return said(column.about) if column.about else None
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return aligned(column)
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        if role == KEY:
            return self.element(index.row())
        return role_value(self.cell(index), self._wrong_at(index), self.column(index), role)

    def flags(self, index: Index) -> Qt.ItemFlag:
        flags = super().flags(index)
        if index.isValid() and self.can_type(index):
            flags |= Qt.ItemFlag.ItemIsEditable
        return flags

    def can_type(self, index: Index) -> bool:
        """Tell whether a cell takes entries."""
        return self.sheet.can_type(self._keys[index.row()], self.column(index))

    # typing -----------------------------------------------------------------------------------

    def refusal(self, index: Index) -> str:
        """Say why a cell takes no entries; "" where it takes them."""
        if self.can_type(index):
            return ""
        draft, key = Draft(self.sheet.document.project), self._keys[index.row()]
        try:
            self.sheet.write(draft, key, self.column(index), "?")
        except NotUnderstood as error:
            return f"{self._place(index)}: {sentence(str(error))}"
        return ""

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Take what was typed into one cell; what is wrong is kept there, with the reason."""
        if role != Qt.ItemDataRole.EditRole or not index.isValid():
            return False
        key, column, text = self._keys[index.row()], self.column(index), str(value)
        self.let_go(index)
        draft = Draft(self.sheet.document.project)
        try:
            self.sheet.document.make(draft.edit(self.sheet.write(draft, key, column, text)))
        except (NotUnderstood, Refused, StaleEdit) as error:
            self._wrong[key, column.name] = Wrong(text, sentence(str(error)))
            self.dataChanged.emit(index, index)
            return False
        return True

    def let_go(self, index: Index) -> None:
        """Forget what was typed wrongly into a cell."""
        if self._wrong.pop((self._keys[index.row()], self.column(index).name), None):
            self.dataChanged.emit(index, index)

    def type_all(self, entries: Sequence[Entry], label: str, *, only_altered: bool = False) -> str:
        """Type into many cells as one edit. Gives what is wrong, and then nothing has changed.

        What a cell shows already is left alone where it cannot be typed; with `only_altered`
        everywhere, so that what the study chose stays its choice.
        """
        draft = Draft(self.sheet.document.project)
        wrong: list[str] = []
        for row, at, text in entries:
            index = self.index(row, at)
            as_shown = text in (self.cell(index).plain, self.data(index))
            if as_shown and (only_altered or not self.can_type(index)):
                continue
            try:
                self.sheet.write(draft, self._keys[row], self._columns[at], text)
            except NotUnderstood as error:
                wrong.append(f"{self._place(index)}: {sentence(str(error))}")
        if wrong:
            return " ".join((wrong[0], *_more(len(wrong) - 1)))
        try:
            self.sheet.document.make(draft.edit(label))
        except (Refused, StaleEdit) as error:
            return sentence(str(error))
        for row, at, _ in entries:
            self.let_go(self.index(row, at))
        return ""


def _more(count: int) -> tuple[str, ...]:
    """Say how many more cells are wrong, nothing where there are none."""
    if count == 0:
        return ()
    return ("One more cell is wrong.",) if count == 1 else (f"{count} more cells are wrong.",)


def _same(before: tuple[object, ...], after: tuple[object, ...]) -> bool:
    """Whether a row is made of the same things; small values may be equal ones instead."""
    return len(before) == len(after) and all(
        one is other or (isinstance(one, (str, float, tuple)) and one == other)
        for one, other in zip(before, after, strict=True)
    )
