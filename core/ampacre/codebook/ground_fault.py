"""Where ground-fault protection for people is required, by place and edition."""

from functools import cache

from ampacre.codebook.tables import Cited, Row, rows

__all__ = ["ground_fault_protection"]


@cache
def _places() -> dict[str, Row]:
    return {row["key"]: row for row in rows("gfci_requirements")}


def ground_fault_protection(key: str, edition: str) -> Cited[str] | None:
    """What an edition requires at a place, in words; None where it requires nothing there.

    NEC 210.8 and the articles of special places. The citation names the section of the edition.
    """
    row = _places()[key]
    required = row[f"req_{edition}"]
    if not required:
        return None
    section = row[f"article_{edition}"] or "210.8"
    return Cited(required, f"NEC {edition} {section}", int(row["verified"]))
