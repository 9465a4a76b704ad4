"""Everything that the samples print cites the code or says what it rests on, never a key."""

from pathlib import Path

import pytest

from ampacre.rules.review import Review
from ampacre.store.file import load
from ampacre.study.study import Study

SAMPLES = sorted((Path(__file__).parents[2] / "samples").glob("*.ampacre"))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_no_key_of_the_article_table_is_printed(path):
    study = Study(load(path))
    review = Review(study)
    printed = [review.cite(finding) for finding in review.findings]
    for facts in study.all_equipment():
        if facts.demand:
            printed += [line.cite for line in facts.demand.worksheet.lines]
    for run in study.all_runs():
        printed += [line.cite for line in run.worksheet.lines]
    assert printed
    assert not {cite for cite in printed if "_" in cite}
