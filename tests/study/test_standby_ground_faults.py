"""Ground faults on standby: they return by the bond that the system has then."""

import cmath
import dataclasses

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx
from study.build import served, wires, with_piece, with_run

from ampacre.model import records as r
from ampacre.sizing.impedance import run_impedance
from ampacre.study.study import Study

HOT_C = 75.0
# to neutral a set has 1.5 of a quarter of its resistance and 1.2 of that of its reactance; X/R 20
SET_PHASE = cmath.phase(complex(1.5, 1.2 * 20))


def plant(switched=False, set_bonded=False, panel_bonded=False, feeder_ground="6"):
    """A bonded service panel "p", 90 m away a switch "ats" with panel "q" and a load, and a set."""
    site = served()
    site.pieces["p"] = msgspec.structs.replace(site.pieces["p"], neutral_bonded=True)
    feeder = {"length_m": 90.0, "raceway": "pvc", "role": "feeder"}
    site.add(
        r.TransferSwitch, "ats", "p", feeder | {"conductors": wires("4/0", "2/0", feeder_ground)},
        neutral_switched=switched,
    )  # fmt: skip
    short = {"raceway": "pvc", "conductors": wires("3", "3", "8")}
    site.add(r.Panel, "q", "ats", short | {"length_m": 5.0}, neutral_bonded=panel_bonded)
    site.add(
        r.Load, "pump", "q", {"role": "branch", "legs": "AB", "length_m": 30.0, "raceway": "pvc",
                              "conductors": wires("10", None, "10")}, va=2_000,
    )  # fmt: skip
    site.add(r.Generator, "g", kw=22.0, kva=22.0, neutral_bonded=set_bonded)
    site.join(
        "g", "ats", role="generator output", lands_on="standby", length_m=12.0, raceway="pvc",
        conductors=wires("3", "3", "8"), device=r.Device(rating_a=100.0),
    )  # fmt: skip
    return site.project()


def one_way(size, length_m):
    return run_impedance(size, "cu", "pvc", 1, length_m, HOT_C)


def to_neutral():
    """The set to neutral, by its own fault between leg and neutral."""
    study = Study(plant(set_bonded=True, switched=True))
    return cmath.rect(120 / study.equipment("g").fault.least.line_neutral_ka / 1000, SET_PHASE)


OUT_AND_BACK = one_way("3", 12.0) * 2
BY_THE_SERVICE = one_way("6", 90.0) + one_way("2/0", 90.0)


def test_a_floating_set_behind_a_solid_neutral_returns_by_the_service():
    # out by a leg of the set's run, by the feeder's 6 AWG to the service, back by its neutral and
    # by that of the set's run
    study = Study(plant())
    expected_a = 120 / abs(to_neutral() + OUT_AND_BACK + BY_THE_SERVICE)
    run = study.run("g-ats")
    assert (run.ground_a, run.ground_from) == (approx(expected_a, rel=1e-3), "g")
    assert study.equipment("ats").fault.least.ground_ka == approx(expected_a / 1000, rel=1e-3)
    # in the set's own housing: by the grounding wire to the switch first
    at_set_a = 120 / abs(to_neutral() + one_way("8", 12.0) + one_way("3", 12.0) + BY_THE_SERVICE)
    assert study.equipment("g").fault.least.ground_ka == approx(at_set_a / 1000, rel=1e-3)


def test_a_run_with_both_supplies_has_the_less_of_both():
    study = Study(plant())
    z = to_neutral() + OUT_AND_BACK + BY_THE_SERVICE
    z += one_way("3", 5.0) + one_way("8", 5.0) + 2 * one_way("10", 30.0)
    run = study.run("q-pump")
    assert (run.ground_a, run.ground_from) == (approx(120 / abs(z), rel=1e-3), "g")
    assert run.ground_a == approx(1000 * study.equipment("pump").fault.least.ground_ka)
    # the feeder ahead of the switch is dead on standby
    assert study.run("p-ats").ground_from == ""


