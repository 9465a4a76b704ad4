"""Pictures written to PDF, read back and rendered by other libraries."""

import io

import numpy as np
import pypdf
import pypdfium2
import pytest

from ampacre.picture.pdf import Info, Page, write_pdf
from ampacre.picture.primitives import Arc, Fill, Picture, Polyline, Text

INFO = Info("Orchard", "A. Keeper", "One-line", ("one-line", "load"))


def written(*elements, width=100.0, height=60.0, count=1):
    stream = io.BytesIO()
    picture = Picture(tuple(elements), width, height)
    write_pdf([Page(picture, f"E-60{n + 1} Sheet") for n in range(count)], stream, INFO)
    return stream.getvalue()


def dots(data, per_mm=4):
    """The first page as darkness from 0 to 1, rows downward, `per_mm` dots to the millimetre."""
    page = pypdfium2.PdfDocument(data)[0]
    image = page.render(scale=per_mm * 25.4 / 72).to_pil().convert("L")
    return 1 - np.asarray(image) / 255


def darkness(page, x, y, per_mm=4, reach=1):
    row, column = round(y * per_mm), round(x * per_mm)
    return page[row - reach : row + reach + 1, column - reach : column + reach + 1].max()


def test_the_page_has_the_size_of_the_picture():
    box = pypdf.PdfReader(io.BytesIO(written(Text(5, 5, "x"))))
    width, height = box.pages[0].mediabox.width, box.pages[0].mediabox.height
    assert float(width) == pytest.approx(100 / 25.4 * 72)
    assert float(height) == pytest.approx(60 / 25.4 * 72)


def test_lines_stand_where_the_picture_says():
    page = dots(written(Polyline(((10, 10), (60, 10), (60, 40)), width_mm=0.6)))
    for x, y in ((10.5, 10), (35, 10), (60, 25), (60, 39.5)):
        assert darkness(page, x, y) > 0.9
    for x, y in ((10, 40), (35, 25), (62, 10), (60, 42)):
        assert darkness(page, x, y) == 0


def test_a_closed_line_returns_and_a_dashed_line_has_gaps():
    closed = dots(written(Polyline(((10, 10), (50, 10), (50, 40)), closed=True, width_mm=0.6)))
    assert darkness(closed, 30, 25) > 0.9
    dashed = dots(written(Polyline(((10, 20), (70, 20)), dash=(4.0, 4.0), width_mm=0.6)))
    along = dashed[80 - 1 : 80 + 2, 40:280].max(axis=0)
    assert 0.3 < (along > 0.5).mean() < 0.75


def test_arcs_run_clockwise_on_the_sheet():
    page = dots(written(Arc(50, 30, 20, 0, 90, width_mm=0.6)))
    assert darkness(page, 50 + 14.14, 30 + 14.14) > 0.9
    for dx, dy in ((-14.14, 14.14), (14.14, -14.14), (-14.14, -14.14)):
        assert darkness(page, 50 + dx, 30 + dy) == 0
    circle = dots(written(Arc(50, 30, 20, width_mm=0.6)))
    assert all(darkness(circle, 50 + dx, 30 + dy) > 0.9 for dx, dy in ((20, 0), (-20, 0), (0, -20)))


def test_fills_have_their_shade():
    square = ((20, 20), (40, 20), (40, 40), (20, 40))
    assert darkness(dots(written(Fill(square))), 30, 30) == pytest.approx(1, abs=0.01)
    assert darkness(dots(written(Fill(square, shade=0.7))), 30, 30) == pytest.approx(0.3, abs=0.02)


def test_a_flag_is_dark_in_a_grey_copy():
    square = ((20, 20), (40, 20), (40, 40), (20, 40))
    assert darkness(dots(written(Fill(square, layer="flag"))), 30, 30) > 0.45


@pytest.mark.parametrize(("anchor", "share"), [("start", 0), ("middle", 0.5), ("end", 1)])
def test_text_stands_on_its_base_line_at_its_anchor(anchor, share):
    # the font's letter H is 1386 units wide, the em 2048, the capitals 1493 units high
    left = 50 - share * 5 * 1386 / 1493 * 3.2
    page = dots(written(Text(50, 30, "HHHHH", 3.2, anchor)))
    rows, columns = np.nonzero(page > 0.5)
    assert rows.max() / 4 == pytest.approx(30, abs=0.4)
    assert (rows.max() - rows.min() + 1) / 4 == pytest.approx(3.2, abs=0.4)
    assert columns.min() / 4 == pytest.approx(left, abs=0.8)


def test_text_is_searchable_and_fonts_are_embedded():
    reader = pypdf.PdfReader(
        io.BytesIO(written(Text(5, 20, "3-4/0 AL ½ Ω"), Text(5, 30, "S1", bold=True)))
    )
    text = reader.pages[0].extract_text()
    assert "3-4/0 AL ½ Ω" in text and "S1" in text
    fonts = [font.get_object() for font in reader.pages[0]["/Resources"]["/Font"].values()]
    embedded = [font for font in fonts if "DejaVu" in font["/BaseFont"]]
    assert len(embedded) == 2
    assert all("/FontFile2" in font["/FontDescriptor"] for font in embedded)


def test_properties_and_bookmarks():
    reader = pypdf.PdfReader(io.BytesIO(written(Text(5, 20, "x"), count=3)))
    assert reader.metadata.title == "Orchard"
    assert reader.metadata.author == "A. Keeper"
    assert reader.metadata.subject == "One-line"
    assert "load" in reader.metadata["/Keywords"]
    assert [mark.title for mark in reader.outline] == ["E-601 Sheet", "E-602 Sheet", "E-603 Sheet"]
    assert [reader.get_destination_page_number(mark) for mark in reader.outline] == [0, 1, 2]


def test_the_same_pictures_give_the_same_bytes():
    elements = Text(5, 20, "Same"), Arc(30, 30, 5), Text(5, 30, "bold", bold=True)
    assert written(*elements) == written(*elements)


def test_any_characters_can_be_written():
    strange = "".join(map(chr, (0, 7, 10, 0x7F, 0xD800, 0xFFFF, 0x1F600, 0x6F22)))
    stream = io.BytesIO()
    page = Page(Picture((Text(5, 20, strange + "end"), Text(5, 30, "  ")), 100, 60), strange)
    write_pdf([page], stream, Info(strange, strange, strange, (strange,)))
    assert "end" in pypdf.PdfReader(stream).pages[0].extract_text()


def test_a_file_is_replaced_whole_or_left_alone(tmp_path):
    path = tmp_path / "set.pdf"
    path.write_bytes(b"what was there")
    with pytest.raises(ValueError, match="at least one page"):
        write_pdf([], path, INFO)
    assert path.read_bytes() == b"what was there"
    write_pdf([Page(Picture((), 100, 60), "E-601")], path, INFO)
    assert path.read_bytes().startswith(b"%PDF")
    with pytest.raises(OSError):
        write_pdf([Page(Picture((), 100, 60), "E-601")], tmp_path / "no" / "set.pdf", INFO)
    assert [entry.name for entry in tmp_path.iterdir()] == ["set.pdf"]
