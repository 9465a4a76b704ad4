"""Tables that flow over sheets: everything printed, in order, inside the area."""

from hypothesis import given
from hypothesis import strategies as st
from sheets.geometry import extent, overlapping_texts, texts

from ampacre.picture.primitives import Picture
from ampacre.sheets.table import Column, Notes, Table, flow

WIDTH, HEIGHT = 300.0, 200.0
COLUMNS = (Column("Line", 120), Column("Result", 60, "right"), Column("Source", 120))
WORDS = st.lists(st.sampled_from(["load", "220.82", "conductors", "48", "Ω"]), max_size=40).map(
    " ".join
)
TABLES = st.builds(
    Table,
    st.just("A table"),
    st.just(COLUMNS),
    st.lists(st.tuples(WORDS, WORDS, WORDS), max_size=25).map(tuple),
)
NOTES = st.builds(Notes, st.just("Some notes"), st.lists(WORDS, max_size=8).map(tuple))


def _pictures(parts):
    return [
        Picture(tuple(sheet), WIDTH, HEIGHT) for sheet in flow(parts, WIDTH, HEIGHT).sheets if sheet
    ]


@given(st.lists(TABLES | NOTES, max_size=4))
def test_nothing_overlaps_or_leaves_the_area(parts):
    for picture in _pictures(parts):
        assert overlapping_texts(picture) == []
        left, top, right, bottom = extent(picture)
        assert left >= 0 and top >= 0 and right <= WIDTH and bottom <= HEIGHT + 1.0
        assert min(text.height_mm for text in texts(picture)) >= 3.175


@given(TABLES)
def test_every_word_is_printed_as_often_as_it_was_given(table):
    printed = " ".join(text.text for p in _pictures([table]) for text in texts(p)).split()
    for word in ("load", "220.82", "conductors", "48", "Ω"):
        given_times = sum(cell.split().count(word) for row in table.rows for cell in row)
        assert printed.count(word) == given_times


def test_a_long_table_repeats_its_head():
    table = Table("Runs", COLUMNS, tuple((f"row {n}", "1", "x") for n in range(100)))
    sheets = flow([table], WIDTH, HEIGHT).sheets
    assert len(sheets) > 1
    for number, sheet in enumerate(sheets):
        words = [text.text for text in texts(Picture(tuple(sheet), WIDTH, HEIGHT))]
        assert words[0] == ("Runs, continued" if number else "Runs")
        assert words[1:4] == ["Line", "Result", "Source"]


def test_a_row_higher_than_a_sheet_goes_on():
    story = " ".join(f"word{n}" for n in range(800))
    sheets = flow([Table("Accepted", COLUMNS, ((story, "", ""),))], WIDTH, HEIGHT).sheets
    printed = [t.text for sheet in sheets for t in texts(Picture(tuple(sheet), WIDTH, HEIGHT))]
    assert len(sheets) > 1
    assert [word for word in " ".join(printed).split() if word.startswith("word")] == story.split()


def test_a_small_table_is_not_torn():
    filler = Table("First", COLUMNS, tuple(("x", "1", "y") for _ in range(24)))
    small = Table("Second", COLUMNS, tuple(("x", "1", "y") for _ in range(8)))
    sheets = flow([filler, small], WIDTH, HEIGHT).sheets
    words = [[t.text for t in texts(Picture(tuple(sheet), WIDTH, HEIGHT))] for sheet in sheets]
    assert len(sheets) == 2
    assert "Second" not in words[0] and words[1][0] == "Second"
