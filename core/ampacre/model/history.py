"""Undo history: a list of edits, a cursor, and the mark of what was saved."""

from ampacre.model.project import Edit

__all__ = ["History"]


class History:
    """What was done, in order; `done` of the `edits` stand, the rest can be done again."""

    def __init__(self) -> None:
        self.edits: list[Edit] = []
        self.done = 0
        self._saved: int | None = 0

    @property
    def at_saved(self) -> bool:
        """Whether the project is as it was last saved."""
        return self._saved == self.done

    @property
    def saved(self) -> int | None:
        """How many edits stood at the last save, None where no undo leads there any more."""
        return self._saved

    def mark_saved(self) -> None:
        self._saved = self.done

    def push(self, edit: Edit) -> None:
        """Record an edit that was just applied; edits of one gesture make one step."""
        if self._saved is not None and self._saved > self.done:
            self._saved = None
        del self.edits[self.done :]
        last = self.edits[-1] if self.edits else None
        if last and edit.gesture and last.gesture == edit.gesture and not self.at_saved:
            merged = last.then(edit)
            if merged.changes:
                self.edits[-1] = merged
            else:
                del self.edits[-1]
        else:
            self.edits.append(edit)
        self.done = len(self.edits)

    def peek_undo(self) -> Edit | None:
        """The edit that would be taken back next."""
        return self.edits[self.done - 1] if self.done else None

    def peek_redo(self) -> Edit | None:
        """The edit that would be done again next."""
        return self.edits[self.done] if self.done < len(self.edits) else None

    def undone(self) -> None:
        """Say that the edit of `peek_undo` was taken back."""
        self.done -= 1

    def redone(self) -> None:
        """Say that the edit of `peek_redo` was done again."""
        self.done += 1
