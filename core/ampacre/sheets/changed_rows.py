"""Marks the rows and paragraphs of schedules that say something else than in an earlier set."""

from collections.abc import Iterable, Iterator

from ampacre.sheets.table import Notes, Part, Table

__all__ = ["DELTA", "with_marks"]

DELTA = "△"
"""Stands before what changed, followed by the number of the set."""


def with_marks(parts: Iterable[Part], before: Iterable[Part], number: str) -> Iterator[Part]:
    """Give the parts with a mark at each row and paragraph that those of the set before lack.

    A title is marked where it says something else, or where rows below it are gone.
    """
    earlier: dict[str, list[object]] = {}
    for part in before:
        for title in dict.fromkeys((part.title, _subject(part.title))):
            earlier.setdefault(title, []).extend(_said(part))
    mark = f"{DELTA}{number} "
    for part in parts:
        known = earlier.get(part.title, earlier.get(_subject(part.title), []))
        said = _said(part)
        title = part.title
        if title not in earlier or len(said) < len(known):
            title = mark + title
        match part:
            case Table(rows=rows):
                marked = (
                    row if each in known else _marked(row, mark)
                    for row, each in zip(rows, said, strict=True)
                )
                yield part._replace(title=title, rows=tuple(marked))
            case Notes(paragraphs=paragraphs):
                lines = (text if text in known else mark + text for text in paragraphs)
                yield part._replace(title=title, paragraphs=tuple(lines))
            case _:
                yield part


def _subject(title: str) -> str:
    """Give the part of a title that stays while its data change: "Panel S1 (N)"."""
    return title.partition(":")[0]


def _said(part: Part) -> list[object]:
    """Give what is compared: paragraphs, and rows without their number where they are numbered."""
    match part:
        case Table(rows=rows):
            numbered = all(row[0] == str(number) for number, row in enumerate(rows, 1))
            return [row[1:] if numbered else row for row in rows]
        case Notes(paragraphs=paragraphs):
            return list(paragraphs)
    return []


def _marked(row: tuple[str, ...], mark: str) -> tuple[str, ...]:
    """Put the mark into the first cell that says something."""
    place = next((place for place, cell in enumerate(row) if cell), 0)
    return (*row[:place], mark + row[place], *row[place + 1 :])
