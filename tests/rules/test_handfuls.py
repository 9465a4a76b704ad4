"""Everything there is, in handfuls: each piece and run in one, and an edit reaches few of them."""

from collections import Counter

import pytest
from bench.property import make_property
from study.build import with_piece

from ampacre.model import records as r
from ampacre.model.edits import put, remove
from ampacre.rules.handfuls import gathered, gathered_of_runs, handfuls
from ampacre.rules.recall import Recall
from ampacre.study.study import Study


@pytest.fixture(scope="module")
def site():
    return make_property(300, seed=4, per_service=300)


def added(project, name="added"):
    load = next(piece for piece in project.equipment.values() if isinstance(piece, r.Load))
    run = next(run for run in project.runs.values() if run.target == load.id)
    project = project.apply(put("Add", "equipment", r.Load(id=name, name=name, category="other")))
    joint = r.Run(id=f"to_{name}", source=run.source, target=name, role="branch")
    return project.apply(put("Join", "runs", joint))


def without_source(project):
    root = next(key for key, it in project.equipment.items() if isinstance(it, r.UtilitySource))
    return project.apply(remove(project, [root]))


@pytest.mark.parametrize("alter", [lambda project: project, added, without_source])
def test_every_piece_and_run_is_in_one_handful(site, alter):
    study = Study(alter(site))
    near = handfuls(study)
    assert len(near) > 2
    pieces = Counter(key for each in near for key in each.pieces)
    runs = Counter(key for each in near for key in each.runs)
    assert pieces == Counter(study.standing.equipment.keys())
    assert runs == Counter(study.standing.runs.keys())


def test_one_more_piece_leaves_all_handfuls_but_its_own_as_they_are(site):
    before, after = (set(handfuls(Study(project))) for project in (site, added(site)))
    assert len(before - after) == 1
    assert 1 <= len(after - before) <= 2


def test_what_is_gathered_is_asked_anew_of_one_handful_alone(site):
    asked_of = []

    @gathered
    def loads(study, key):
        asked_of.append(key)
        piece = study.standing.equipment[key]
        if isinstance(piece, r.Load):
            yield key, piece.va

    study = Study(site)
    recall = Recall(study)
    everything = {(key, it.va) for key, it in site.equipment.items() if isinstance(it, r.Load)}
    assert set(loads(study)) == set(loads(recall.study)) == everything
    key = next(key for key, piece in site.equipment.items() if isinstance(piece, r.Load))
    asked_of.clear()
    study.follow(with_piece(site, key, va=7777.0))
    recall.follow(study)
    assert (key, 7777.0) in loads(recall.study)
    near = next(each.pieces for each in handfuls(study) if key in each.pieces)
    assert asked_of == list(near)


def test_of_runs_is_gathered_what_is_found_at_each(site):
    @gathered_of_runs
    def long(study, key):
        if (study.standing.runs[key].length_m or 0.0) > 30.0:
            yield key

    expected = sorted(key for key, run in site.runs.items() if (run.length_m or 0.0) > 30.0)
    assert expected
    assert sorted(long(Study(site))) == expected
