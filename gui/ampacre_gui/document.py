"""One open file: its project, history, study and findings, and the signals that views follow."""

from functools import reduce
from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import QLockFile, QObject, Signal

from ampacre.model.history import History
from ampacre.model.project import Edit, Project, Refused, StaleEdit, difference
from ampacre.rules.review import Review
from ampacre.store.file import NotSaved, content, decode, digest_of
from ampacre.study.study import Study
from ampacre_gui.guard import faults
from ampacre_gui.journaling import Journaling
from ampacre_gui.locks import hold

__all__ = ["Document", "Published"]


class Published(NamedTuple):
    """What an edit did: ids of pieces, runs and other records, and whether the shape changed."""

    added: frozenset[str]
    removed: frozenset[str]
    altered: frozenset[str]
    topology: bool


class Document(QObject):
    """A project being edited. Every change goes through `do`, `undo` or `redo`."""

    changed = Signal(object)
    """A Published: the project, the study and the findings are already up to date."""
    history_changed = Signal()
    retraced = Signal(object)
    """The Edit that undo or redo did last, after all else has followed it."""
    file_changed = Signal()
    trouble = Signal(str)
    """Why an edit was refused, in words."""
    not_kept = Signal(str)
    """Why changes are not kept in the journal; they stand all the same."""

    def __init__(
        self,
        project: Project | None = None,
        path: Path | None = None,
        data: bytes = b"",
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.project = Project() if project is None else project
        self.path = path
        self.history = History()
        self.study = Study(self.project)
        self.review = Review(self.study)
        self._journal = Journaling(data, path, self)
        self._lock: QLockFile | None = None
        self._journal.trouble.connect(self.not_kept)
        self._passed_over = ""

    @classmethod
    def load(cls, path: Path) -> "Document":
        """Open a file. Raises Unreadable or InUse, with a message for people."""
        data = content(path)
        project = decode(data, path.name)
        lock = hold(path)
        document = cls(project, path, data)
        document._lock = lock
        return document

    def recover(self, journal: Path, project: Project) -> None:
        """Take up a project recovered from a journal, as a change that can be undone.

        Raises OSError.
        """
        self._journal.resume(journal)
        edit = difference(self.project, project, self.tr("Recovered changes"))
        self._compute(project)
        self.project = project
        self.history.push(edit)
        self.changed.emit(_published(edit, topology=True))
        self.history_changed.emit()

    @property
    def modified(self) -> bool:
        """Whether there is something to save."""
        return not self.history.at_saved

    @property
    def title(self) -> str:
        """What the window and its questions call this document."""
        return self.path.stem if self.path else self.project.settings.name

    def make(self, edit: Edit) -> None:
        """Do an edit. Raises Refused or StaleEdit, and then nothing has changed."""
        if edit.changes:
            self._take(edit)
            self.history.push(edit)
            self.history_changed.emit()

    def do(self, edit: Edit) -> bool:
        """Do an edit, or say on the info bar why it can't be done; tells whether it was done."""
        try:
            self.make(edit)
        except (Refused, StaleEdit) as error:
            self.trouble.emit(str(error))
            return False
        return True

    def undo(self) -> None:
        edit = self.history.peek_undo()
        if edit:
            self._take(edit.inverse())
            self.history.undone()
            self.history_changed.emit()
            self.retraced.emit(edit.inverse())

    def redo(self) -> None:
        edit = self.history.peek_redo()
        if edit:
            self._take(edit)
            self.history.redone()
            self.history_changed.emit()
            self.retraced.emit(edit)

    def go_to(self, done: int) -> None:
        """Undo or redo until so many edits stand, as one change to everything that follows."""
        history = self.history
        back = [edit.inverse() for edit in reversed(history.edits[done : history.done])]
        forth = history.edits[history.done : done]
        whole = reduce(Edit.then, back or forth, Edit("", ()))
        if whole.changes:
            self._take(whole)
        for _ in back:
            history.undone()
        for _ in forth:
            history.redone()
        if back or forth:
            self.history_changed.emit()
            self.retraced.emit((back or forth)[-1])

    def preview(self, edit: Edit) -> tuple[Study, Review]:
        """Give study and findings as they would be after an edit. Raises Refused or StaleEdit."""
        study = self.study.fork(self.project.apply(edit))
        return study, Review(study)

    def _take(self, edit: Edit) -> None:
        """Apply, compute, journal, publish. What fails before the journal leaves no trace."""
        before, after = self.project, self.project.apply(edit)
        topology = self._compute(after)
        self.project = after
        self._journal.write(before, edit)
        self.changed.emit(_published(edit, topology))

    def _compute(self, after: Project) -> bool:
        """Bring study and findings up to date; tells whether the shape of the drawing changed."""
        try:
            changed = self.study.follow(after)
            self.review.follow(self.study)
        except Exception as error:
            # numbers that may be half computed are worse than none: go back to what was sound
            self.study = Study(self.project)
            self.review = Review(self.study)
            faults.tell(error)
            problem = self.tr("the numbers could not be worked out, so the change was not made")
            raise Refused([problem]) from error
        return changed.topology

    def save(self) -> None:
        """Write to the path. Raises NotSaved."""
        assert self.path is not None
        self._journal.save(self.project, self.path)
        self.history.mark_saved()
        self.file_changed.emit()
        self.history_changed.emit()

    def save_as(self, path: Path) -> None:
        """Write to another path and go on with that one. Raises NotSaved or InUse."""
        before = self.path
        lock = self._lock if path == before and self._lock else hold(path)
        self.path = path
        try:
            self.save()
        except NotSaved:
            self.path = before
            if lock is not self._lock:
                lock.unlock()
            raise
        if self._lock is not None and lock is not self._lock:
            self._lock.unlock()
        self._lock = lock

    @property
    def changed_outside(self) -> str:
        """Digest of the file where another program wrote to it since, "" where none did."""
        now = digest_of(self.path) if self.path else ""
        return "" if now in (self._journal.digest, self._passed_over) else now

    def keep_mine(self) -> None:
        """Let the next save replace what another program wrote."""
        self._passed_over = self.changed_outside or self._passed_over

    def load_other(self) -> None:
        """Take up what another program wrote, as a change that can be undone.

        Raises Unreadable or Refused, and then nothing has changed.
        """
        assert self.path is not None
        data = content(self.path)
        other = decode(data, self.path.name)
        edit = difference(self.project, other, self.tr("Load the other version"))
        if edit.changes:
            self._take(edit)
            self.history.push(edit)
        self._journal.start_over(data)
        self.history.mark_saved()
        self.file_changed.emit()
        self.history_changed.emit()

    def keep(self) -> None:
        """Have all changes stand in the journal, whatever becomes of the program."""
        self._journal.sync()

    def close(self) -> None:
        """Leave the document: its journal is no longer needed."""
        self._journal.close()
        if self._lock is not None:
            self._lock.unlock()


def _published(edit: Edit, topology: bool) -> Published:
    added = frozenset(c.key for c in edit.changes if c.before is None)
    removed = frozenset(c.key for c in edit.changes if c.after is None)
    altered = frozenset(c.key for c in edit.changes if c.before and c.after)
    return Published(added - removed, removed - added, altered, topology)
