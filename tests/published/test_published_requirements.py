"""The drawing set against what 85 permit offices and utilities ask for, read back from its PDF.

requirements.csv holds 155 items gathered from their published check lists. An item counts as
answered where changing that datum in the project changes the words on the sheets named for it.
"""

import csv
from pathlib import Path

import pypdfium2
import pytest
from published.permit_answers import ANSWERS, UNANSWERED, Answer

from ampacre.sheets.export import write_set
from ampacre.store.file import load

HERE = Path(__file__).parent
SAMPLE = HERE.parents[1] / "samples" / "harrow_orchard.ampacre"
with (HERE / "requirements.csv").open(encoding="utf-8") as file:
    ROWS = {row["key"]: row for row in csv.DictReader(file)}
SITE_PLAN = {key for key, row in ROWS.items() if row["group"] == "site_plan"}
AIM = 85


def _printed(project, path: Path) -> dict[str, str]:
    """All words of the set, by chapter; a sheet that chapters share counts for each of them."""
    write_set(project, path, "2026-03-01")
    document = pypdfium2.PdfDocument(path)
    words: dict[str, str] = {}
    for mark in document.get_toc():
        page = document[mark.get_dest().get_index()].get_textpage().get_text_bounded()
        for title in mark.get_title().split(" ", 1)[1].split("; "):
            words[title] = " ".join([words.get(title, ""), *page.split()])
    document.close()
    return words


@pytest.fixture(scope="module")
def sample():
    return load(SAMPLE)


@pytest.fixture(scope="module")
def as_shipped(sample, tmp_path_factory):
    return _printed(sample, tmp_path_factory.mktemp("set") / "shipped.pdf")


@pytest.mark.parametrize(("key", "answer"), ANSWERS.items(), ids=list(ANSWERS))
def test_changing_the_datum_changes_the_sheet(
    key: str, answer: Answer, sample, as_shipped, tmp_path
):
    assert answer.words not in as_shipped[answer.sheets]
    changed = _printed(answer.change(sample), tmp_path / "changed.pdf")
    assert answer.words in changed[answer.sheets]


def test_every_row_is_answered_or_has_a_reason():
    assert ANSWERS.keys() <= ROWS.keys()
    assert UNANSWERED.keys() <= ROWS.keys()
    assert not ANSWERS.keys() & UNANSWERED.keys()
    assert ROWS.keys() == {*ANSWERS, *UNANSWERED, *SITE_PLAN}


def test_as_many_rows_are_answered_as_were_aimed_at():
    for key in sorted(ROWS.keys() - ANSWERS.keys()):
        print(f"{key}: {UNANSWERED.get(key, 'site plan')}")
    assert len(ANSWERS) >= AIM
