"""Managed groups that hold all load at a place: by hand, and laws that hold of all of them."""

import dataclasses

import msgspec
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from pytest import approx
from study.build import served
from study.trees import LEGS, sites

from ampacre.model import records as r
from ampacre.study.study import Study

BRANCH = {"role": "branch", "length_m": 10.0}
SURE = {"listed": True, "access_restricted": True, "fail_safe_a": 6.0, "holds": "all load"}
SLACK = 1 + 1e-6


def house(other_a=100.0, limit_a=160.0, continuous=False, settings=(48.0, 48.0), **fields):
    """A panel "p" with a load of this current on both legs, and chargers held with it."""
    site = served(**fields)
    site.add(r.Load, "other", "p", BRANCH, va=other_a * 240, continuous=continuous)
    for number, amperes in enumerate(settings, 1):
        site.add(r.Charger, f"c{number}", "p", BRANCH, nameplate_a=amperes)
    names = [f"c{number}" for number in range(1, len(settings) + 1)]
    site.group(r.ManagedGroup, "g", *names, limit_a=limit_a, measured_at="p", **SURE)
    return site


def demand(site, key="p"):
    return Study(site.project()).equipment(key).demand


@pytest.mark.parametrize(
    ("other_a", "continuous", "calculated_a", "sizing_a"),
    [
        # 100 + 96 A would be 196: held to 160; all 96 A may run for hours: 160 + 24
        (100, False, 160, 184),
        # with 100 A of continuous load beside them no more than 160 A is continuous: 160 + 40
        (100, True, 160, 200),
        # 50 + 96 A fit: the limit does nothing
        (50, False, 146, 146 + 24),
        # 155 A leave 5 A, but at other hours 96 A
        (155, False, 160, 184),
        # 170 A are above the limit by themselves: nothing is left to the chargers
        (170, False, 170, 170 + 24),
        (170, True, 170, 170 + 42.5),
    ],
)
def test_a_panel_counts_as_the_limit_of_what_measures_there(
    other_a, continuous, calculated_a, sizing_a
):
    found = demand(house(other_a, continuous=continuous))
    assert (found.heavier_a, found.heavier_sizing_a) == (approx(calculated_a), approx(sizing_a))
    assert found.calculated_va == approx(calculated_a * 240)


def test_the_worksheet_says_what_is_held_where():
    lines = demand(house()).worksheet.lines
    line = next(line for line in lines if line.label.startswith("Chargers managed by g"))
    assert line.result == approx(60 * 240)
    assert line.note.startswith("all load at p is held to 160 A; more of it may run for hours")
    unheld = demand(house(50)).worksheet.lines
    line = next(line for line in unheld if line.label.startswith("Chargers managed by g"))
    assert line.note == "all load at p is held to 160 A"


def test_the_facts_of_the_place_say_what_the_system_faces():
    facts = Study(house().project()).equipment("p")
    (watched,) = facts.watched
    assert (watched.group, watched.limit_a) == ("g", 160)
    assert (watched.load_a, watched.uncontrolled_a) == (approx(196), approx(100))


def test_the_heavier_leg_is_what_is_held():
    # 100 A on both legs and 30 A more on A: 130 A leave 30 A; leg B then stays at 130
    site = house()
    site.add(r.Load, "lamp", "p", BRANCH | {"legs": "A"}, va=30 * 120.0, continuous=False)
    assert demand(site).calculated_a == approx((160, 130))


def test_what_all_comes_through_the_place_is_held_with_it():
    # measured at the meter: the main panel behind it carries the same current, and a panel with
    # 48 A of chargers and 130 A of other load no more than the meter lets through
    site = served()
    site.add(r.Meter, "m", "p", {"length_m": 1.0})
    site.add(r.Panel, "main", "m", {"length_m": 2.0})
    site.add(r.Panel, "sub", "main", {"length_m": 20.0})
    site.add(r.Load, "other", "sub", BRANCH, va=130 * 240.0, continuous=False)
    site.add(r.Charger, "c1", "sub", BRANCH, nameplate_a=48.0)
    site.add(r.Charger, "c2", "main", BRANCH, nameplate_a=48.0)
    site.group(r.ManagedGroup, "g", "c1", "c2", limit_a=160.0, measured_at="m", **SURE)
    study = Study(site.project())
    for key in ("p", "m", "main", "sub"):
        assert study.equipment(key).demand.heavier_a == approx(160), key


