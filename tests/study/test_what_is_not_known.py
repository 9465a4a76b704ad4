"""What is not known is not taken as nothing."""

from itertools import pairwise

import pytest

from ampacre.model import records as r
from ampacre.model.edits import alter, connect, put
from ampacre.model.project import Project
from ampacre.study.study import Study


def service(**transformer):
    pieces = [
        r.UtilitySource(id="u", name="Line"),
        r.Transformer(id="t", name="T-1", owner="utility", **transformer),
        r.Panel(id="p", name="P-1", main=r.Device(rating_a=100.0), bus_a=100.0),
    ]
    project = Project().apply(put("", "equipment", *pieces))
    for source, target in pairwise(pieces):
        project = project.apply(connect(project, source, target))
    return project


def test_behind_a_transformer_of_unknown_size_the_fault_is_not_known():
    assert Study(service()).equipment("p").fault is None


@pytest.mark.parametrize("kva", [10.0, 50.0])
def test_behind_a_transformer_of_known_size_it_is(kva):
    fault = Study(service(kva=kva)).equipment("p").fault
    assert fault is not None
    assert fault.greatest.greatest_ka > 1


@pytest.mark.parametrize(("area_m2", "told"), [(0.0, True), (150.0, False)])
def test_a_dwelling_without_its_floor_area_is_not_taken_as_complete(area_m2, told):
    project = service(kva=25.0)
    home = r.DwellingLoad(id="h", name="House", floor_area_m2=area_m2)
    project = project.apply(put("", "equipment", home))
    project = project.apply(connect(project, project.equipment["p"], home))
    missing = Study(project).equipment("h").missing
    assert any("floor area" in words for words in missing) is told


@pytest.mark.parametrize("size", [None, "4/0"])
def test_what_the_utility_lays_is_not_chosen_and_lowers_no_fault_unless_it_is_entered(size):
    project = service(kva=25.0)
    load = r.Load(id="l", name="L-1", va=1500.0, since="work")
    project = project.apply(put("", "equipment", load))
    project = project.apply(connect(project, project.equipment["p"], load))
    drop = next(run.id for run in project.runs.values() if run.target == "p")
    wires = r.Conductors(size=size, material="al")
    project = project.apply(alter(project, "runs", drop, length_m=60.0, conductors=wires))
    study = Study(project, "work")
    assert study.run(drop).run.owner == "utility"
    assert study.run(drop).size.value == size
    at_panel, at_transformer = (
        study.equipment(key).fault.greatest.greatest_ka for key in ("p", "t")
    )
    assert (at_panel < at_transformer) is (size is not None)
    assert any(facts.size.how == "chosen" for facts in study.all_runs())
