"""Balancing of a panel's legs: never worse, as good as can be, and it moves only what it may."""

import itertools

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st
from study.build import Site

from ampacre.model import records as r
from ampacre.model.soundness import problems
from ampacre.model.system import SYSTEMS, legs_of_spaces, volts_between
from ampacre.study.balancing import Circuit, balance, balanced
from ampacre.study.leg_loads import leg_totals, unevenness_pct
from ampacre.study.study import Study


def loads(system, circuits, places):
    found = dict.fromkeys(system.legs, 0)
    for circuit in circuits:
        legs = legs_of_spaces(places.get(circuit.key, circuit.spaces), system)
        for leg in legs:
            found[leg] += round(circuit.va / len(circuit.spaces))
    return sorted(found.values(), reverse=True)


@st.composite
def boards(draw, systems=tuple(SYSTEMS), most=16, poles=(1, 1, 1, 2, 3)):
    """A system, a number of spaces, and circuits in them, some fixed and some movable."""
    system = SYSTEMS[draw(st.sampled_from([name for name in systems if name != "primary"]))]
    spaces = draw(st.integers(2, 42))
    taken, fixed, movable = set(), [], []
    for number in range(draw(st.integers(0, most))):
        count = min(draw(st.sampled_from(poles)), len(system.legs))
        start = draw(st.integers(1, spaces))
        wanted = tuple(range(start, start + 2 * count, 2))
        if wanted[-1] > spaces or taken.intersection(wanted):
            continue
        taken.update(wanted)
        circuit = Circuit(f"c{number}", wanted, draw(st.integers(0, 9_600)))
        draw(st.sampled_from([fixed, movable, movable])).append(circuit)
    return system, spaces, fixed, movable


@given(boards())
def test_it_is_never_worse_and_nothing_is_lost(board):
    system, spaces, fixed, movable = board
    places = balanced(system, spaces, fixed, movable)
    circuits = [*fixed, *movable]
    assert loads(system, circuits, places) <= loads(system, circuits, {})
    assert places.keys() <= {circuit.key for circuit in movable}
    after = [space for circuit in circuits for space in places.get(circuit.key, circuit.spaces)]
    assert len(after) == len(set(after))
    assert all(1 <= space <= spaces for space in after)
    for circuit in movable:
        new = places.get(circuit.key, circuit.spaces)
        assert new == tuple(range(new[0], new[0] + 2 * len(circuit.spaces), 2))
        before_v, after_v = (
            volts_between(legs_of_spaces(at, system), system) for at in (circuit.spaces, new)
        )
        assert before_v == after_v


@given(boards())
def test_what_is_balanced_stays(board):
    system, spaces, fixed, movable = board
    places = balanced(system, spaces, fixed, movable)
    assert bool(places) == (
        loads(system, [*fixed, *movable], places) < loads(system, [*fixed, *movable], {})
    )


@given(boards(systems=("120/240", "120/208"), most=6, poles=(1,)))
def test_single_poles_come_out_as_even_as_any_way_of_placing_them(board):
    system, spaces, fixed, movable = board
    movable = [circuit for circuit in movable if circuit.va]
    held = {space for circuit in fixed for space in circuit.spaces}
    room = dict.fromkeys(system.legs, 0)
    for space in set(range(1, spaces + 1)) - held:
        room[legs_of_spaces((space,), system)] += 1
    best = None
    for legs in itertools.product(system.legs, repeat=len(movable)):
        if any(legs.count(leg) > room[leg] for leg in room):
            continue
        found = dict.fromkeys(system.legs, 0)
        for circuit in fixed:
            found[legs_of_spaces(circuit.spaces, system)] += circuit.va
        for leg, circuit in zip(legs, movable, strict=True):
            found[leg] += circuit.va
        heaviest = max(found.values())
        best = heaviest if best is None else min(best, heaviest)
    places = balanced(system, spaces, fixed, movable)
    assert loads(system, [*fixed, *movable], places)[0] == best


def test_many_circuits_come_out_nearly_even():
    system = SYSTEMS["120/240"]
    heavy = [Circuit(f"h{n}", (n,), 1500.0) for n in (1, 2, 5, 6, 9, 10, 13, 14, 17, 18)]
    light = [Circuit(f"l{n}", (n,), 180.0) for n in (3, 4, 7, 8, 11, 12, 15, 16, 19, 20)]
    places = balanced(system, 24, [], [*heavy, *light])
    first, second = loads(system, [*heavy, *light], places)
    assert first - second <= 180
    assert len(places) < 15


def test_two_poles_of_a_three_phase_panel_are_spread():
    system = SYSTEMS["120/208"]
    chargers = [Circuit(f"c{n}", (start, start + 2), 8000.0) for n, start in enumerate((1, 2, 7))]
    places = balanced(system, 30, [], chargers)
    assert loads(system, chargers, places) == [8000, 8000, 8000]
    assert all(len(spaces) == 2 for spaces in places.values())


def lopsided():
    """A panel whose single-pole circuits all stand on leg A: two new ones, two existing ones."""
    site = Site()
    site.add(r.UtilitySource, "grid", system="120/240", fault_ka=10.0)
    site.add(r.Panel, "p", "grid", {"role": "service", "length_m": 0.0}, spaces=12)
    for name, space, since in (("a", 1, "work"), ("b", 2, "work"), ("c", 5, None), ("d", 6, None)):
        run = {"role": "branch", "length_m": 10.0, "spaces": (space,), "since": since}
        site.add(r.Load, name, "p", run, va=1200.0, category="receptacles", since=since)
    return site.project()


def on_legs(study):
    return {run.run.target: run.legs for run in study.all_runs() if run.run.source == "p"}


def test_new_circuits_move_and_existing_ones_stay():
    project = lopsided()
    edit = balance(Study(project), "p")
    assert edit.label == "Balance legs of p"
    after = Study(project.apply(edit))
    assert on_legs(after) == {"a": "B", "b": "B", "c": "A", "d": "A"}
    assert after.project.apply(edit.inverse()) == project
    assert not balance(after, "p").changes


def test_existing_ones_move_when_asked():
    site = lopsided()
    runs = {
        key: msgspec.structs.replace(run, since=None) if run.source == "p" else run
        for key, run in site.runs.items()
    }
    project = with_runs(site, runs)
    assert not balance(Study(project), "p").changes
    after = Study(project.apply(balance(Study(project), "p", existing_too=True)))
    totals = leg_totals((run for run in after.all_runs() if run.run.source == "p"), "AB")
    assert unevenness_pct(totals) == 0
    assert problems(after.project) == []


def with_runs(project, runs):
    """The project with other runs."""
    return type(project)(equipment=project.equipment, runs=runs, project=project.project)


def test_circuits_that_share_a_neutral_stay_on_their_legs():
    project = lopsided()
    shared = msgspec.structs.replace(project.runs["p-a"], neutral_with="p-b")
    project = with_runs(project, {**project.runs, "p-a": shared})
    assert not balance(Study(project), "p").changes


def test_a_panel_that_does_not_stand_is_not_known():
    with pytest.raises(KeyError):
        balance(Study(lopsided()), "nothing")
