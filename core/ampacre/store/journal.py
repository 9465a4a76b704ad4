"""The journal: every edit since the last save, one JSON line each, so that a crash loses nothing.

Its first line says which file it belongs to, by the digest of that file's bytes; the journal of a
project that has no file yet holds the whole project there. A save first adds the digest of the
file it is about to write: whichever of both files a crash leaves, the journal knows where to begin.
"""

import contextlib
import io
import os
import threading
from pathlib import Path
from typing import Any, Self

import msgspec
from msgspec import Struct

from ampacre.model.project import Edit, Project
from ampacre.store.file import (
    FORMAT,
    VERSION,
    NotSaved,
    Unreadable,
    checked,
    digest,
    encode,
    plain_file,
    project_of,
    write,
)
from ampacre.store.migrate import migrated
from ampacre.store.parse import parsed

__all__ = ["Journal", "NotRecovered", "beside", "put_aside", "recover"]


class Head(Struct, frozen=True, tag_field="line", tag="journal", omit_defaults=True):
    """The first line. `base` is the project as a plain file where there is no file yet."""

    format: str
    version: int
    digest: str
    base: dict[str, Any] | None = None


class EditLine(Struct, frozen=True, tag_field="line", tag="edit"):
    """One edit: for each changed record its table, its id, and what it is now (null: removed)."""

    label: str
    changes: list[tuple[str, str, dict[str, Any] | None]]


class SavedLine(Struct, frozen=True, tag_field="line", tag="saved"):
    """A save that was begun: the digest of the bytes that the file was to get."""

    digest: str


Line = Head | EditLine | SavedLine


class NotRecovered(Exception):
    """The journal holds edits, but they cannot be applied. The message says why."""


def beside(path: Path) -> Path:
    """Give the place of the journal of a project file."""
    return path.with_name(f"{path.name}.journal")


def put_aside(path: Path) -> Path:
    """Rename a journal that was not recovered, so that a new one can begin; gives its new name."""
    number = 1
    while (kept := path.with_name(f"{path.name}.{number}")).exists():
        number += 1
    return path.rename(kept)


class Journal:
    """The open journal of one project.

    Nothing here raises for want of disk space or permission: the edit stands, `trouble` says in
    words why it is not kept, and the next write tries again. `trouble` is "" when all is written.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.trouble = ""
        self._file: io.FileIO | None = None
        self._head: bytes | None = None
        self._pending = b""
        self._closing = threading.Lock()

    @classmethod
    def start(cls, path: Path, data: bytes, *, untitled: bool = False) -> Self:
        """Begin the journal of a project whose file holds `data`.

        An untitled project has no file: its `data`, the encoded project, goes into the journal.
        """
        journal = cls(path)
        journal._begin(path, _head_of(data, untitled=untitled))
        return journal

    @classmethod
    def resume(cls, path: Path) -> Self:
        """Go on with a journal that was recovered; a torn last line is cut off.

        Raises OSError.
        """
        journal = cls(path)
        file = path.open("r+b", buffering=0)
        file.truncate(len(_whole_lines(file.readall())))
        file.seek(0, os.SEEK_END)
        journal._file = file
        return journal

    def write(self, edit: Edit) -> None:
        """Add an edit that was applied (the inverse edit, where it was undone)."""
        changes: list[tuple[str, str, dict[str, Any] | None]] = [
            (c.table, c.key, None if c.after is None else msgspec.to_builtins(c.after))
            for c in edit.changes
        ]
        self._pending += _encoded(EditLine(edit.label, changes))
        self._flush()

    def save(self, project: Project, path: Path) -> None:
        """Save the project to a file and begin the journal afresh beside it. Raises NotSaved."""
        data = encode(project)
        self._pending += _encoded(SavedLine(digest(data)))
        self._flush()
        self.sync()
        write(data, path)
        old = self.path
        self._begin(beside(path), _head_of(data))
        if old != self.path and not self.trouble:
            _unlink(old)

    def sync(self) -> None:
        """Make what is written last through a power cut. May be called from any thread."""
        with self._closing:
            handle = os.dup(self._file.fileno()) if self._file else None
        if handle is not None:
            with contextlib.suppress(OSError):
                os.fsync(handle)
            os.close(handle)

    def close(self) -> None:
        """Leave the journal where it is."""
        with self._closing:
            if self._file:
                self._file.close()
            self._file = None

    def discard(self) -> None:
        """Close and delete the journal: all is saved, or the changes are given up."""
        self.close()
        _unlink(self.path)

    def _begin(self, path: Path, head: bytes) -> None:
        self.close()
        self.path, self._head, self._pending = path, head, b""
        self._flush()

    def _flush(self) -> None:
        try:
            if self._head is not None:
                write(self._head, self.path)
                self._file = self.path.open("ab", buffering=0)
                self._head = None
            if self._pending and self._file:
                _append(self._file, self._pending)
                self._pending = b""
            self.trouble = ""
        except NotSaved as error:
            self.trouble = f"Changes are not kept in the journal: {error}"
        except OSError as error:
            self.trouble = f"Changes are not kept in the journal: {error.strerror or error}"


def _append(file: io.FileIO, data: bytes) -> None:
    """Write all of the data at the end of the file, or leave the file as it was."""
    end = file.seek(0, os.SEEK_END)
    try:
        while data:
            data = data[file.write(data) :]
    except OSError:
        with contextlib.suppress(OSError):
            file.truncate(end)
        raise


def _unlink(path: Path) -> None:
    """Delete a journal that is done with; one that stays is not mistaken for another's."""
    with contextlib.suppress(OSError):
        path.unlink()


