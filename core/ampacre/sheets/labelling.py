"""What every label is made of: a line with the number that it shows, and the marks of the work."""

from typing import Literal, NamedTuple

from ampacre.model import records as r
from ampacre.model.standing import Work, work_of

__all__ = ["METALS", "WORK_MARKS", "ShownWork", "Words", "shown_work", "work_mark"]

ShownWork = Work | Literal["replaced"]

WORK_MARKS: dict[ShownWork, str] = {
    "existing": "(E)",
    "new": "(N)",
    "replaced": "(replaced)",
    "reused": "(reused)",
    "removed": "(remove)",
}

METALS = {"cu": "CU", "al": "AL"}


class Words(NamedTuple):
    """One line of a label, and the name of the number that it shows."""

    text: str
    field: str = ""


def shown_work(record: r.Standing) -> ShownWork:
    """Give the word of the sheets for a record: what comes in place of what was is replaced."""
    was = record.was if isinstance(record, (r.Equipment, r.Run)) else None
    return "replaced" if was is not None and record.until is None else work_of(record)


def work_mark(record: r.Standing) -> str:
    """Give the mark beside a name: "(E)", "(N)"."""
    return WORK_MARKS[shown_work(record)]
