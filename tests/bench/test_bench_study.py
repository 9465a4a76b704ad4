"""How long the study takes, by size. Nothing is asserted of time; run with --benchmark-enable."""

import time

import pytest
from bench.property import make_property
from study.build import with_run

from ampacre.study.study import Study

SIZES = (300, 2000)


@pytest.fixture(scope="module", params=SIZES)
def site(request):
    return make_property(request.param, seed=1)


def lengthened(project, key):
    return with_run(project, key, length_m=(project.runs[key].length_m or 0.0) + 1.0)


def test_study_from_nothing(benchmark, site):
    study = benchmark(Study, site)
    benchmark.extra_info["pieces"] = len(site.equipment)
    assert len(list(study.all_equipment())) == len(site.equipment)


def test_study_follows_one_edit(benchmark, site):
    study = Study(site)
    key = sorted(site.runs)[len(site.runs) // 2]
    versions = [lengthened(site, key), site]
    turn = iter(range(10**9))
    changed = benchmark(lambda: study.follow(versions[next(turn) % 2]))
    benchmark.extra_info["pieces"] = len(site.equipment)
    assert key in changed.runs
    assert not changed.topology


def test_cost_by_size(benchmark):
    """Time per piece at the larger size over that at the smaller: near 1 where cost is in proportion."""
    small, large = (make_property(pieces, seed=1) for pieces in SIZES)

    def ratio():
        per_piece = []
        for project in (small, large):
            begun = time.perf_counter()
            Study(project)
            per_piece.append((time.perf_counter() - begun) / len(project.equipment))
        return per_piece[1] / per_piece[0]

    benchmark.extra_info["time per piece, larger over smaller"] = benchmark(ratio)


def test_the_generated_property_is_what_it_says():
    for pieces in (0, 1, 2, 3, 7, 60, 300):
        project = make_property(pieces, seed=3)
        assert len(project.equipment) == pieces
        assert make_property(pieces, seed=3) == project
    assert make_property(60, seed=4) != make_property(60, seed=3)
    study = Study(make_property(300, seed=1))
    assert all(facts.supplied for facts in study.all_equipment())
    assert all(branch.running.converged for branch in study.solved.normal)
