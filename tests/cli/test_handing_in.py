"""The permit and issue commands: every form, every paper, and sets that follow one another."""

import shutil
from importlib.resources import files
from pathlib import Path

import ampacre_samples
import msgspec
import pytest
from pypdf import PdfReader

from ampacre import cli
from ampacre.model.project import Project
from ampacre.store.file import NotSaved, load, save

FIRST = Path(str(files(ampacre_samples) / "first_charger.ampacre"))


@pytest.mark.parametrize("ending", [".pdf", ".dxf", ".svg", ".csv", ".xlsx", ""])
def test_every_form_is_written(ending, tmp_path):
    assert cli.main(["permit", str(FIRST), "-o", str(tmp_path / f"set{ending}")]) == 0
    assert any(path.is_file() for path in tmp_path.rglob("*"))


@pytest.mark.parametrize(
    ("paper", "width"), [("ANSI D", 34), ("arch d", 36), ("A3", 16.535), ("letter", 11)]
)
def test_the_paper_is_as_asked(paper, width, tmp_path):
    out = tmp_path / "set.pdf"
    assert cli.main(["permit", str(FIRST), "-o", str(out), "--paper", paper]) == 0
    assert float(PdfReader(out).pages[0].mediabox.width) / 72 == pytest.approx(width, abs=0.01)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["permit", str(FIRST), "-o", "set.doc"], "set.doc: the ending must be one of .pdf"),
        (["permit", str(FIRST), "-o", "s.pdf", "--paper", "B5"], 'there is no paper "B5"'),
        (["permit", str(FIRST), "-o", "s.pdf", "--date", "soon"], '"soon" is no date'),
        (["issue", "none.ampacre"], "there is no such file"),
    ],
)
def test_what_cannot_be_done_is_said(arguments, said, capsys, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert cli.main(arguments) == 2
    assert said in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_a_later_set_tells_what_changed(capsys, tmp_path):
    path, out = tmp_path / "house.ampacre", tmp_path / "set.pdf"
    shutil.copy(FIRST, path)
    assert cli.main(["issue", str(path), "--note", "For the permit", "--date", "2026-03-01"]) == 0
    said = capsys.readouterr().out
    assert "sheets kept as house issue 1.pdf, project as house issue 1.ampacre" in said
    assert "Revision: 1, 2026-03-01" in words_of(tmp_path / "house issue 1.pdf")
    save(lengthened(load(path)), path)
    assert cli.main(["permit", str(path), "-o", str(out), "--date", "2026-04-02"]) == 0
    words = words_of(out)
    assert "1 2026-03-01 For the permit" in words
    assert "2 not yet issued" in words
    assert "Revision: 2, not yet issued" in words
    assert "now 150 ft" in words


def test_a_set_handed_in_is_marked_against_the_one_before(tmp_path):
    path, out = tmp_path / "house.ampacre", tmp_path / "again.pdf"
    shutil.copy(FIRST, path)
    assert cli.main(["issue", str(path), "--date", "2026-03-01"]) == 0
    save(lengthened(load(path)), path)
    assert cli.main(["issue", str(path), "--date", "2026-04-02"]) == 0
    assert cli.main(["permit", str(path), "-o", str(out), "--date", "2026-04-02"]) == 0
    for sheets in (out, tmp_path / "house issue 2.pdf"):
        words = words_of(sheets)
        assert "Revision: 2, 2026-04-02" in words
        assert "now 150 ft" in words
        assert "not yet issued" not in words


def test_a_set_whose_sheets_cannot_be_written_is_not_recorded(tmp_path, monkeypatch, capsys):
    path = tmp_path / "house.ampacre"
    shutil.copy(FIRST, path)

    def full(*_):
        raise NotSaved("house issue 1.pdf could not be saved: the disk is full")

    monkeypatch.setattr("ampacre.sheets.export.write_set", full)
    assert cli.main(["issue", str(path)]) == 2
    assert "the disk is full" in capsys.readouterr().err
    assert load(path).issues == {}
    assert [each.name for each in tmp_path.iterdir()] == ["house.ampacre"]


def lengthened(project):
    key = next(key for key, run in project.runs.items() if run.name == "F-1")
    longer = msgspec.structs.replace(project.runs[key], length_m=45.72)
    return Project(**dict(project.tables()) | {"runs": {**project.runs, key: longer}})


def words_of(path):
    return " ".join(" ".join(page.extract_text().split()) for page in PdfReader(path).pages)
