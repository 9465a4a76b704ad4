"""What a form asks of a record: one spec per field, read from the record's own types."""

import typing
from collections.abc import Iterable
from functools import cache
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, NamedTuple, get_args, get_origin

import msgspec
from msgspec import Meta, Struct

from ampacre.model import records as r
from ampacre.model.words import field_word, unit_of
from ampacre_gui.phrases import said

__all__ = [
    "FieldSpec",
    "Group",
    "common_form",
    "empty_part",
    "fields_of",
    "form_of",
    "value_at",
    "with_value",
]

Editor = Literal["text", "number", "choice", "several", "reference", "members", "parts"]

_TABLES = {
    "neutral_with": "runs", "raceway": "raceways", "since": "stages", "structure": "structures",
    "until": "stages",
}  # fmt: skip
"""Tables that references point to, by field; any other points to equipment."""
_PLACE = ("structure", "location", "owner")
_WORK = ("since", "until", "reuses")
_CIRCUIT = (
    "role", "protected_at", "spaces", "legs", "lands_on", "terminal_c", "neutral_with",
    "gfci_protected", "ground_fault_trip_a", "spans", "clearance_m",
)  # fmt: skip
_NOT_HERE = {"id", "source", "target", "was"}
_OF_ONE = {"name", "spaces", "neutral_with", "reuses"}
_LONG_TEXT = {"address", "local_code", "scope", "notes", "why_not_farm"}


class FieldSpec(NamedTuple):
    """One field: where it stands in the record, its words, and what may be entered.

    `choices` holds the values of a choice in the trade's order; `low` and `high` bound a number
    in the field's own unit, `open_low` tells that the low bound itself is not allowed. `table` is
    the one that a reference or members point to, `part` the type of which several may be listed.
    `needed` tells of a text that it may not be left empty.
    """

    path: tuple[str, ...]
    word: str
    editor: Editor
    unit: str = ""
    optional: bool = False
    whole: bool = False
    long: bool = False
    choices: tuple[Any, ...] = ()
    low: float | None = None
    high: float | None = None
    open_low: bool = False
    longest: int = 4000
    table: str = ""
    part: type[Struct] | None = None
    needed: bool = False

    @property
    def name(self) -> str:
        """The field's name in the record, dotted where it is nested."""
        return ".".join(self.path)


class Group(NamedTuple):
    """Fields under one heading. `optional` is the path of a part that may be there or not."""

    title: str
    fields: tuple[FieldSpec, ...]
    optional: tuple[str, ...] = ()


@cache
def form_of(kind: type[r.Record]) -> tuple[Group, ...]:
    """Give the groups of fields of a kind of record: its own, its parts, then what all have."""
    hints = typing.get_type_hints(kind, include_extras=True)
    names = [name for name in kind.__struct_fields__ if name not in _NOT_HERE]
    place, work = (_PLACE, _WORK) if issubclass(kind, r.Standing) else ((), ())
    circuit = _CIRCUIT if kind is r.Run else ()
    own = [name for name in _own_first(kind, names) if name not in (*place, *work, *circuit)]
    parts: list[Group] = []
    plain: list[FieldSpec] = []
    for name in own:
        inner, optional = _unwrapped(hints[name])
        if isinstance(inner, type) and issubclass(inner, Struct):
            nested = typing.get_type_hints(inner, include_extras=True)
            fields = tuple(_spec((name, part), nested[part]) for part in inner.__struct_fields__)
            parts.append(Group(said(field_word(name)), fields, (name,) if optional else ()))
        else:
            spec = _spec((name,), hints[name])
            named = name == "name" and issubclass(kind, r.Equipment)
            plain.append(spec._replace(needed=named))
    further = [
        Group(title, tuple(_spec((name,), hints[name]) for name in group if name in names))
        for title, group in (("circuit", circuit), ("place", place), ("work", work))
    ]
    return (Group("", tuple(plain)), *parts, *(group for group in further if group.fields))


