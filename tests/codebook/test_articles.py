"""Citations: the section of each edition, and an honest word where no source confirmed it."""

import ast
from pathlib import Path

import pytest

import ampacre
from ampacre.codebook import articles
from ampacre.codebook.articles import EDITIONS, cite
from ampacre.codebook.tables import rows

KEYS = [row["key"] for row in rows("articles")]


def test_a_confirmed_section_is_cited_plainly():
    assert cite("feeder_device", "2020") == "NEC 2020 215.3"


def test_numbers_move_between_editions():
    # The dwelling rule and the ampacity table were renumbered for 2020.
    assert cite("dwelling_83", "2017") == "NEC 2017 310.15(B)(7)"
    assert cite("dwelling_83", "2023") == "NEC 2023 310.12"
    assert cite("ampacity_table", "2017") == "NEC 2017 Table 310.15(B)(16)"
    assert cite("ampacity_table", "2023") == "NEC 2023 Table 310.16"


def test_a_number_of_another_edition_says_so():
    assert cite("ten_amp_branch", "2017") == "NEC 2017 210.23(A) (number not confirmed)"


def test_a_number_from_memory_says_so():
    # Renumbered since 2017, whose number is confirmed: the later one is carried over instead.
    assert cite("dock_height", "2017") == "NEC 2017 555.19"
    assert cite("dock_height", "2023") == "NEC 2023 555.33 (number not confirmed)"


@pytest.mark.parametrize("edition", EDITIONS)
def test_words_are_cited_without_the_code(edition):
    assert cite("transformer_nameplate", edition) == "transformer nameplate"
    assert cite("voltage_range", edition) == "ANSI C84.1"
    assert cite("common practice", edition) == "common practice"
    assert cite("UFC 3-520-01", edition) == "UFC 3-520-01"


def test_keys_are_unique():
    assert len(KEYS) == len(set(KEYS))


@pytest.mark.parametrize("row", rows("articles"), ids=KEYS)
def test_each_article_resolves_in_each_edition(row):
    assert row["title"]
    stated = [row[f"ref_{edition}"] for edition in EDITIONS]
    assert any(stated) or row["ref_other"]
    assert not (all(stated) and row["ref_other"]), "ref_other is for editions without a number"
    for edition in EDITIONS:
        citation = cite(row["key"], edition)
        assert citation and citation != row["key"]
        if row[f"ref_{edition}"]:
            assert row[f"ref_{edition}"] in citation
            assert "another edition" not in citation


def _keys_in_use():
    for path in Path(ampacre.__file__).parent.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call):
                continue
            named = node.func.id if isinstance(node.func, ast.Name) else ""
            texts = [
                keyword.value for keyword in node.keywords if keyword.arg in ("cite", "cite_key")
            ]
            if named == "cite":
                texts += node.args[:1]
            if named == "Cited":
                texts += node.args[1:2]
            if named == "LargestDevice":
                texts += node.args[2:3]
            for text in texts:
                if isinstance(text, ast.Constant) and " " not in text.value:
                    yield text.value, f"{path.name}:{text.lineno}"


def test_each_key_in_the_library_is_in_the_table():
    used = dict(_keys_in_use())
    assert "ampacity_table" in used
    assert {key: where for key, where in used.items() if key not in KEYS} == {}


def test_each_key_in_the_table_is_cited_by_the_library():
    texts = {
        node.value
        for path in Path(ampacre.__file__).parent.rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant)
    }
    rules_of_taps = {
        f"{word}_{reach}" for word in ("tap", "secondary") for reach in ("10", "25", "outside")
    }
    assert set(KEYS) - texts - rules_of_taps == set()


def test_titles_read_as_words():
    assert articles.title("feeder_device") == "Feeder overcurrent device"
    assert articles.title("common practice") == "common practice"
