"""The kinds of the menu "Replace With" as commands, so that the list of commands (Ctrl+K) has them."""

from functools import partial

from PySide6.QtCore import QObject

from ampacre.model.replacing import why_not
from ampacre.model.words import KINDS
from ampacre_gui.commands import Commands
from ampacre_gui.document import Document
from ampacre_gui.phrases import filled, said
from ampacre_gui.replace_menu import one_piece, replace
from ampacre_gui.selection import Selection

__all__ = ["ReplaceCommands"]


class ReplaceCommands(QObject):
    """Whether each can be used is asked when somebody looks, and not with every edit."""

    def __init__(self, document: Document, selection: Selection, commands: Commands) -> None:
        super().__init__(commands)
        self._document = document
        self._selection = selection
        self._commands = commands
        for kind in KINDS:
            words = filled(self.tr("Replace With %1"), said(kind).title())
            commands.add(_name(kind), words, partial(self._replace, kind), "")
        self.renew()

    def renew(self) -> None:
        """Let those be used that the selected piece can become."""
        key = one_piece(self._document, self._selection)
        otherwise = self.tr("select one piece first")
        for kind in KINDS:
            reason = why_not(self._document.project, key, kind) if key else otherwise
            self._commands.allow(_name(kind), not reason, reason)

    def _replace(self, kind: str) -> None:
        key = one_piece(self._document, self._selection)
        if key:
            replace(self._document, key, kind)


def _name(kind: str) -> str:
    return f"replace with {kind}"
