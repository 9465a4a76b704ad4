"""Blocks of cells as spreadsheets put them on the clipboard: rows of text with tabs between."""

import csv
import io
from collections.abc import Iterable, Sequence

__all__ = ["read_block", "write_block"]

_MOST = 2_000_000
"""Characters; more than that is no table of ours."""


def write_block(rows: Iterable[Sequence[str]]) -> str:
    """Write rows with tabs between the cells and a line end after each."""
    out = io.StringIO()
    csv.writer(out, dialect="excel-tab", lineterminator="\n").writerows(rows)
    return out.getvalue()


def read_block(text: str) -> list[list[str]]:
    """Read rows of cells; gives none where the text is no table or far too long."""
    if len(text) > _MOST or "\0" in text:
        return []
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), dialect="excel-tab"))
    except csv.Error:
        return []
    return [[cell.strip() for cell in row] or [""] for row in rows]
