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
from ampacre.store.file import load, save

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
    assert "its project is kept as house issue 1.ampacre" in capsys.readouterr().out
    project = load(path)
    key = next(key for key, run in project.runs.items() if run.name == "F-1")
    longer = msgspec.structs.replace(project.runs[key], length_m=45.72)
    save(Project(**dict(project.tables()) | {"runs": {**project.runs, key: longer}}), path)
    assert cli.main(["permit", str(path), "-o", str(out), "--date", "2026-04-02"]) == 0
    words = " ".join(" ".join(page.extract_text().split()) for page in PdfReader(out).pages)
    assert "1 2026-03-01 For the permit" in words
    assert "now 150 ft" in words
