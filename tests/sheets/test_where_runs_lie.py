"""Where a run lies and how deep is the same on run schedule, inspections and utility's sheet."""

from pathlib import Path

import pytest
from published.permit_answers import both, run
from sheets.printed import words

from ampacre.rules.reading import is_circuit
from ampacre.rules.review import Review
from ampacre.sheets.inspections import inspections
from ampacre.sheets.run_schedule import run_schedule
from ampacre.store.file import load
from ampacre.study.study import Study

SAMPLE = load(Path(__file__).parents[2] / "samples" / "harrow_orchard_upgraded.ampacre")
NOTHING_SAID = run("run-s1-ats", trade_size=None, place=None, cover_m=None)


def _stages(study):
    (table,) = inspections(study)
    return dict(table.rows)


def _laid(study, title):
    table = next(part for part in run_schedule(study, Review(study)) if "laid" in part.title)
    heads = [column.head for column in table.columns]
    return dict(zip(heads, next(row for row in table.rows if row[0] == title), strict=True))


@pytest.mark.parametrize("change", [lambda project: project, NOTHING_SAID])
def test_every_new_or_reused_run_is_under_some_inspection(change):
    study = Study(change(SAMPLE))
    stages = " ".join(_stages(study).values())
    for facts in study.all_runs():
        if facts.work != "existing" and is_circuit(study, facts):
            target = study.project.equipment[facts.run.target].name
            assert (facts.run.name or f"circuit of {target}") in stages


def test_outdoor_circuits_are_looked_at_above_ground():
    said = _stages(Study(SAMPLE))["Above ground outdoors"]
    assert said == "circuit of C5; circuit of Pedestal 1; circuit of Pedestal 2"


def test_the_way_of_reused_wires_is_missing_until_it_is_entered():
    study = Study(NOTHING_SAID(SAMPLE))
    row = _laid(study, "F-1: S1 to ATS")
    assert row["Raceway or cable"] == "PVC, trade size to enter"
    assert row["Lies"] == "to enter"
    assert _stages(study)["Trench or rough-in, place to enter"] == "F-1"
    (lacking,) = [each.lacks for each in Review(study).missing if each.where == "run-s1-ats"]
    assert lacking == (
        "trade size of the raceway that the reused wires are laid in",
        "place that the reused wires are laid in, for their cover",
    )


def test_the_way_of_reused_wires_is_shown_where_it_is_entered():
    study = Study(SAMPLE)
    row = _laid(study, "F-1: S1 to ATS")
    assert (row["Raceway or cable"], row["Fill"], row["Lies"]) == ("PVC 2 in", "24 %", "yard")
    assert not any(each.where == "run-s1-ats" for each in Review(study).missing)


def test_wires_that_stay_where_they_are_lack_nothing_of_their_way():
    changed = both(NOTHING_SAID, run("run-s1-ats", reuses=None, since=None))(SAMPLE)
    assert not any(each.where == "run-s1-ats" for each in Review(Study(changed)).missing)


def test_cover_is_that_to_be_dug_with_the_least_beside_it():
    study = Study(SAMPLE)
    assert _laid(study, "F-2: S1 to Press barn")["Cover"] == "30 in, least 18 in"
    assert "F-2, cover 30 in, least 18 in" in words(inspections(study))


def test_the_way_of_the_utility_s_new_run_is_not_said_to_be_chosen():
    pole = run("run-t1-m1", since="work", raceway=None, place=None)
    project = pole(SAMPLE)
    assert project.runs["run-t1-m1"].owner == "utility"
    study = Study(project)
    facts = study.run("run-t1-m1")
    assert (facts.raceway.value, facts.place.value) == (None, None)
    ways = (said for title, said in _stages(study).items() if title.startswith(("Trench", "Above")))
    assert "circuit of M1" not in " ".join(ways)
