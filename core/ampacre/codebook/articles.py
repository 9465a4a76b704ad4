"""Where the code says a thing: section numbers by topic and edition."""

from functools import cache
from typing import Final

from ampacre.codebook.tables import Row, rows

__all__ = ["EDITIONS", "cite", "title"]

EDITIONS: Final = ("2017", "2020", "2023")

_NUMBERED = ("Table", "Article", "Chapter", "Part")


@cache
def _articles() -> dict[str, Row]:
    return {row["key"]: row for row in rows("articles")}


@cache
def cite(key: str, edition: str) -> str:
    """Citation of topic `key` for a document, such as "NEC 2023 215.3".

    A number that no source confirmed for `edition` says so: it is from memory, or of an earlier or
    unnamed edition (column `ref_other` of the table), or that of the nearest edition with one.
    Words that are no key of the table ("common practice") come back as they are.
    """
    article = _articles().get(key)
    if article is None:
        return key
    confirmed = article[f"ref_{edition}"]
    ref = confirmed or article["ref_other"] or _from_another_edition(article, edition)
    if not (ref[0].isdigit() or ref.startswith(_NUMBERED)):
        return ref
    doubt = "" if confirmed and article["verified"] != "0" else " (number not confirmed)"
    return f"NEC {edition} {ref}{doubt}"


def _from_another_edition(article: Row, edition: str) -> str:
    """Give the section in the nearest edition that has one, the later of two equally near."""
    others = sorted(
        (abs(int(other) - int(edition)), -int(other), article[f"ref_{other}"])
        for other in EDITIONS
        if article[f"ref_{other}"]
    )
    return others[0][2]


def title(key: str) -> str:
    """Topic of a key in words; the key itself where the table has none."""
    article = _articles().get(key)
    return article["title"] if article else key
