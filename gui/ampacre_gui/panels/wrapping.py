"""Lines of a tree whose words take as many rows of text as their columns' widths ask for."""

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QSize, Qt, QTimer
from PySide6.QtWidgets import QHeaderView, QStyledItemDelegate, QStyleOptionViewItem, QTreeView

from ampacre_gui.guard import Guarded

__all__ = ["Wrapping", "share_width", "wrap_column"]

_MARGIN = 22
_KEPT = 10_000
_SHARE, _LEAST = 0.42, 64
"""The columns beside the wrapping one together take no more of the view than this share, but each has
these pixels."""

Index = QModelIndex | QPersistentModelIndex


class Wrapping(Guarded, QStyledItemDelegate):
    """Gives each line below a heading the height that its words need."""

    def __init__(self, view: QTreeView) -> None:
        super().__init__(view)
        self._view = view
        self._heights: dict[tuple[str, int, int], int] = {}

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        if not index.parent().isValid():
            return QSize(0, option.fontMetrics.height() + 8)
        icon = index.data(Qt.ItemDataRole.DecorationRole)
        beside = _MARGIN if icon is None else _MARGIN + self._view.iconSize().width()
        room = self._view.columnWidth(index.column()) - beside
        # a view asks for all lines whenever one comes or goes
        made_from = (str(index.data()), room, option.fontMetrics.height())
        if made_from not in self._heights:
            if len(self._heights) > _KEPT:
                self._heights.clear()
            words, *_ = made_from
            box = option.fontMetrics.boundingRect(
                0, 0, room, 10_000, Qt.TextFlag.TextWordWrap, words
            )
            self._heights[made_from] = box.height() + 8
        return QSize(room, self._heights[made_from])


def wrap_column(view: QTreeView, column: int, widths: dict[int, int]) -> None:
    """Give one column the room that is left; the others have these widths or less."""
    view.setWordWrap(True)
    view.setItemDelegate(Wrapping(view))
    header = view.header()
    header.setStretchLastSection(False)
    header.setMinimumSectionSize(40)
    header.setSectionResizeMode(column, QHeaderView.ResizeMode.Stretch)
    for other in widths:
        header.setSectionResizeMode(other, QHeaderView.ResizeMode.Fixed)
    share_width(view, widths)
    relayout = QTimer(view, singleShot=True, interval=0)
    relayout.timeout.connect(view.doItemsLayout)
    header.sectionResized.connect(lambda *_: relayout.start())


def share_width(view: QTreeView, widths: dict[int, int]) -> None:
    """Give the columns beside the wrapping one their widths, in a narrow view less of them."""
    less = min(view.width() * _SHARE / sum(widths.values()), 1.0)
    for column, width in widths.items():
        view.header().resizeSection(column, max(round(width * less), min(width, _LEAST)))
