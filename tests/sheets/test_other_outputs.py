"""DXF, SVG, CSV and XLSX: read back by what reads them, and the same words as on paper."""

import csv
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import ezdxf
import openpyxl
import pytest
from sheets.estates import estate
from sheets.geometry import texts

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.rules.review import Review
from ampacre.sheets.drawing_set import drawing_set
from ampacre.sheets.export import write_set
from ampacre.sheets.frame import CAUTIONS
from ampacre.store.file import load
from ampacre.study.study import Study

SAMPLES = Path(__file__).parents[2] / "samples"
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def orchard():
    return load(SAMPLES / "harrow_orchard.ampacre")


@pytest.fixture(scope="module")
def sheets(orchard):
    study = Study(orchard)
    return drawing_set(study, Review(study), "2026-03-01")


def test_the_dxf_is_clean_with_real_layers_and_text_as_text(orchard, sheets, tmp_path):
    path = tmp_path / "set.dxf"
    write_set(orchard, path, "2026-03-01")
    document = ezdxf.readfile(path)
    audit = document.audit()
    assert not audit.errors and not audit.fixes
    space = document.modelspace()
    written = sorted(entity.dxf.text for entity in space.query("TEXT"))
    assert written == sorted(t.text for sheet in sheets for t in texts(sheet.picture))
    layers = {entity.dxf.layer for entity in space}
    assert {"E-NEWW", "E-EXST", "E-BUSS", "E-TEXT", "E-TTLB"} <= layers
    assert all(layer in document.layers for layer in layers)
    assert len(document.layouts) == len(sheets) + 1  # and model space


def test_the_dxf_keeps_sizes_and_places(orchard, sheets, tmp_path):
    path = tmp_path / "set.dxf"
    write_set(orchard, path, "2026-03-01")
    number = next(t for t in texts(sheets[0].picture) if t.text == "E-001" and t.height_mm > 5)
    found = [e for e in ezdxf.readfile(path).modelspace().query("TEXT") if e.dxf.text == "E-001"]
    assert any(
        e.dxf.height == pytest.approx(number.height_mm)
        and e.dxf.insert.x == pytest.approx(number.x)
        and e.dxf.insert.y == pytest.approx(-number.y)
        for e in found
    )


def test_each_sheet_is_an_svg_with_its_words(orchard, sheets, tmp_path):
    written = write_set(orchard, tmp_path / "set.svg", "2026-03-01")
    assert len(written) == len(sheets)
    for path, sheet in zip(written, sheets, strict=True):
        root = ET.parse(path).getroot()
        assert root.get("width") == f"{sheet.picture.width_mm:g}mm"
        words = [node.text for node in root.iter(f"{SVG}text")]
        assert words == [t.text for t in texts(sheet.picture)]


def test_the_workbook_holds_numbers_as_numbers(orchard, tmp_path):
    path = tmp_path / "set.xlsx"
    write_set(orchard, path, "2026-03-01")
    book = openpyxl.load_workbook(path)
    rows = list(book["Calculated load and its growth"].iter_rows(values_only=True))
    assert rows[0][5] == "Total, A"
    s1 = next(row for row in rows if row[0] == "S1")
    assert s1[1] == "general" and s1[5] == pytest.approx(393.3)


def test_the_workbook_names_units_in_heads_or_formats(orchard, tmp_path):
    path = tmp_path / "set.xlsx"
    write_set(orchard, path, "2026-03-01")
    book = openpyxl.load_workbook(path)
    laid = book["Runs what is laid"]
    heads = [cell.value for cell in laid[1]]
    assert laid.freeze_panes == "A2" and "Length, ft" in heads
    lengths = [row[heads.index("Length, ft")].value for row in laid.iter_rows(min_row=2)]
    assert 310 in lengths and "not read" in lengths
    ratings = book["Adequacy of ratings"]
    mixed = [(row[2].value, row[2].number_format) for row in ratings.iter_rows(min_row=2)]
    assert ratings["C1"].value == "Rating"
    assert (75, '#,##0" kVA"') in mixed and (312.5, '#,##0.0" A"') in mixed
    panels = list(book["Panel schedules"].iter_rows(values_only=True))
    assert any(row[0].startswith("Panel S1 (N)") and "F-2: Press barn" in row[2] for row in panels)


