"""JSON read with suspicion: limited in size and depth, no doubled keys, finite numbers only."""

import json
import math
import re
from collections.abc import Iterable
from typing import Any

import msgspec

__all__ = ["LARGEST_BYTES", "Unreadable", "first_doubled", "parsed"]

LARGEST_BYTES = 64 * 1024 * 1024
_DEEPEST = 40
_MOST_BRACKETS = 4_000_000
_LONGEST_NUMBER = 18

# Possessive, and content with an open end: a search that fails would start again at every quote.
_STRINGS = re.compile(rb'"(?:[^"\\]++|\\.)*+(?:"|\\?\Z)', re.DOTALL)
_NO_BRACKETS = bytes(set(range(256)) - set(b"[]{}"))
_OPENING = frozenset(b"[{")


class Unreadable(Exception):
    """The input is not a project. The message says in one line what is wrong, and where."""


def parsed(data: bytes) -> Any:
    """Decode JSON into plain objects. Raises Unreadable, whatever the bytes are."""
    if len(data) > LARGEST_BYTES:
        raise Unreadable(f"is larger than {LARGEST_BYTES // 1024**2} MB")
    if not data.strip():
        raise Unreadable("is empty")
    try:
        text = data.decode()
    except UnicodeDecodeError:
        raise Unreadable("is not a text file in UTF-8") from None
    _check_nesting(data)
    try:
        plain = json.loads(
            text,
            object_pairs_hook=_without_doubles,
            parse_constant=_refused_constant,
            parse_float=_finite,
            parse_int=_whole,
        )
        msgspec.json.encode(plain)
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        what = error.msg.removesuffix(" starting at")
        raise Unreadable(f"is no project, since it is not JSON: {where}: {what}") from None
    except UnicodeEncodeError:
        raise Unreadable("holds half of a character (a lone surrogate)") from None
    return plain


def _check_nesting(data: bytes) -> None:
    """Refuse what would exhaust the stack or the memory of the decoder."""
    brackets = _STRINGS.sub(b"", data).translate(None, delete=_NO_BRACKETS)
    if len(brackets) > _MOST_BRACKETS:
        raise Unreadable("holds more records than any project could")
    depth = 0
    for bracket in brackets:
        depth += 1 if bracket in _OPENING else -1
        if depth > _DEEPEST:
            raise Unreadable(f"is nested more than {_DEEPEST} levels deep")


def first_doubled(names: Iterable[str]) -> str:
    """Give the first name that stands there a second time; there must be one."""
    seen: set[str] = set()
    for name in names:
        if name in seen:
            return name
        seen.add(name)
    raise ValueError("no name is doubled")


def _without_doubles(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    members = dict(pairs)
    if len(members) < len(pairs):
        doubled = first_doubled(name for name, _ in pairs)
        record = members.get("name") or members.get("id")
        raise Unreadable(f'"{doubled}" stands twice in {record or "one object"}')
    return members


def _refused_constant(word: str) -> Any:
    raise Unreadable(f"holds {word}, which is not a number that can be used")


def _finite(text: str) -> float:
    number = float(text)
    if math.isinf(number):
        raise _too_large(text)
    return number


def _whole(text: str) -> int:
    if len(text) > _LONGEST_NUMBER:
        raise _too_large(text)
    return int(text)


def _too_large(text: str) -> Unreadable:
    return Unreadable(f"holds {text[:_LONGEST_NUMBER]}..., which is too large a number")
