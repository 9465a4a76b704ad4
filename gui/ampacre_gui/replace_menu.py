"""The menu of kinds that the selected piece can be replaced with, in place."""

from PySide6.QtWidgets import QMenu, QWidget

from ampacre.model.replacing import replace_kind, why_not
from ampacre.model.words import KINDS
from ampacre_gui.access_keys import give_access_keys
from ampacre_gui.document import Document
from ampacre_gui.icons import kind_icon
from ampacre_gui.intents import system_of
from ampacre_gui.phrases import said
from ampacre_gui.selection import Selection

__all__ = ["ReplaceMenu", "one_piece", "replace"]


def one_piece(document: Document, selection: Selection) -> str:
    """Give the one piece that is selected, "" where it is not just one."""
    ids = selection.ids
    return ids[0] if len(ids) == 1 and ids[0] in document.project.equipment else ""


def replace(document: Document, key: str, kind: str) -> None:
    """Make a piece one of another kind."""
    system = system_of(document.study, key)
    document.do(replace_kind(document.project, key, kind, system))


class ReplaceMenu(QMenu):
    """Fills itself each time it opens; a kind that cannot be is greyed and says why."""

    def __init__(
        self, document: Document, selection: Selection, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setTitle(self.tr("Replace &With"))
        self.setToolTipsVisible(True)
        self._document = document
        self._selection = selection
        self.aboutToShow.connect(self._fill)
        document.changed.connect(self._renew)
        selection.changed.connect(self._renew)
        self._renew()

    def _piece(self) -> str:
        return one_piece(self._document, self._selection)

    def _renew(self) -> None:
        self.menuAction().setEnabled(bool(self._piece()))

    def _fill(self) -> None:
        self.clear()
        key = self._piece()
        for kind in KINDS if key else ():
            action = self.addAction(kind_icon(kind, 20), said(kind))
            reason = why_not(self._document.project, key, kind)
            action.setEnabled(not reason)
            action.setToolTip(reason)
            action.triggered.connect(lambda _=False, kind=kind: replace(self._document, key, kind))
        give_access_keys(self)
