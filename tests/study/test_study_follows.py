"""A study that follows edits knows what a study from nothing knows, of any project whatever."""

import math

from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import histories, projects
from study.build import Site, wires, with_piece, with_run

from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.study.study import Study


def facts_of(study):
    equipment = {facts.piece.id: facts for facts in study.all_equipment()}
    runs = {facts.run.id: facts for facts in study.all_runs()}
    return equipment, runs


@given(histories())
def test_following_any_edits_equals_a_study_from_nothing(history):
    first, steps = history
    study = Study(first)
    for _, project in steps:
        before = facts_of(study)
        changed = study.follow(project)
        after = facts_of(study)
        fresh = Study(project)
        assert after == facts_of(fresh)
        assert list(after[0]) == list(facts_of(fresh)[0])
        told = (changed.equipment, changed.runs)
        for old, new, named in zip(before, after, told, strict=True):
            assert named == {k for k in old.keys() | new.keys() if old.get(k) != new.get(k)}
            # what did not change is the same object, so that views may compare by identity
            assert all(old[k] is new[k] for k in old.keys() & new.keys() - named)


def numbers(value):
    if isinstance(value, (int, float, complex)) and not isinstance(value, bool):
        yield value
    elif isinstance(value, dict):
        for each in value.values():
            yield from numbers(each)
    elif isinstance(value, (tuple, list)):
        for each in value:
            yield from numbers(each)
    elif hasattr(value, "__struct_fields__"):
        for name in value.__struct_fields__:
            yield from numbers(getattr(value, name))


def is_finite(value):
    return math.isfinite(abs(value))


@settings(max_examples=200)
@given(projects())
def test_any_sound_project_has_facts_and_all_numbers_are_finite(project):
    study = Study(project)
    for facts in (*study.all_equipment(), *study.all_runs()):
        record = facts.piece if hasattr(facts, "piece") else facts.run
        found = [n for name in facts.__struct_fields__ for n in numbers(getattr(facts, name))]
        assert all(map(is_finite, found)), record
    assert {facts.piece.id for facts in study.all_equipment()} == set(study.standing.equipment)


@given(projects(), st.data())
def test_a_fork_leaves_its_study_alone(project, data):
    study = Study(project)
    before = facts_of(study)
    if project.runs:
        key = data.draw(st.sampled_from(sorted(project.runs)))
        study.fork(with_run(project, key, length_m=77.0))
    assert facts_of(study) == before


def test_changed_names_what_the_edit_reaches():
    site = Site()
    site.add(r.UtilitySource, "grid", system="120/240", fault_ka=10.0)
    feeder = {"length_m": 30.0, "conductors": wires("2", "2", "8")}
    site.add(r.Panel, "main", "grid", feeder | {"role": "service", "protected_at": "none"})
    site.add(r.Panel, "barn", "main", feeder)
    site.add(r.Load, "lamp", "barn", {"role": "branch", "legs": "A"}, va=100.0)
    site.add(r.Panel, "shed", "main", feeder)
    project = site.project()
    study = Study(project)
    heavier = with_piece(project, "lamp", va=200.0)
    changed = study.follow(heavier)
    assert {"lamp", "barn", "main"} <= changed.equipment
    assert "main-barn" in changed.runs
    assert "main-shed" not in changed.runs
    assert not changed.topology
    assert study.follow(heavier) == (frozenset(), frozenset(), False)
    assert study.follow(with_piece(heavier, "lamp", name="Lamp")).topology


def test_a_group_concerns_only_the_islands_that_it_holds_load_of():
    site = Site()
    for at in "ab":
        site.add(r.UtilitySource, f"grid {at}", system="120/240", fault_ka=10.0)
        service = {"length_m": 10.0, "role": "service", "protected_at": "none"}
        site.add(r.Panel, f"main {at}", f"grid {at}", service)
        for one in "12":
            site.add(r.Charger, f"{at}{one}", f"main {at}", {"role": "branch"}, nameplate_a=40.0)
    site.group(r.ManagedGroup, "inner", "a1", "a2", limit_a=50.0, listed=True,
               access_restricted=True, fail_safe_a=6.0)  # fmt: skip
    site.group(r.ManagedGroup, "outer", "inner", limit_a=45.0, listed=True,
               access_restricted=True, fail_safe_a=6.0)  # fmt: skip
    project = site.project()
    study = Study(project)
    near, far = (study.equipment(f"main {at}").demand.heavier_a for at in "ab")
    assert near == 45.0 and far == 80.0
    here, there = study.solved.normal
    changed = study.follow(project.apply(alter(project, "groups", "outer", limit_a=30.0)))
    assert study.equipment("main a").demand.heavier_a == 30.0
    assert "main b" not in changed.equipment
    assert study.solved.normal[0] is not here and study.solved.normal[1] is there
