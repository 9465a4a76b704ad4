"""A set made by a process of its own: what it is asked, what it tells, how it ends."""

import subprocess
import sys
from pathlib import Path

import pytest
from pypdf import PdfReader

from ampacre.rules.review import Review
from ampacre.sheets.drawing_set import drawing_set
from ampacre.sheets.export import write_set
from ampacre.sheets.making import Chapters, Drawn, Failed, Files, Job, Made, framed, unframed
from ampacre.store.file import encode, load
from ampacre.study.study import Study

SAMPLE = Path(__file__).parents[2] / "samples" / "harrow_orchard.ampacre"
DATE = "2026-03-01"


def worker():
    return subprocess.Popen(
        [sys.executable, "-P", "-m", "ampacre.sheets.making"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )


def made(job):
    with worker() as process:
        out, errors = process.communicate(framed(job), timeout=120)
    assert process.returncode == 0, errors.decode()
    received = bytearray(out)
    news = list(unframed(received))
    assert not received
    return news


def job_of(project, **values):
    return Job(project=encode(project), date=DATE, **values)


def test_sheets_are_those_of_the_set():
    project = load(SAMPLE)
    study = Study(project)
    sheets = drawing_set(study, Review(study), DATE)
    *told, end = made(job_of(project))
    drawn = [news for news in told if isinstance(news, Drawn)]
    assert [(news.number, news.title) for news in drawn] == [(s.number, s.title) for s in sheets]
    assert {news.of for news in drawn} == {len(sheets)}
    assert isinstance(told[0], Chapters)
    assert end == Files(())


def test_a_file_is_written_and_told_sheet_by_sheet(tmp_path):
    target = tmp_path / "set.pdf"
    news = made(job_of(load(SAMPLE), target=str(target), only=("E-601", "E-602")))
    assert news[-1] == Files((str(target),))
    assert [n for n in news if isinstance(n, Made)][-1] == Made(2, 2)
    assert len(PdfReader(target).pages) == 2


def test_a_folder_that_is_gone_is_said(tmp_path):
    (end,) = (
        news
        for news in made(job_of(load(SAMPLE), target=str(tmp_path / "gone" / "set.pdf")))
        if isinstance(news, Failed)
    )
    assert end.why == f"set.pdf cannot be written: there is no folder {tmp_path / 'gone'}"


def test_it_ends_when_nobody_listens(tmp_path):
    with worker() as process:
        assert process.stdin and process.stdout
        process.stdout.close()
        process.stdin.write(framed(job_of(load(SAMPLE), target=str(tmp_path / "set.pdf"))))
        process.stdin.close()
        assert process.wait(120) == 1
    assert not list(tmp_path.iterdir())


def test_news_that_comes_in_pieces_is_taken_whole():
    sent = framed(Made(1, 3)) + framed(Made(2, 3))
    received = bytearray()
    taken = []
    for at in range(len(sent)):
        received += sent[at : at + 1]
        taken += unframed(received)
    assert taken == [Made(1, 3), Made(2, 3)]


@pytest.mark.parametrize("ending", [".pdf", ".dxf", ".svg"])
def test_writing_can_be_stopped_between_sheets(tmp_path, ending):
    class Enough(Exception):
        pass

    def stop(done, of):
        if done == 3:
            raise Enough

    with pytest.raises(Enough):
        write_set(load(SAMPLE), tmp_path / f"set{ending}", DATE, wrote=stop)
    whole = [path.suffix for path in tmp_path.iterdir()]
    assert whole == ([".svg"] * 3 if ending == ".svg" else [])