def test_the_tables_come_as_csv(orchard, tmp_path):
    written = write_set(orchard, tmp_path / "set.csv", "2026-03-01")
    laid = next(path for path in written if "Runs what is laid" in path.name)
    with laid.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    barn = next(row for row in rows if "Press barn" in row["Run, from and to"])
    assert barn["Device, A"] == "150" and barn["Length, ft"] == "180"


def test_csv_holds_numbers_as_programs_read_them(orchard, tmp_path):
    written = write_set(orchard, tmp_path / "set.csv", "2026-03-01")
    cells = []
    for path in written[1:]:
        with path.open(encoding="utf-8-sig", newline="") as file:
            cells += [(path.name, cell) for row in csv.reader(file) for cell in row]
    assert not [
        each for each in cells if re.fullmatch(r"'?[+-]?\d+(,\d{3})+(\.\d+)?( \S+)?", each[1])
    ]
    assert not [each for each in cells if re.match(r"'[+-]\d", each[1])]
    assert any(cell == "75 kVA" for _, cell in cells)  # where the column has several units
    assert max(len(path.stem) for path in written) <= len("set 00 ") + 60
    assert any(path.stem.endswith("Panel S1 N") for path in written)


def test_schedules_say_whose_they_are_and_warn(orchard, tmp_path):
    first = write_set(orchard, tmp_path / "set.csv", "2026-03-01")[0]
    assert first.name == "set 00 About these schedules.csv"
    with first.open(encoding="utf-8-sig", newline="") as file:
        told = [tuple(row) for row in csv.reader(file)]
    write_set(orchard, tmp_path / "set.xlsx", "2026-03-01")
    book = openpyxl.load_workbook(tmp_path / "set.xlsx")
    assert told == [tuple(row) for row in book.worksheets[0].iter_rows(values_only=True)]
    assert ("Project", orchard.settings.name) in told
    assert ("Date", "2026-03-01") in told and ("Revision", "first set") in told
    assert [words for label, words in told if label == "Caution"] == list(CAUTIONS)
    printed = book.worksheets[2].oddHeader.center.text
    assert printed == f"{orchard.settings.name}, 2026-03-01, revision first set"


def test_no_cell_is_a_formula(tmp_path):
    project = Project(equipment={"p": r.Panel(id="p", name='=HYPERLINK("x")', bus_a=100.0)})
    write_set(project, tmp_path / "set.xlsx", "2026-03-01")
    book = openpyxl.load_workbook(tmp_path / "set.xlsx")
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    assert any(cell.value == '=HYPERLINK("x")' for cell in cells)
    assert all(cell.data_type != "f" for cell in cells)
    for path in write_set(project, tmp_path / "set.csv", "2026-03-01"):
        with path.open(encoding="utf-8-sig", newline="") as file:
            assert not any(cell.startswith("=") for row in csv.reader(file) for cell in row)


def test_a_folder_gets_every_form(tmp_path):
    written = write_set(estate(2, 8), tmp_path / "handed in", "2026-03-01")
    assert {path.suffix for path in written} == {".pdf", ".dxf", ".svg", ".csv", ".xlsx"}
    assert all(path.parent == tmp_path / "handed in" and path.exists() for path in written)


def test_odd_words_reach_every_form(tmp_path):
    odd = "A\u0001<b> ^ %%c & ½ Ω"
    project = Project(equipment={"p": r.Panel(id="p", name=odd, bus_a=100.0)})
    write_set(project, tmp_path / "set", "2026-03-01")
    document = ezdxf.readfile(next((tmp_path / "set").glob("*.dxf")))
    assert not document.audit().errors
    for path in (tmp_path / "set").glob("*.svg"):
        ET.parse(path)


def test_an_unknown_ending_is_refused(tmp_path):
    with pytest.raises(ValueError, match=r"set\.doc: the ending must be one of"):
        write_set(Project(), tmp_path / "set.doc")
