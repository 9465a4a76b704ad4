"""A copy of pieces as bytes, so that it can go from one project, window or session to another."""

import types
from typing import Any, Literal

import msgspec

from ampacre.model.copying import Feed, Fragment
from ampacre.model.project import TABLES, Project
from ampacre.store.file import VERSION
from ampacre.store.migrate import migrated
from ampacre.store.parse import Unreadable, parsed

__all__ = ["FORMAT", "decode_copy", "encode_copy"]

FORMAT = "ampacre copy"
LARGEST_BYTES = 16 * 1024 * 1024
_TABLES: tuple[str, ...] = (
    "equipment", "runs", "structures", "groups", "raceways", "grounding", "placement",
)  # fmt: skip

_FIELDS: list[Any] = [("format", Literal[FORMAT]), ("version", Literal[VERSION])]
_FIELDS += [
    (name, types.GenericAlias(tuple, (kind, ...)), ())
    for name, kind in TABLES.items()
    if name in _TABLES
]
_FIELDS.append(("feeds", tuple[Feed, ...], ()))

_Copy = msgspec.defstruct(
    "Copy", _FIELDS, omit_defaults=True, forbid_unknown_fields=True, kw_only=True
)


def encode_copy(fragment: Fragment) -> bytes:
    """Give the bytes of a copy."""
    tables = {name: tuple(getattr(fragment.content, name).values()) for name in _TABLES}
    return msgspec.json.encode(
        _Copy(format=FORMAT, version=VERSION, feeds=fragment.feeds, **tables)
    )


def decode_copy(data: bytes) -> Fragment:
    """Read a copy. Raises Unreadable, whatever the bytes are.

    Its records are within their bounds; whether they fit together is for the project to say that
    they are put into.
    """
    if len(data) > LARGEST_BYTES:
        raise Unreadable(f"is larger than {LARGEST_BYTES // 1024**2} MB")
    plain = parsed(data)
    if not isinstance(plain, dict) or plain.get("format") != FORMAT:
        raise Unreadable("is not equipment that was copied from an Ampacre project")
    version = plain.get("version")
    if type(version) is not int or version < 1:
        raise Unreadable('"version" must be a whole number from 1')
    if version > VERSION:
        raise Unreadable("was copied in a newer Ampacre")
    try:
        copy: Any = msgspec.convert(migrated(plain, VERSION), type=_Copy)
    except msgspec.ValidationError as error:
        raise Unreadable(f"is damaged: {error}") from None
    tables: dict[str, Any] = {
        name: {record.id: record for record in getattr(copy, name)} for name in _TABLES
    }
    return Fragment(Project(**tables), copy.feeds)