def test_a_point_above_adds_the_limit_to_its_other_load():
    site = served()
    site.add(r.Panel, "barn", "p", {"length_m": 20.0})
    site.add(r.Load, "other", "barn", BRANCH, va=100 * 240.0, continuous=False)
    for key in ("c1", "c2"):
        site.add(r.Charger, key, "barn", BRANCH, nameplate_a=48.0)
    site.add(r.Load, "yard", "p", BRANCH, va=70 * 240.0, continuous=False)
    site.group(r.ManagedGroup, "g", "c1", "c2", limit_a=160.0, measured_at="barn", **SURE)
    study = Study(site.project())
    assert study.equipment("barn").demand.heavier_a == approx(160)
    assert study.equipment("p").demand.heavier_a == approx(230)
    assert study.run("p-barn").calculated_a == approx(160)
    assert study.run("barn-c1").calculated_a == approx(48), "a branch stays at the setting"


def test_above_a_place_load_that_a_table_counts_for_less_does_not_lower_the_limit():
    # Receptacles: 10 kVA at 100 %, the rest at 50 %. In the barn 20 kVA count 15, 62.5 A, and
    # beside 10 kVA elsewhere the same 20 kVA add 10. The chargers fill what is free, so the barn
    # still adds its limit: 10,000 VA + 80 A x 240 V.
    site = served()
    site.add(r.Panel, "barn", "p", {"length_m": 20.0})
    for source, key, va in (("barn", "inside", 20_000.0), ("p", "outside", 10_000.0)):
        site.add(r.Load, key, source, BRANCH, category="receptacles", va=va, continuous=False)
    site.add(r.Charger, "c1", "barn", BRANCH, nameplate_a=48.0)
    site.group(r.ManagedGroup, "g", "c1", limit_a=80.0, measured_at="barn", **SURE)
    study = Study(site.project())
    assert study.equipment("barn").demand.calculated_va == approx(80 * 240)
    assert study.equipment("p").demand.calculated_va == approx(10_000 + 80 * 240)


def test_a_place_behind_a_transformer_is_held_as_its_primary_sees_it():
    # 480 V to 120/240 V: 160 A are 80 A ahead of the transformer
    site = served("480")
    site.add(r.Transformer, "t", "p", {"length_m": 5.0}, system="120/240", kva=50)
    site.add(r.Panel, "home", "t", {"length_m": 5.0})
    site.add(r.Load, "other", "home", BRANCH, va=100 * 240.0, continuous=False)
    for key in ("c1", "c2"):
        site.add(r.Charger, key, "home", BRANCH, nameplate_a=48.0)
    site.group(r.ManagedGroup, "g", "c1", "c2", limit_a=160.0, measured_at="home", **SURE)
    study = Study(site.project())
    assert study.equipment("home").demand.heavier_a == approx(160)
    assert study.equipment("t").demand.heavier_a == approx(160)
    assert study.equipment("p").demand.heavier_a == approx(80)


def test_a_dwelling_by_the_optional_method_is_held_at_its_panel():
    # 220.82: 10 kVA + 40 % of the rest. 2,000 ft2 are 6,000 VA, with 4,500 VA of circuits and a
    # 12 kW range 22,500: 15,000 VA, 62.5 A. Chargers 96 A: 158.5, held to 100 A.
    def home(**settings):
        site = served(basis="optional dwelling", **settings)
        site.add(
            r.DwellingLoad, "home", "p", BRANCH, floor_area_m2=2000 * 0.09290304,
            appliances=(r.Appliance(kind="cooking", va=12_000),),
        )  # fmt: skip
        for key in ("c1", "c2"):
            site.add(r.Charger, key, "p", BRANCH, nameplate_a=48.0, serves="home")
        site.group(r.ManagedGroup, "g", "c1", "c2", limit_a=80.0, measured_at="p", **SURE)
        return demand(site)

    found = home()
    assert (found.method, found.heavier_a) == ("optional dwelling", approx(80))
    assert found.heavier_sizing_a == approx(80 + 20)
    # in the pool chargers count 40 %: 62.5 + 38.4 = 100.9 A, held to 80 A all the same
    assert home(optional_chargers="inside").heavier_a == approx(80)


@pytest.mark.parametrize(
    "lacking", ["listed", "access_restricted", "fail_safe_a", "measured_at", "stray"]
)
def test_a_limit_that_is_not_confirmed_holds_nothing(lacking):
    site = house()
    if lacking == "stray":
        # a member beside the place: the system does not measure it
        site.add(r.Panel, "sub", "p", {"length_m": 20.0})
        site.groups["g"] = msgspec.structs.replace(site.groups["g"], measured_at="sub")
    else:
        site.groups["g"] = msgspec.structs.replace(site.groups["g"], **{lacking: None})
    assert demand(site).heavier_a == approx(196)


