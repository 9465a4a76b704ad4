"""The set that is handed in, read back from its PDF file."""

import re
from importlib import resources
from itertools import pairwise
from pathlib import Path

import pypdf
import pytest
from sheets.geometry import chapters_of, extent, overlapping_texts, texts

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.rules.review import Review
from ampacre.sheets.drawing_set import drawing_set
from ampacre.sheets.export import write_set
from ampacre.sheets.frame import CAUTIONS
from ampacre.store.file import load
from ampacre.study.study import Study

SAMPLES = sorted(
    entry.name for entry in resources.files("ampacre_samples").iterdir() if ".ampacre" in entry.name
)


def _sample(name):
    with resources.as_file(resources.files("ampacre_samples") / name) as path:
        return load(Path(path))


@pytest.fixture(scope="module", params=SAMPLES)
def handed_in(request, tmp_path_factory):
    project = _sample(request.param)
    path = tmp_path_factory.mktemp("permit") / "set.pdf"
    write_set(project, path, "2026-03-01")
    study = Study(project)
    sheets = drawing_set(study, Review(study), "2026-03-01")
    return project, study, sheets, pypdf.PdfReader(path)


def _words(page):
    return " ".join(page.extract_text().split())


def test_sheets_are_numbered_in_order_and_bookmarked(handed_in):
    _, _, sheets, reader = handed_in
    numbers = [sheet.number for sheet in sheets]
    assert numbers[0] == "E-001"
    assert numbers == sorted(set(numbers))
    for before, after in pairwise(numbers):
        same_series = before[:3] == after[:3]
        assert int(after[2:]) == int(before[2:]) + 1 if same_series else after.endswith("01")
    assert [mark.title for mark in reader.outline] == [f"{s.number} {s.title}" for s in sheets]
    for number, page in enumerate(reader.pages):
        words = _words(page)
        assert numbers[number] in words
        assert f"sheet {number + 1} of {len(sheets)}" in words
        assert "2026-03-01" in words


def test_the_cover_lists_every_sheet(handed_in):
    _, _, sheets, reader = handed_in
    words = _words(reader.pages[0])
    for title in {title for sheet in sheets for title in chapters_of(sheet)}:
        numbers = [sheet.number for sheet in sheets if title in chapters_of(sheet)]
        shown = numbers[0] if len(numbers) == 1 else f"{numbers[0]} to {numbers[-1]}"
        assert f"{shown} {title}" in words


def test_every_sheet_is_ansi_b_with_cautions_and_empty_seal(handed_in):
    project, _, _, reader = handed_in
    for page in reader.pages:
        assert float(page.mediabox.width) == pytest.approx(17 * 72)
        assert float(page.mediabox.height) == pytest.approx(11 * 72)
        words = _words(page)
        assert all(caution in words for caution in CAUTIONS)
        assert "Seal and signature, if required" in words and "Approval stamp" in words
        assert project.settings.name in words


def test_all_text_is_readable_and_inside_the_border(handed_in):
    _, _, sheets, _ = handed_in
    for sheet in sheets:
        assert overlapping_texts(sheet.picture) == []
        assert min(text.height_mm for text in texts(sheet.picture)) >= 3.175
        left, top, right, bottom = extent(sheet.picture)
        assert left >= 20 and top >= 10
        assert right <= sheet.picture.width_mm - 10 and bottom <= sheet.picture.height_mm - 10


def test_every_tag_and_its_numbers_are_in_the_file(handed_in):
    project, study, _, reader = handed_in
    words = " ".join(map(_words, reader.pages))
    for piece in project.equipment.values():
        assert " ".join(piece.name.split()) in words, piece.name
    for facts in study.all_equipment():
        if isinstance(facts.piece, r.Panel) and facts.demand and facts.demand.connected_va:
            assert f"load {facts.demand.heavier_a:.1f}".removesuffix(".0") in words
        if isinstance(facts.piece, r.Meter) and facts.piece.class_a:
            assert f"class {facts.piece.class_a:g}" in words


def test_findings_are_printed_with_their_source(handed_in):
    _, study, _, reader = handed_in
    words = "".join("".join(map(_words, reader.pages)).split())
    review = Review(study)
    for finding in review.findings:
        assert "".join(review.message(finding).split()) in words
        assert "".join(review.cite(finding).split()) in words


def test_fonts_are_embedded(handed_in):
    for page in handed_in[3].pages:
        fonts = [font.get_object() for font in page["/Resources"]["/Font"].values()]
        assert fonts and all("/FontFile2" in font["/FontDescriptor"] for font in fonts)


def test_the_file_tells_what_it_is(handed_in):
    project, _, sheets, reader = handed_in
    assert reader.page_labels == [sheet.number for sheet in sheets]
    assert project.settings.name in reader.metadata.title
    assert reader.metadata["/CreationDate"] == "D:20260301"
    assert reader.trailer["/Root"]["/Lang"] == "en-US"


def test_the_legend_explains_what_is_used_and_nothing_else(handed_in):
    project, _, sheets, _ = handed_in
    lines = {text.text for sheet in sheets for text in texts(sheet.picture)}
    for kind, words in (
        (r.TransferSwitch, "transfer switch, normal at left"),
        (r.Transformer, "transformer, secondary grounded"),
        (r.Pedestal, "pedestal with receptacles"),
        (r.Battery, "battery storage with its inverter"),
        (r.Junction, "splice box, handhole or wireway"),
    ):
        used = any(isinstance(piece, kind) for piece in project.equipment.values())
        assert (words in lines) == used, words


def test_the_same_project_gives_the_same_bytes(tmp_path):
    project = _sample(SAMPLES[0])
    first, second = tmp_path / "a.pdf", tmp_path / "b.pdf"
    write_set(project, first, "2026-03-01")
    write_set(project, second, "2026-03-01")
    assert first.read_bytes() == second.read_bytes()


def test_without_a_date_the_set_is_dated_with_a_day(tmp_path):
    path = tmp_path / "set.pdf"
    write_set(_sample(SAMPLES[0]), path)
    assert re.search(r"sheet 1 of \d+ ?20\d\d-\d\d-\d\d", _words(pypdf.PdfReader(path).pages[0]))


def test_an_accepted_finding_is_printed_with_its_reason():
    project = _sample("harrow_orchard.ampacre")
    study = Study(project)
    finding = Review(study).findings[0]
    accepted = r.Accepted(
        id="a", rule=finding.rule, where=finding.where, about=finding.about,
        reason="The inspector agreed on site.", who="The orchard keeper", when="2026-02-11",
    )  # fmt: skip
    again = Study(Project(**dict(project.tables()) | {"accepted": {"a": accepted}}))
    sheets = drawing_set(again, Review(again), "2026-03-01")
    lines = [text.text for sheet in sheets for text in texts(sheet.picture)]
    assert "Accepted findings" in lines
    assert "The inspector agreed on site." in lines


def test_an_empty_project_gives_a_sheet(tmp_path):
    path = tmp_path / "set.pdf"
    write_set(Project(), path, "2026-03-01")
    assert "Untitled property" in _words(pypdf.PdfReader(path).pages[0])