def _encoded(line: Line) -> bytes:
    return msgspec.json.encode(line) + b"\n"


def _head_of(data: bytes, *, untitled: bool = False) -> bytes:
    if untitled:
        return _encoded(Head(FORMAT, VERSION, "", plain_file(data)))
    return _encoded(Head(FORMAT, VERSION, digest(data)))


def recover(journal: Path, data: bytes) -> Project | None:
    """Give the project of a file (of these bytes; b"" if untitled) with the journal's edits.

    Gives None where there is no journal or it holds no edit beyond the file. Raises NotRecovered
    where it belongs to another version of the file or is damaged. Neither file is changed.
    """
    try:
        lines = _lines(journal)
        if not lines:
            return None
        head = _checked_head(lines[0])
        edits = _edits_beyond(data, head, lines[1:])
        if not edits:
            return None
        plain = plain_file(data) if head.base is None else checked(head.base)
        return project_of(_replayed(migrated(plain, head.version), edits))
    except Unreadable as error:
        raise NotRecovered(f"{journal.name}: {error}") from None


def _whole_lines(data: bytes) -> bytes:
    """Leave out what a crash cut short: a line that does not end was not written."""
    return data[: data.rfind(b"\n") + 1]


def _lines(journal: Path) -> list[Line]:
    try:
        data = journal.read_bytes()
    except FileNotFoundError:
        return []
    except OSError as error:
        raise Unreadable(f"cannot be read: {error.strerror}") from None
    lines: list[Line] = []
    for number, line in enumerate(_whole_lines(data).split(b"\n")[:-1], start=1):
        try:
            lines.append(msgspec.convert(parsed(line), type=Line))
        except (Unreadable, msgspec.ValidationError):
            raise Unreadable(f"is damaged at line {number}") from None
    return lines


def _checked_head(head: Line) -> Head:
    if not isinstance(head, Head) or head.format != FORMAT or head.version < 1:
        raise Unreadable("is not the journal of a project")
    if head.version > VERSION:
        raise Unreadable("was written by a newer Ampacre")
    return head


def _edits_beyond(data: bytes, head: Head, later: list[Line]) -> list[EditLine]:
    """Choose the edits that the file does not have yet: those after the digest of its bytes."""
    mark = digest(data) if data else ""
    if head.digest != mark:
        saves = [at for at, line in enumerate(later) if line == SavedLine(mark)]
        if not saves:
            raise Unreadable("belongs to another version of the file, so its changes were left out")
        later = later[saves[-1] :]
    return [line for line in later if isinstance(line, EditLine)]


def _replayed(plain: dict[str, Any], edits: list[EditLine]) -> dict[str, Any]:
    """Put the changed records into the tables of a plain file."""
    try:
        tables = {
            name: {record["id"]: record for record in plain.get(name, ())}
            for name in {change[0] for edit in edits for change in edit.changes}
        }
    except (TypeError, KeyError):
        raise Unreadable("does not fit the file") from None
    for edit in edits:
        for table, key, after in edit.changes:
            if after is None:
                tables[table].pop(key, None)
            else:
                tables[table][key] = after
    return plain | {name: list(records.values()) for name, records in tables.items()}
