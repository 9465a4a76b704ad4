"""What is wrong with a record of a file, said with its place: runs › F-3 › length_m: ..."""

import json
import re
import types
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

import msgspec

from ampacre.model.project import TABLES

__all__ = ["explained"]

_KINDS_OF_VALUE = {
    "float": "a number",
    "int": "a whole number",
    "str": "text",
    "bool": "true or false",
    "array": "a list",
    "object": "an object in braces",
    "null": "null",
}
_BOUNDS = {">=": "at least", ">": "more than", "<=": "at most", "<": "less than"}


def explained(error: msgspec.ValidationError, plain: Any) -> str:
    """Turn msgspec's message into words, with tables and tags in place of paths."""
    text, _, place = str(error).partition(" - at ")
    path = _steps(place)
    where = " › ".join(_names(path, plain))
    said = _said(text, path, plain)
    return f"{where}: {said}" if where else said


def _steps(place: str) -> list[str | int]:
    """Split "`$.runs[3].length_m`" into table, number of the record, fields; "" for any key."""
    found = re.search(r"\$([^`]*)", place)
    tokens = re.findall(r"\.(\w+)|\[(\d+|\.\.\.)\]", found[1] if found else "")
    return [name or ("" if index == "..." else int(index)) for name, index in tokens]


def _value(path: list[str | int], plain: Any) -> Any:
    for step in path:
        plain = plain[step]
    return plain


def _names(path: list[str | int], plain: Any) -> list[str]:
    names = []
    for depth, step in enumerate(path):
        if depth == 1 and isinstance(step, int):
            record = _value(path[:2], plain)
            tag = (record.get("name") or record.get("id")) if isinstance(record, dict) else None
            names.append(str(tag)[:40] if tag else f"number {step + 1}")
        elif step != "":
            names.append(f"number {step + 1}" if isinstance(step, int) else step)
    return names


def _said(text: str, path: list[str | int], plain: Any) -> str:
    found = "" if "" in path else f", found {_short(_value(path, plain))}"
    if named := re.fullmatch(r"Object contains unknown field `(.*)`", text):
        return f'there is no field called "{named[1]}"'
    if named := re.fullmatch(r"Object missing required field `(.*)`", text):
        return f'the field "{named[1]}" is missing'
    if bound := re.fullmatch(r"Expected `[^`]*` (>=|>|<=|<) (\S+)", text):
        return f"must be {_BOUNDS[bound[1]]} {float(bound[2]):,g}{found}"
    if length := re.fullmatch(r"Expected `str[^`]*` of length (>=|<=) (\d+)", text):
        return f"must be {_BOUNDS[length[1]]} {length[2]} characters long"
    if text.startswith("Expected `str` matching"):
        return f"may hold only letters, digits, - and _{found}"
    if kinds := re.fullmatch(r"Expected `([^`]*)`, got `[^`]*`", text):
        wanted = [_KINDS_OF_VALUE.get(kind, kind) for kind in kinds[1].split(" | ")]
        return f"must be {' or '.join(wanted)}{found}"
    if text.startswith(("Invalid enum value", "Invalid value")):
        return f"must be one of {', '.join(_choices(path, plain))}{found}"
    return text[:1].lower() + text[1:]


def _short(value: Any) -> str:
    text = json.dumps(value, ensure_ascii=False)
    return text if len(text) <= 60 else f"{text[:57]}..."


def _choices(path: list[str | int], plain: Any) -> list[str]:
    """List what may stand at a path whose value is chosen from words or fixed numbers."""
    wanted: Any = TABLES[path[0]]  # type: ignore[index] # only tables hold choices
    for depth, step in enumerate(path[2:], start=2):
        if isinstance(step, int):
            wanted = get_args(wanted)[0]
        elif step == "":
            wanted = get_args(wanted)[1]
        else:
            structs = [kind for kind in _flat(wanted) if isinstance(kind, type(msgspec.Struct))]
            tags = [str(kind.__struct_config__.tag) for kind in structs]
            if step == "kind" and tags[0] != "None":
                return tags
            tag = _value(path[:depth], plain).get("kind")
            kind = structs[tags.index(tag)] if tag in tags else structs[0]
            wanted = get_type_hints(kind)[step]
    return [
        str(choice)
        for kind in _flat(wanted)
        if get_origin(kind) is Literal
        for choice in get_args(kind)
    ]


def _flat(kind: Any) -> tuple[Any, ...]:
    return get_args(kind) if get_origin(kind) in (Union, types.UnionType) else (kind,)