def common_form(kinds: Iterable[type[r.Record]]) -> tuple[Group, ...]:
    """Give the fields that records of several kinds all have, and that may be alike in all.

    A name, the spaces of a circuit and what is listed part by part belong to one record alone.
    """
    first, *others = (form_of(kind) for kind in kinds)
    shared = [{spec for group in form for spec in group.fields} for form in others]
    groups = []
    for group in first:
        fields = tuple(
            spec
            for spec in group.fields
            if all(spec in specs for specs in shared)
            and spec.path[-1] not in _OF_ONE
            and spec.editor not in ("parts", "members")
        )
        if fields:
            groups.append(group._replace(fields=fields))
    return tuple(groups)


def _own_first(kind: type[r.Record], names: list[str]) -> list[str]:
    """Order the name first, then the kind's own fields, then those it shares with others."""
    base = kind.__base__
    shared = set(base.__struct_fields__) if base and issubclass(base, r.Equipment) else set()
    first = ("name", "length_m")
    return sorted(names, key=lambda name: (name not in first, name in shared))


def _unwrapped(hint: Any) -> tuple[Any, bool]:
    """Take None and bounds off a type; several literals become one."""
    if get_origin(hint) in (typing.Union, UnionType):
        parts = [part for part in get_args(hint) if part is not NoneType]
        optional = len(parts) < len(get_args(hint))
        if len(parts) > 1:
            return Literal[tuple(v for part in parts for v in get_args(part))], optional
        return parts[0], optional
    return hint, False


def _spec(path: tuple[str, ...], hint: Any) -> FieldSpec:
    name = path[-1]
    inner, optional = _unwrapped(hint)
    meta = Meta()
    if get_origin(inner) is Annotated:
        inner, meta = get_args(inner)
    spec = FieldSpec(path, said(field_word(name)), "text", unit_of(name), optional=optional)
    if inner is str and meta.pattern:
        return spec._replace(editor="reference", table=_TABLES.get(name, "equipment"))
    if get_origin(inner) is Literal:
        return spec._replace(editor="choice", choices=get_args(inner))
    if inner is bool:
        return spec._replace(editor="choice", choices=(True, False))
    if inner in (int, float):
        low = meta.gt if meta.gt is not None else meta.ge
        return spec._replace(
            editor="number", whole=inner is int, low=low, high=meta.le, open_low=meta.gt is not None
        )
    if get_origin(inner) is tuple:
        item = get_args(inner)[0]
        if isinstance(item, type) and issubclass(item, Struct):
            return spec._replace(editor="parts", part=item)
        if get_origin(item) is Annotated:
            item, meta = get_args(item)
        if item is str:
            return spec._replace(editor="members", table="equipment")
        allowed = get_args(item) if get_origin(item) is Literal else ()
        return spec._replace(editor="several", choices=allowed, low=meta.ge, high=meta.le)
    return spec._replace(long=name in _LONG_TEXT, longest=meta.max_length or 4000)


def fields_of(part: type[Struct]) -> tuple[FieldSpec, ...]:
    """Give the fields of a part of which a record may list several."""
    hints = typing.get_type_hints(part, include_extras=True)
    return tuple(_spec((name,), hints[name]) for name in part.__struct_fields__)


def value_at(record: r.Record, path: tuple[str, ...]) -> Any:
    """Give a field's value; a part that is not there answers with its own empty values."""
    holder: Any = record
    for name in path[:-1]:
        part = getattr(holder, name)
        holder = empty_part(holder, name) if part is None else part
    return getattr(holder, path[-1])


def with_value(record: r.Record, path: tuple[str, ...], value: Any) -> r.Record:
    """Give the record with one field changed; a part that is not there yet is made."""
    if len(path) == 1:
        return msgspec.structs.replace(record, **{path[0]: value})
    part = getattr(record, path[0])
    if part is None:
        part = empty_part(record, path[0])
    return msgspec.structs.replace(
        record, **{path[0]: msgspec.structs.replace(part, **{path[1]: value})}
    )


def empty_part(record: Struct, name: str) -> Any:
    """Give a part of a record as it is when nothing of it is entered yet."""
    return _empty_part(type(record), name)


@cache
def _empty_part(kind: type[Struct], name: str) -> Any:
    inner, _ = _unwrapped(typing.get_type_hints(kind, include_extras=True)[name])
    return inner()
