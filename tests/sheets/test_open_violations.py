"""How many violations stand open is said on every sheet, where they are listed too."""

from pathlib import Path

import pytest
from sheets.geometry import chapters_of, texts

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.rules.review import Review
from ampacre.sheets.drawing_set import drawing_set
from ampacre.sheets.paper import PAPERS
from ampacre.store.file import load
from ampacre.study.study import Study

SAMPLES = Path(__file__).parents[2] / "samples"


def _set(project, paper="ANSI B"):
    study = Study(project)
    review = Review(study)
    count = sum(finding.severity == "violation" for finding in review.standing)
    return count, drawing_set(study, review, "2026-03-01", PAPERS[paper])


def _lines(sheet):
    return [text.text for text in texts(sheet.picture)]


@pytest.mark.parametrize("paper", PAPERS)
def test_every_title_block_counts_them(paper):
    count, sheets = _set(load(SAMPLES / "harrow_orchard.ampacre"), paper)
    number = next(sheet.number for sheet in sheets if "Findings" in chapters_of(sheet))
    assert count > 1
    for sheet in sheets:
        assert f"Open: {count} violations, see" in " ".join(_lines(sheet))
    cover = " ".join(line for sheet in sheets if "Cover" in sheet.title for line in _lines(sheet))
    assert f"{count} violations, see {number}. What is open is not met." in cover


def test_one_is_one_and_an_accepted_one_is_not_open():
    project = load(SAMPLES / "harrow_orchard.ampacre")
    found = [f for f in Review(Study(project)).standing if f.severity == "violation"]
    accepted = {
        f"a{place}": r.Accepted(
            id=f"a{place}", rule=finding.rule, where=finding.where, about=finding.about,
            reason="Agreed on site.", who="The keeper", when="2026-02-11",
        )
        for place, finding in enumerate(found[1:])
    }  # fmt: skip
    count, sheets = _set(Project(**dict(project.tables()) | {"accepted": accepted}))
    assert count == 1
    assert any(line.startswith("Open: 1 violation, see E-") for line in _lines(sheets[3]))


def test_a_set_without_any_says_nothing():
    count, sheets = _set(load(SAMPLES / "harrow_orchard_upgraded.ampacre"))
    assert count == 0
    assert not any(line.startswith("Open") for sheet in sheets for line in _lines(sheet))