def test_chargers_of_a_system_that_measures_elsewhere_stay_in_the_group_around_it():
    # the pair is to hold all load at a panel that feeds none of it; the manager around it still
    # holds its chargers to 40 A
    site = house(settings=(48.0,))
    site.add(r.Panel, "sub", "p", {"length_m": 20.0})
    for key in ("c8", "c9"):
        site.add(r.Charger, key, "p", BRANCH, nameplate_a=32.0)
    site.group(r.ManagedGroup, "pair", "c8", "c9", limit_a=30.0, measured_at="sub", **SURE)
    site.groups["g"] = msgspec.structs.replace(
        site.groups["g"], members=("c1", "pair"), limit_a=40.0, holds="members", measured_at=None
    )
    study = Study(site.project())
    assert study.equipment("p").demand.heavier_a == approx(140)
    drawn_a = [max(study.running(f"p-{key}").leg_a) for key in ("c1", "c8", "c9")]
    assert sum(drawn_a) == approx(40)


def test_a_charger_of_a_system_that_measures_elsewhere_has_the_least_load_of_a_charger():
    # from 2023 on no less than 7200 VA: 30 A
    site = house(settings=(16.0,), limit_a=10.0)
    site.add(r.Panel, "sub", "p", {"length_m": 20.0})
    site.groups["g"] = msgspec.structs.replace(site.groups["g"], measured_at="sub")
    assert demand(site).heavier_a == approx(130)


def test_a_group_inside_holds_its_own_limit_first():
    # the pair is held to 40 A at its own panel, everything to 160 A: 100 + 40 + 48 would be 188
    site = house(settings=(48.0,))
    site.add(r.Panel, "sub", "p", {"length_m": 20.0})
    for key in ("c8", "c9"):
        site.add(r.Charger, key, "sub", BRANCH, nameplate_a=32.0)
    site.group(r.ManagedGroup, "pair", "c8", "c9", limit_a=40.0, **SURE | {"holds": "members"})
    site.group(r.ManagedGroup, "g", "c1", "pair", limit_a=160.0, measured_at="p", **SURE)
    study = Study(site.project())
    assert study.equipment("sub").demand.heavier_a == approx(40)
    assert study.equipment("p").demand.heavier_a == approx(160)
    roomy = dataclasses.replace(
        site.project(),
        groups=site.groups | {"g": msgspec.structs.replace(site.groups["g"], limit_a=190.0)},
    )
    assert Study(roomy).equipment("p").demand.heavier_a == approx(188)


def test_two_systems_at_one_place_stay_at_the_limit_together():
    # 100 A and two chargers of 48 A, each held by its own system to 160 A at the same place
    site = house(settings=(48.0,))
    site.add(r.Charger, "c8", "p", BRANCH, nameplate_a=48.0)
    site.group(r.ManagedGroup, "h", "c8", limit_a=160.0, measured_at="p", **SURE)
    assert demand(site).heavier_a == approx(160)


def test_chargers_run_at_what_is_left_to_them():
    # of 96 A 60 are left: each draws 30
    study = Study(house().project())
    assert max(study.running("p-c1").leg_a) == approx(30)


def test_a_switch_behind_the_measuring_point_transfers_all_its_chargers():
    # the system measures at the service, ahead of the transfer switch: on standby it sees nothing
    site = served()
    site.add(r.TransferSwitch, "switch", "p", {"length_m": 5.0})
    site.add(r.Panel, "sub", "switch", {"length_m": 5.0})
    site.add(r.Load, "other", "sub", BRANCH, va=100 * 240.0, continuous=False)
    for key in ("c1", "c2"):
        site.add(r.Charger, key, "sub", BRANCH, nameplate_a=48.0)
    site.add(r.Generator, "set", kw=22, kva=22)
    site.join("set", "switch", role="generator output", lands_on="standby", length_m=5.0)
    site.group(r.ManagedGroup, "g", "c1", "c2", limit_a=160.0, measured_at="p", **SURE)
    study = Study(site.project())
    assert study.equipment("p").demand.heavier_a == approx(160)
    assert study.equipment("switch").transferred.heavier_a == approx(196)
    inside = dict(site.groups)
    inside["g"] = msgspec.structs.replace(inside["g"], measured_at="sub")
    study = Study(dataclasses.replace(site.project(), groups=inside))
    assert study.equipment("switch").transferred.heavier_a == approx(160)


