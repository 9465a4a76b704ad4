"""What views are told of a cell: its text, how it looks, and what is said of it."""

from typing import Any, NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont

from ampacre_gui.flags import flag_icon
from ampacre_gui.look import look
from ampacre_gui.tables.cells import Cell, Column

__all__ = ["Wrong", "aligned", "note", "role_value"]

_HOW = {
    "chosen": "chosen by the study",
    "assumed": "assumed, to be verified",
    "unknown": "not known",
}


class Wrong(NamedTuple):
    """What was typed into a cell and why it was not taken."""

    text: str
    reason: str


def role_value(cell: Cell, wrong: Wrong | None, column: Column, role: int) -> Any:
    """Give what a role of the model has for a cell, None for nothing."""
    match role:
        case Qt.ItemDataRole.DisplayRole:
            return wrong.text if wrong else cell.text + ("*" if cell.how == "assumed" else "")
        case Qt.ItemDataRole.EditRole:
            return wrong.text if wrong else cell.entry
        case Qt.ItemDataRole.ToolTipRole:
            return wrong.reason if wrong else _tip(cell)
        case Qt.ItemDataRole.AccessibleTextRole:
            return f"{wrong.text}, not taken" if wrong else _spoken(cell)
        case Qt.ItemDataRole.AccessibleDescriptionRole:
            return wrong.reason if wrong else cell.why
        case Qt.ItemDataRole.TextAlignmentRole:
            return aligned(column)
        case Qt.ItemDataRole.DecorationRole:
            return flag_icon(cell.mark) if cell.mark else None
    return None if wrong else _look_of(cell, role)


def aligned(column: Column) -> Qt.AlignmentFlag:
    """Give the side that a column's cells and its head stand on."""
    side = Qt.AlignmentFlag.AlignRight if column.right else Qt.AlignmentFlag.AlignLeft
    return side | Qt.AlignmentFlag.AlignVCenter


def note(cell: Cell, wrong: Wrong | None) -> str:
    """Say in a line what there is to know of a cell."""
    if wrong:
        return f"not taken. {wrong.reason}"
    parts = [cell.plain, _HOW.get(cell.how, ""), *cell.why.splitlines()]
    return "; ".join(part for part in parts if part)


def _spoken(cell: Cell) -> str:
    return ", ".join(part for part in (cell.text, _HOW.get(cell.how, "")) if part)


def _tip(cell: Cell) -> str | None:
    how = _HOW.get(cell.how, "")
    how = f"{how[:1].upper()}{how[1:]}" if how else ""
    return ": ".join(part for part in (how, cell.why) if part) or None


def _look_of(cell: Cell, role: int) -> Any:
    """Chosen, assumed and spare are set off in italics, so that colour is not the only sign."""
    apart = cell.how in ("chosen", "assumed", "spare")
    if role == Qt.ItemDataRole.ForegroundRole and apart:
        return look().quiet
    if role == Qt.ItemDataRole.FontRole and (apart or cell.how == "sum"):
        font = QFont()
        font.setItalic(apart)
        font.setBold(not apart)
        return font
    return None
