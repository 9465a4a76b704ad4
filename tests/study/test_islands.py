"""What the study makes of second paths, second sources, standby supplies and dead pieces."""

import pytest
from pytest import approx
from study.build import Site, served, wires, with_run

from ampacre.model import records as r
from ampacre.study.study import Study

RUN = {"length_m": 20.0, "conductors": wires("2", "2", "8"), "raceway": "pvc"}


def test_a_second_path_is_left_out_and_told():
    site = served()
    site.add(r.Panel, "a", "p", RUN)
    site.add(r.Panel, "b", "p", RUN)
    site.join("a", "b", **RUN)
    study = Study(site.project())
    (island,) = study.islands
    (loop,) = island.loops
    assert loop == "a-b"
    assert not study.run(loop).supplied
    assert study.run(loop).demand is None
    assert study.equipment("b").supplied
    assert study.equipment("b").feed != loop
    assert len([run for run in study.all_runs() if run.supplied]) == 3


def test_two_runs_between_the_same_pieces_are_a_second_path():
    site = served()
    site.add(r.Panel, "a", "p", RUN)
    site.join("p", "a", **RUN)
    study = Study(site.project())
    assert [study.run(key).supplied for key in ("p-a", "p-a-2")] == [True, False]


def test_a_rival_source_does_not_feed_what_another_feeds():
    site = served()
    site.add(r.Load, "x", "p", {"legs": "A", "length_m": 5.0}, va=1200.0)
    site.add(r.Generator, "g", kw=10.0)
    site.join("g", "p", **RUN)
    study = Study(site.project())
    (island,) = study.islands
    assert island.rivals == ("g",)
    assert island.root == "grid"
    assert study.equipment("g").supplied
    assert study.equipment("p").demand.heavier_a == approx(10)
    assert study.equipment("p").fault.source.line_line_ka == approx(10)


def standby(**switch):
    site = Site()
    site.add(r.UtilitySource, "grid", system="120/240", fault_ka=10.0)
    site.add(
        r.TransferSwitch, "ats", "grid", RUN | {"role": "service", "protected_at": "none"}, **switch
    )
    site.add(r.Panel, "p", "ats", RUN)
    site.add(r.Load, "light", "p", {"length_m": 5.0}, va=2_400.0, category="lighting")
    site.add(r.Charger, "car", "p", {"length_m": 5.0}, nameplate_a=40.0, shed_on_standby=True)
    site.add(r.Generator, "g", kw=22.0)
    site.join("g", "ats", role="generator output", protected_at="load", lands_on="standby", **RUN)
    return site


def test_standby_supply_by_itself():
    study = Study(standby().project())
    assert [island.root for island in study.islands] == ["grid", "g"]
    assert study.islands[1].order == ("g",)
    assert study.equipment("p").feed == "ats-p"
    assert study.equipment("ats").feed == "grid-ats"
    # the run from the generator belongs to the standby state and carries all that is transferred
    run = study.run("g-ats")
    assert run.supplied
    assert run.calculated_a == approx(10 + 40)
    assert study.equipment("ats").transferred.heavier_a == approx(50)


@pytest.mark.parametrize(("managed", "amperes"), [(True, 10), (False, 50)])
def test_load_manager_keeps_shed_loads_off(managed, amperes):
    study = Study(standby(load_manager=managed).project())
    assert study.equipment("ats").transferred.heavier_a == approx(amperes)
    assert study.run("g-ats").calculated_a == approx(amperes)
    assert study.equipment("ats").demand.heavier_a == approx(50), "the normal supply carries all"


def test_dead_pieces_have_no_figures():
    site = served()
    site.add(r.Panel, "alone")
    site.add(r.Load, "x", "alone", {"legs": "A", "length_m": 5.0}, va=1200.0)
    study = Study(site.project())
    for key in ("alone", "x"):
        facts = study.equipment(key)
        assert not facts.supplied
        assert (facts.demand, facts.fault, facts.system) == (None, None, None)
        assert study.voltage(facts.piece.id) is None
    assert not study.run("alone-x").supplied


def test_a_forming_battery_carries_an_island_by_itself():
    site = Site()
    site.add(r.Battery, "b", forming=True, output_a=40.0)
    site.add(r.Panel, "p", "b", RUN)
    site.add(r.Load, "x", "p", {"legs": "A", "length_m": 5.0}, va=1200.0)
    study = Study(site.project())
    assert study.equipment("x").supplied
    assert study.equipment("p").demand.heavier_a == approx(10)
    assert study.equipment("p").fault is None, "not known, and nothing said"


def test_a_follower_adds_no_load_and_takes_none_off():
    site = served()
    site.add(r.Charger, "car", "p", {"length_m": 5.0}, nameplate_a=40.0)
    without = Study(site.project()).equipment("p").demand
    site.add(r.Inverter, "pv", "p", RUN, output_a=32.0)
    study = Study(site.project())
    assert study.equipment("p").demand == without
    assert study.run("p-pv").sizing_a == approx(40)


def test_three_phase_secondary_on_a_single_phase_supply_is_no_crash():
    site = served()
    unit = {"kva": 30.0, "impedance_pct": 3.0, "system": "120/208"}
    site.add(r.Transformer, "t", "p", RUN, **unit)
    site.add(r.Load, "x", "t", {"legs": "C", "length_m": 5.0}, va=1200.0)
    study = Study(site.project())
    assert study.equipment("x").system.legs == "C"
    assert study.equipment("p").demand.heavier_a == approx(5)


def test_removed_and_opened_runs_feed_nothing():
    site = served()
    site.add(r.Panel, "a", "p", RUN)
    project = site.project()
    gone = with_run(project, "p-a", until=r.WORK)
    study = Study(gone)
    assert not study.equipment("a").supplied
    with pytest.raises(KeyError):
        study.run("p-a")
