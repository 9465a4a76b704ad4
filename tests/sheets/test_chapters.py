"""Chapters on sheets: in order, whole, beginning where there is room."""

import pytest
from sheets.geometry import extent, overlapping_texts, texts

from ampacre.picture.primitives import Picture
from ampacre.sheets.chapters import Columns, bind
from ampacre.sheets.frame import title_fits
from ampacre.sheets.paper import PAPERS
from ampacre.sheets.table import Column, Table, without_blank

PAPER = PAPERS["ANSI B"]
NARROW, WIDE = Columns(1, 300.0, 310.0, 240.0), Columns(2, 300.0, 310.0, 240.0)


def _chapter(title, rows):
    columns = (Column("No.", 50), Column("What", 250))
    return title, [Table(f"{title} table", columns, tuple((str(n), title) for n in range(rows)))]


def _words(bound):
    return [text.text for text in texts(Picture(tuple(bound.elements), 900, 300))]


def test_short_chapters_share_a_sheet():
    sheets = bind([_chapter("First", 3), _chapter("Second", 3)], NARROW, PAPER)
    assert [sheet.titles for sheet in sheets] == [("First", "Second")]


def test_a_chapter_begins_on_a_sheet_of_its_own_where_little_is_left():
    sheets = bind([_chapter("First", 28), _chapter("Second", 20)], NARROW, PAPER)
    assert [sheet.titles for sheet in sheets] == [("First",), ("Second",)]


def test_a_long_chapter_goes_on_and_the_next_follows_it():
    sheets = bind([_chapter("First", 50), _chapter("Second", 40)], NARROW, PAPER)
    assert [sheet.titles for sheet in sheets] == [("First",), ("First", "Second"), ("Second",)]
    assert [word for sheet in sheets for word in _words(sheet)].count("Second") == 40


def test_chapters_stand_beside_each_other_on_wide_paper():
    (sheet,) = bind([_chapter("First", 28), _chapter("Second", 28)], WIDE, PAPER)
    picture = Picture(tuple(sheet.elements), 620, 240)
    assert overlapping_texts(picture) == []
    assert extent(picture)[2] > 310 and extent(picture)[3] <= 241


def test_no_more_chapters_share_a_sheet_than_its_title_has_room_for():
    titles = [f"A chapter with a rather long title, number {n}" for n in range(6)]
    sheets = bind([_chapter(title, 1) for title in titles], NARROW, PAPER)
    assert len(sheets) > 1
    assert [title for sheet in sheets for title in sheet.titles] == titles
    assert all(title_fits("; ".join(sheet.titles), PAPER) for sheet in sheets)


def test_a_chapter_with_nothing_to_say_is_left_out():
    assert bind([("Empty", [Table("Nothing", (Column("", 100),), ())])], NARROW, PAPER) == []


@pytest.mark.parametrize(("cell", "heads"), [("", ["No."]), ("x", ["No.", "Note"])])
def test_a_column_that_says_nothing_is_left_out_if_it_may_be(cell, heads):
    table = Table("T", (Column("No.", 10), Column("Note", 10)), (("", cell), ("2", "")))
    assert [column.head for column in without_blank(table, "Note").columns] == heads
