"""How long the study takes, by size. Nothing is asserted of time; run with --benchmark-enable."""

import time

import pytest
from bench.property import make_property
from msgspec.structs import replace
from study.build import with_run

from ampacre.model import records as r
from ampacre.model.edits import alter, put
from ampacre.rules.review import Review
from ampacre.study.study import Study
from ampacre_gui.document import Document

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


KINDS_OF_EDIT = ("load", "length", "bus", "new load")


def edits_of(project):
    """One edit of each kind, somewhere in the middle of a property."""
    loads = [piece for piece in project.equipment.values() if isinstance(piece, r.Load)]
    panels = [piece for piece in project.equipment.values() if isinstance(piece, r.Panel)]
    feeders = [run for run in project.runs.values() if run.role == "feeder" and run.length_m]
    load, panel, feeder = (each[len(each) // 2] for each in (loads, panels, feeders))
    run = next(run for run in project.runs.values() if run.target == load.id)
    added = put("Add", "equipment", replace(load, id="added", name="Added"))
    joined = put("Join", "runs", replace(run, id="join", target="added", spaces=()))
    return {
        "load": alter(project, "equipment", load.id, va=load.va + 50.0),
        "length": alter(project, "runs", feeder.id, length_m=feeder.length_m + 3.0),
        "bus": alter(project, "equipment", panel.id, bus_a=(panel.bus_a or 200.0) + 25.0),
        "new load": added.then(joined),
    }


@pytest.fixture(scope="module", params=["many services", "one service"])
def large(request):
    return make_property(2000, seed=1, per_service=25 if request.param == "many services" else 2000)


@pytest.mark.parametrize("kind", KINDS_OF_EDIT)
def test_study_and_findings_follow_an_edit(benchmark, large, kind):
    study = Study(large)
    review = Review(study)
    edit = edits_of(large)[kind]
    versions = [large.apply(edit), large]
    turn = iter(range(10**9))
    spent = {"study_s": 1e9, "review_s": 1e9}

    def follow():
        begun = time.perf_counter()
        study.follow(versions[next(turn) % 2])
        between = time.perf_counter()
        review.follow(study)
        spent["study_s"] = min(spent["study_s"], between - begun)
        spent["review_s"] = min(spent["review_s"], time.perf_counter() - between)

    benchmark(follow)
    benchmark.extra_info |= spent
    assert study.project in versions


@pytest.mark.parametrize("pieces", SIZES)
@pytest.mark.parametrize("kind", KINDS_OF_EDIT)
def test_a_document_does_and_takes_back_an_edit(benchmark, qapp, pieces, kind):
    project = make_property(pieces, seed=1)
    document = Document(project)
    edit = edits_of(project)[kind]

    def do_and_undo():
        assert document.do(edit)
        document.undo()

    benchmark(do_and_undo)
    assert document.project == project
    document.close()
