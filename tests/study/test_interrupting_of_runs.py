"""The interrupting rating of a run's device: stated, or chosen from the fault where it stands."""

import pytest
from study.build import Site, wires

from ampacre.model import records as r
from ampacre.study.study import Study


def study_of(fault_ka=8.0, **run):
    site = Site()
    site.add(r.UtilitySource, "grid", system="120/240", fault_ka=fault_ka)
    service = {"role": "service", "protected_at": "none", "length_m": 0.0}
    site.add(r.Panel, "main", "grid", service, main=r.Device(rating_a=200.0))
    feeder = {"length_m": 30.0, "conductors": wires("2", "2", "8"), "since": r.WORK}
    site.add(r.Panel, "barn", "main", feeder | run)
    site.add(r.Load, "oven", "barn", {"role": "branch", "since": r.WORK}, va=4000.0)
    return Study(site.project())


def test_a_new_device_gets_the_step_above_the_fault_at_its_supply_end():
    study = study_of()
    fault_ka = study.equipment("main").fault.greatest.seen_ka(2)
    assert 10.0 < fault_ka < 14.0
    chosen = study.run("main-barn").interrupting_ka
    assert (chosen.value, chosen.how) == (14.0, "chosen")
    assert study.run("barn-oven").interrupting_ka.value == 10.0


@pytest.mark.parametrize(
    ("run", "known"),
    [
        ({"device": r.Device(rating_a=60.0, interrupting_ka=22.0)}, (22.0, "entered")),
        ({"since": None, "device": r.Device(rating_a=60.0, unmarked=True)}, (5.0, "entered")),
        ({"since": None, "device": r.Device(rating_a=60.0)}, (None, "unknown")),
        ({"protected_at": "none"}, (None, "unknown")),
    ],
)
def test_nothing_is_chosen_for_what_stands_or_is_not_there(run, known):
    rating = study_of(**run).run("main-barn").interrupting_ka
    assert (rating.value, rating.how) == known


def test_nothing_is_chosen_where_the_fault_is_not_known():
    assert study_of(fault_ka=None).run("main-barn").interrupting_ka.how == "unknown"


def test_a_stronger_supply_is_followed():
    study = study_of()
    stronger = study_of(fault_ka=13.0)
    changed = study.follow(stronger.project)
    assert "main-barn" in changed.runs
    assert study.run("main-barn").interrupting_ka.value == 22.0
