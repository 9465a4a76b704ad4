"""The project file: one JSON object with a format name, a version, and the tables as lists."""

import contextlib
import hashlib
import os
import secrets
import stat
import types
from pathlib import Path
from typing import Any, Literal

import msgspec

from ampacre.model.project import TABLES, Project
from ampacre.model.soundness import problems
from ampacre.store.explain import explained
from ampacre.store.migrate import migrated
from ampacre.store.parse import LARGEST_BYTES, Unreadable, parsed

__all__ = [
    "FORMAT",
    "VERSION",
    "NotSaved",
    "Unreadable",
    "checked",
    "content",
    "decode",
    "digest",
    "digest_of",
    "encode",
    "load",
    "plain_file",
    "project_of",
    "save",
    "schema",
    "why_not_written",
    "writable",
    "write",
]

FORMAT = "ampacre project"
VERSION = 1
_LONGEST_MESSAGE = 400
_ANYBODY_MAY_WRITE = 0o222

_FIELDS: list[Any] = [("format", Literal[FORMAT]), ("version", Literal[VERSION])]
_FIELDS += [(name, types.GenericAlias(tuple, (kind, ...)), ()) for name, kind in TABLES.items()]

_File = msgspec.defstruct(
    "ProjectFile",
    _FIELDS,
    omit_defaults=True,
    forbid_unknown_fields=True,
    kw_only=True,
)


class NotSaved(Exception):
    """The file could not be written; what was there before is still there."""


def load(path: Path) -> Project:
    """Read a project from a file, which is never changed. Raises Unreadable."""
    return decode(content(path), path.name)


def content(path: Path) -> bytes:
    """Give the bytes of a file, no more than can be decoded. Raises Unreadable."""
    try:
        kind = path.stat().st_mode
        if stat.S_ISDIR(kind):
            raise Unreadable(f"{path}: is a folder, not a file")
        if not stat.S_ISREG(kind):
            raise Unreadable(f"{path.name}: is not an ordinary file")
        with path.open("rb") as file:
            return file.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        raise Unreadable(f"{path}: there is no such file") from None
    except PermissionError:
        raise Unreadable(f"{path.name}: you have no permission to read it") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        raise Unreadable(f"{path.name}: cannot be read: {reason}") from None


def decode(data: bytes, name: str) -> Project:
    """Decode a file's bytes; `name` is what messages call it. Raises Unreadable."""
    try:
        return project_of(plain_file(data))
    except Unreadable as error:
        line = " ".join(str(error).split())
        raise Unreadable(f"{name}: {line[:_LONGEST_MESSAGE]}") from None


def plain_file(data: bytes) -> dict[str, Any]:
    """Decode a file's bytes into plain objects of the version that the file says it has."""
    return checked(parsed(data))


def checked(plain: Any) -> dict[str, Any]:
    """Give plain objects back if they are a project file of a version that can be read."""
    if not isinstance(plain, dict) or plain.get("format") != FORMAT:
        raise Unreadable(f'is not an Ampacre project: it does not say "format": "{FORMAT}"')
    version = plain.get("version")
    if type(version) is not int or version < 1:
        raise Unreadable('"version" must be a whole number from 1')
    if version > VERSION:
        raise Unreadable(
            f"was written by a newer Ampacre (file version {version}; this one reads up to {VERSION})"
        )
    return plain


def project_of(plain: dict[str, Any]) -> Project:
    """Make the project of a plain file of any version up to this one."""
    plain = migrated(plain, VERSION)
    try:
        file: Any = msgspec.convert(plain, type=_File)
    except msgspec.ValidationError as error:
        raise Unreadable(explained(error, plain)) from None
    project = Project(**{name: _by_id(name, getattr(file, name)) for name in TABLES})
    found = problems(project)
    if found:
        more = f" (and {len(found) - 1} more)" if len(found) > 1 else ""
        raise Unreadable(found[0] + more)
    return project


def _by_id(table: str, records: tuple[Any, ...]) -> dict[str, Any]:
    by_id = {record.id: record for record in records}
    if len(by_id) < len(records):
        ids = [record.id for record in records]
        doubled = next(key for key in ids if ids.count(key) > 1)
        raise Unreadable(f"{table} › {doubled}: two records have this id")
    return by_id


def encode(project: Project) -> bytes:
    """Give the bytes of the project's file; equal projects give equal bytes."""
    tables = {name: tuple(table[key] for key in sorted(table)) for name, table in project.tables()}
    file = _File(format=FORMAT, version=VERSION, **tables)
    return msgspec.json.format(msgspec.json.encode(file, order="deterministic"), indent=1) + b"\n"


def digest(data: bytes) -> str:
    """Give the mark by which a journal knows the file it belongs to."""
    return hashlib.sha256(data).hexdigest()


def digest_of(path: Path) -> str:
    """Give the digest of what a file holds now, "" where it cannot be read."""
    try:
        return digest(content(path))
    except Unreadable:
        return ""


def save(project: Project, path: Path) -> None:
    """Write the project to its file, in one step or not at all. Raises NotSaved."""
    write(encode(project), path)


def write(data: bytes, path: Path) -> None:
    """Replace a file's content in one step: a reader or a crash sees the old or the new.

    Raises NotSaved, also for a file marked as read-only; the old file is then as it was.
    """
    target = Path(os.path.realpath(path))
    if target.exists() and not writable(target):
        raise NotSaved(f"{path.name} could not be saved: it is read-only")
    temporary = target.with_name(f".ampacre-{secrets.token_hex(6)}")
    try:
        with temporary.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if target.exists():
            temporary.chmod(stat.S_IMODE(target.stat().st_mode))
        temporary.replace(target)
    except OSError as error:
        with contextlib.suppress(OSError):
            temporary.unlink()
        raise NotSaved(f"{path.name} could not be saved: {why_not_written(path, error)}") from error
    _sync_folder(target.parent)


def why_not_written(path: Path, error: OSError) -> str:
    """Say in words why a file could not be written."""
    if isinstance(error, FileNotFoundError) and not path.parent.is_dir():
        return f"there is no folder {path.parent}"
    return error.strerror or str(error)


def writable(path: Path) -> bool:
    """Tell whether what is there, a file or a folder, may be written to."""
    # what is marked as read-only is meant to stay, even where the system would let it be written
    return os.access(path, os.W_OK) and bool(path.stat().st_mode & _ANYBODY_MAY_WRITE)


def _sync_folder(folder: Path) -> None:
    """Make the new name last through a power cut, where the system lets a folder be synced."""
    if os.name == "posix":
        with contextlib.suppress(OSError):
            handle = os.open(folder, os.O_RDONLY)
            try:
                os.fsync(handle)
            finally:
                os.close(handle)


def schema() -> dict[str, Any]:
    """Give the JSON Schema of the project file."""
    (file,), parts = msgspec.json.schema_components([_File], ref_template="#/$defs/{name}")
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Ampacre project file",
        **file,
        "$defs": parts,
    }