def test_the_alternative_reading_of_a_policy_is_held_too():
    site = served(basis="optional dwelling")
    site.add(r.DwellingLoad, "home", "p", BRANCH, floor_area_m2=200)
    site.add(r.Charger, "c1", "p", BRANCH, nameplate_a=80.0, serves="home")
    site.group(r.ManagedGroup, "g", "c1", limit_a=50.0, measured_at="p", **SURE)
    lines = demand(site).worksheet.lines
    other = next(line for line in lines if line.label.startswith("Alternative: chargers inside"))
    assert other.note.startswith("50.0 A calculated")


def watching(draw, project):
    """The project with all its managed groups held by one that measures at a panel above them."""
    outermost = [
        group.id
        for group in project.groups.values()
        if isinstance(group, r.ManagedGroup)
        and not any(group.id in other.members for other in project.groups.values())
    ]
    loose = [
        key
        for key, piece in project.equipment.items()
        if isinstance(piece, r.Charger)
        and not any(key in group.members for group in project.groups.values())
    ]
    panels = sorted(k for k, piece in project.equipment.items() if isinstance(piece, r.Panel))
    group = r.ManagedGroup(
        id="watch", name="watch", members=(*outermost, *loose), limit_a=draw(st.floats(6, 200)),
        measured_at=draw(st.sampled_from(panels)), **SURE,
    )  # fmt: skip
    return dataclasses.replace(project, groups={**project.groups, "watch": group})


def unwatched(project, **fields):
    groups = dict(project.groups)
    groups["watch"] = msgspec.structs.replace(groups["watch"], **fields)
    return dataclasses.replace(project, groups=groups)


def without_chargers(project):
    equipment = {
        key: msgspec.structs.replace(piece, nameplate_a=None, setting_a=None)
        if isinstance(piece, r.Charger)
        else piece
        for key, piece in project.equipment.items()
    }
    return dataclasses.replace(project, equipment=equipment)


def is_below(study, key, at):
    while key is not None and key != at:
        key = study.equipment(key).parent
    return key == at


BASES = (None, "general", "standard dwelling", "optional dwelling")


@given(
    st.sampled_from(sorted(LEGS)).flatmap(
        lambda system: sites(
            system, kinds=("charger", "charger", "load", "motor", "heat", "dwelling"), bases=BASES
        )
    ),
    st.data(),
)
def test_a_held_place_is_above_its_limit_only_by_what_is_not_controlled(project, data):
    project = watching(data.draw, project)
    assume(project.groups["watch"].members)
    study, free = Study(project), Study(unwatched(project, listed=False))
    rest = Study(without_chargers(project))
    watch = project.groups["watch"]
    at = watch.measured_at
    demand = study.equipment(at).demand
    if not study.equipment(at).watched:
        assert demand == free.equipment(at).demand, "members are fed elsewhere"
        return
    uncontrolled_a = rest.equipment(at).demand.heavier_a
    assert demand.heavier_a <= SLACK * max(watch.limit_a, uncontrolled_a)
    for facts in study.all_equipment():
        if isinstance(facts.piece, r.Panel) and is_below(study, facts.piece.id, at):
            left = max(watch.limit_a, rest.equipment(facts.piece.id).demand.heavier_a)
            if len(facts.system.legs) == 2:
                assert facts.demand.heavier_a <= SLACK * left
    above = at
    while above is not None:
        held, whole, none = (each.equipment(above).demand for each in (study, free, rest))
        assert held.heavier_a <= SLACK * whole.heavier_a
        assert held.heavier_sizing_a <= SLACK * whole.heavier_sizing_a
        assert held.heavier_a >= none.heavier_a / SLACK
        assert held.heavier_sizing_a >= held.heavier_a / SLACK
        above = study.equipment(above).parent


@given(sites(kinds=("charger", "charger", "load", "heat", "motor"), groups=False), st.data())
def test_a_held_place_counts_its_limit_wherever_load_would_be_above(project, data):
    project = watching(data.draw, project)
    study, free = Study(project), Study(unwatched(project, listed=False))
    rest = Study(without_chargers(project))
    watch = project.groups["watch"]
    at = watch.measured_at
    assume(study.equipment(at).watched)
    whole, none = (each.equipment(at).demand.heavier_a for each in (free, rest))
    held_a = study.equipment(at).demand.heavier_a
    # unmanaged, a charger counts 7,200 VA at least; the group's members count as they are set
    if free.equipment(at).demand.connected_va == approx(study.equipment(at).demand.connected_va):
        assert held_a == approx(min(whole, max(none, watch.limit_a)), rel=1e-6)
