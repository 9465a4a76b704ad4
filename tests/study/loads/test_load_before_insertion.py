"""New pieces in a run that is there already: what is below them is fed before the work too."""

from pathlib import Path

import pytest

from ampacre.model import records as r
from ampacre.model.edits import alter, insert_on
from ampacre.model.standing import standing
from ampacre.store.file import load
from ampacre.study.before_after import before_and_after
from ampacre.study.study import Study

HOUSE = load(Path(__file__).parents[3] / "samples" / "first_charger.ampacre")
SERVICE = next(run for run in HOUSE.runs.values() if run.role == "service")


def inserted(project, kind, key):
    piece = kind(id=key, name=key, since=r.WORK)
    return project.apply(insert_on(project, project.runs[SERVICE.id], piece))


def loads(project):
    return {
        row.key: (row.now_va, row.added_va, row.result_va)
        for row in before_and_after(Study(project))
    }


@pytest.mark.parametrize("kinds", [(r.Disconnect,), (r.Disconnect, r.Meter)])
def test_load_behind_what_is_put_in_is_no_added_load(kinds):
    project = HOUSE
    for number, kind in enumerate(kinds):
        project = inserted(project, kind, f"new{number}")
    before, after = loads(HOUSE), loads(project)
    assert before[SERVICE.target][0] > 0
    assert {key: after[key] for key in before} == before
    run = standing(project, None).runs[SERVICE.id]
    assert (run.source, run.target) == (SERVICE.source, SERVICE.target)


def test_a_transformer_that_is_put_in_does_not_lead_on_before_the_work():
    project = inserted(HOUSE, r.Transformer, "new")
    assert SERVICE.id not in standing(project, None).runs


def test_a_run_to_what_goes_with_the_work_leads_nowhere_after_it():
    project = inserted(HOUSE, r.Disconnect, "new")
    gone = project.apply(alter(project, "equipment", "new", since=None, until=r.WORK))
    assert SERVICE.id in standing(gone, None).runs
    assert SERVICE.id not in standing(gone).runs
