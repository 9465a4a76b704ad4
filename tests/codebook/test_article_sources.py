"""Every section number can be traced to a source of its edition, and every source to a number."""

from collections import Counter

import pytest

from ampacre.codebook.articles import EDITIONS
from ampacre.codebook.tables import rows

ARTICLES = {row["key"]: row for row in rows("articles")}
SOURCES = rows("article_sources")
NO_SUCH_SECTION = "none"


def test_each_cell_has_one_source():
    filled = {
        (key, edition)
        for key, row in ARTICLES.items()
        for edition in EDITIONS
        if row[f"ref_{edition}"]
    }
    traced = Counter((row["key"], row["edition"]) for row in SOURCES)
    assert not [cell for cell, times in traced.items() if times > 1]
    numbers = {(row["key"], row["edition"]) for row in SOURCES if row["ref"] != NO_SUCH_SECTION}
    assert numbers == filled


@pytest.mark.parametrize("row", SOURCES, ids=lambda row: f"{row['key']}-{row['edition']}")
def test_the_source_gives_the_number_of_the_cell(row):
    stated = ARTICLES[row["key"]][f"ref_{row['edition']}"]
    assert stated == ("" if row["ref"] == NO_SUCH_SECTION else row["ref"])
    assert row["title"]


def test_a_source_names_its_edition():
    """By its year; a state code says which edition it is built on."""
    for row in SOURCES:
        if row["publisher"]:
            assert row["edition"] in row["title"], row


def test_no_number_of_a_source_counts_as_memory():
    traced = {row["key"] for row in SOURCES if row["publisher"]}
    earlier = {row["key"] for row in SOURCES if not row["publisher"]}
    for key in traced - earlier:
        if any(ARTICLES[key][f"ref_{edition}"] for edition in EDITIONS):
            assert ARTICLES[key]["verified"] != "0", key