def test_each_state_has_its_own_device():
    # 90 m of feeder, 10 kA ahead: normally a device of 125 A has to open, on standby one of 100 A
    project = with_piece(plant(), "q", main=r.Device(rating_a=125.0))
    project = with_run(project, "ats-q", protected_at="load")
    run = Study(project).run("ats-q")
    z = to_neutral() + OUT_AND_BACK + BY_THE_SERVICE + one_way("3", 5.0) + one_way("8", 5.0)
    on_standby = 120 / abs(z) / 100
    source = cmath.rect(240 / 10_000, cmath.phase(complex(1, 1.5)))
    source = complex(1.5 * source.real, 1.2 * source.imag) / 4
    feeder = one_way("4/0", 90.0) + one_way("6", 90.0) + one_way("3", 5.0) + one_way("8", 5.0)
    normally = 120 / abs(source + feeder) / 125
    assert on_standby < normally
    assert run.ground_a / run.ground_device_a == approx(on_standby, rel=2e-3)
    assert (run.ground_device_a, run.ground_from) == (100, "g")
    # behind 200 A the normal state is the worse one
    run = Study(with_piece(project, "q", main=r.Device(rating_a=200.0))).run("ats-q")
    assert (run.ground_device_a, run.ground_from) == (200, "")
    assert run.ground_a / 125 == approx(normally, rel=2e-2)


def test_a_bonded_set_behind_a_switched_neutral_returns_to_the_set():
    study = Study(plant(switched=True, set_bonded=True))
    expected_a = 120 / abs(to_neutral() + one_way("3", 12.0) + one_way("8", 12.0))
    assert study.run("g-ats").ground_a == approx(expected_a, rel=1e-3)


def test_a_floating_set_behind_a_switched_neutral_has_no_way_back():
    study = Study(plant(switched=True))
    assert study.run("g-ats").ground_a is None
    assert study.equipment("g").fault.least.ground_ka is None


def test_a_bond_behind_the_switch_is_nearer():
    # an old feeder without grounding wire, bonded at the panel behind the switch
    study = Study(plant(panel_bonded=True, feeder_ground="none"))
    at_panel = to_neutral() + OUT_AND_BACK + 2 * one_way("3", 5.0)
    assert study.equipment("q").fault.least.ground_ka == approx(
        120 / abs(at_panel) / 1000, rel=1e-3
    )
    at_switch = to_neutral() + OUT_AND_BACK + one_way("8", 5.0) + one_way("3", 5.0)
    assert study.run("g-ats").ground_a == approx(120 / abs(at_switch), rel=1e-3)


@pytest.mark.parametrize(
    ("switched", "set_bonded", "same_as"),
    [(False, None, (False, False)), (True, None, (True, True)), (None, False, (False, False)),
     (None, True, (True, True)), (None, None, (False, False))],
)  # fmt: skip
def test_what_was_not_read_is_taken_as_the_code_has_it_or_the_longer_way(
    switched, set_bonded, same_as
):
    found, known = Study(plant(switched, set_bonded)), Study(plant(*same_as))
    assert found.run("g-ats").ground_a == known.run("g-ats").ground_a


@given(st.floats(1, 300), st.floats(1, 300), st.sampled_from(["p-ats", "g-ats", "ats-q", "q-pump"]))
def test_longer_runs_never_raise_a_ground_fault(feeder_m, more_m, longer):
    project = with_run(plant(), "p-ats", length_m=feeder_m)
    longest = with_run(project, longer, length_m=project.runs[longer].length_m + more_m)
    before, after = Study(project), Study(longest)
    for key in ("g-ats", "ats-q", "q-pump"):
        assert after.run(key).ground_a <= before.run(key).ground_a * (1 + 1e-9)


def test_a_study_follows_the_bond_at_the_other_side_of_the_switch():
    study = Study(plant())
    for change in (
        lambda project: with_run(project, "p-ats", length_m=200.0),
        lambda project: with_piece(project, "ats", neutral_switched=True),
        lambda project: with_piece(project, "g", neutral_bonded=True),
    ):
        project = change(study.project)
        study.follow(project)
        fresh = Study(dataclasses.replace(project))
        for key in project.runs:
            assert study.run(key) == fresh.run(key)
        for key in project.equipment:
            assert study.equipment(key) == fresh.equipment(key)
