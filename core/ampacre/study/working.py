"""Lines of a worksheet that come out of the codebook."""

from ampacre.codebook.articles import cite
from ampacre.study.facts import Line

__all__ = ["NOT_CONFIRMED", "looked_up"]

NOT_CONFIRMED = "value not independently confirmed"


def looked_up(
    label: str,
    result: float | None,
    unit: str,
    cite_key: str,
    verified: int,
    edition: str,
    note: str = "",
) -> Line:
    """A line with a value of the codebook, its citation, and a word where no source confirms it."""
    if verified == 0:
        note = f"{note}; {NOT_CONFIRMED}" if note else NOT_CONFIRMED
    return Line(label, None, None, result, unit, cite(cite_key, edition), note)
