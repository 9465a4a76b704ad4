"""Every table of the codebook says how far each row is confirmed, and can be read."""

from importlib.resources import files
from pathlib import Path

import pytest

import ampacre
from ampacre.codebook.tables import rows

TABLES = sorted(
    path.name.removesuffix(".csv")
    for path in (files("ampacre_resources") / "codebook").iterdir()
    if path.name.endswith(".csv")
)


def test_the_tables_are_there():
    assert {"ampacity_raceway", "egc", "articles", "demand_ranges", "motor_flc_3ph"} <= set(TABLES)


@pytest.mark.parametrize("name", TABLES)
def test_each_row_is_whole_and_carries_a_mark(name):
    table = rows(name)
    assert table
    for number, row in enumerate(table, start=2):
        assert None not in row, f"{name}.csv line {number} has cells beyond the heading"
        assert None not in row.values(), f"{name}.csv line {number} is short of cells"
        marks = [value for column, value in row.items() if column.startswith("verified")]
        assert marks, f"{name}.csv line {number} says nothing of its sources"
        assert set(marks) <= {"0", "1", "2"}, f"{name}.csv line {number}: marks {marks}"


def test_each_table_is_read_by_the_library():
    sources = [
        path.read_text(encoding="utf-8") for path in Path(ampacre.__file__).parent.rglob("*.py")
    ]
    # the sources of the articles are for people who want to follow a number back
    kept = [name for name in TABLES if name != "article_sources"]
    assert [name for name in kept if not any(f'"{name}"' in text for text in sources)] == []


def test_each_table_has_its_sources_written_down():
    sources = (files("ampacre_resources") / "codebook" / "SOURCES.md").read_text(encoding="utf-8")
    assert [name for name in TABLES if name not in sources] == []
