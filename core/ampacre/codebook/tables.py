"""Tables of the codebook: read once from the package's data files, one row a mapping of texts."""

import csv
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Generic, NamedTuple, TypeVar

__all__ = ["Cited", "Row", "rows"]

T = TypeVar("T")

Row = Mapping[str, str]


class Cited(NamedTuple, Generic[T]):
    """A value of the codebook and where it stands.

    `cite_key` is a key of the articles table; `verified` tells how many independent publications
    agreed on the value: 2, 1, or 0 for memory and common practice.
    """

    value: T
    cite_key: str
    verified: int


@cache
def rows(name: str) -> tuple[Row, ...]:
    """Rows of the table `name`, in the order of the file; cells are text, "" where empty."""
    path = files("ampacre_resources") / "codebook" / f"{name}.csv"
    with path.open(encoding="utf-8") as file:
        return tuple(csv.DictReader(file))
