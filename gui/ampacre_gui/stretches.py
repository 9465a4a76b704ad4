"""Numbers that follow one another, taken together, as Qt wants rows to be told."""

from collections.abc import Iterable

__all__ = ["stretches"]


def stretches(rows: Iterable[int]) -> list[tuple[int, int]]:
    """Give first and last of each unbroken stretch of rising numbers."""
    found: list[tuple[int, int]] = []
    for row in rows:
        if found and found[-1][1] == row - 1:
            found[-1] = (found[-1][0], row)
        else:
            found.append((row, row))
    return found
