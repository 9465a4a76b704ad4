"""What holds of load and demand on any property."""

import dataclasses
import itertools

import msgspec
from hypothesis import assume, given
from hypothesis import strategies as st
from pytest import approx
from study.build import with_piece
from study.trees import LEGS, sites

from ampacre.model import records as r
from ampacre.study.study import Study
from ampacre.study.tally import connected_va

SLACK = 1 + 1e-9


def panels(study):
    return [facts for facts in study.all_equipment() if isinstance(facts.piece, r.Panel)]


def children(study, facts):
    return [study.equipment(study.run(key).run.target) for key in facts.runs_out]


def whole_demand(facts):
    return facts.demand.calculated_va


@given(st.sampled_from(sorted(LEGS)).flatmap(sites))
def test_load_moves_up_without_loss(project):
    study = Study(project)
    for facts in panels(study):
        below = children(study, facts)
        assert connected_va(facts.tally) == approx(sum(connected_va(c.tally) for c in below))
        assert facts.demand.connected_va == approx(connected_va(facts.tally))


@given(st.sampled_from(sorted(LEGS)).flatmap(sites))
def test_demand_is_never_above_the_sum_of_those_below(project):
    study = Study(project)
    for facts in panels(study):
        below = children(study, facts)
        heavier = sum(child.demand.heavier_a for child in below)
        assert facts.demand.heavier_a <= SLACK * heavier
        if project.groups:
            # what runs, of what does not run together, is chosen by the heavier leg at each point
            continue
        assert whole_demand(facts) <= SLACK * sum(map(whole_demand, below))
        for leg, amperes in zip(facts.system.legs, facts.demand.calculated_a, strict=True):
            each = (dict(zip(c.system.legs, c.demand.calculated_a, strict=True)) for c in below)
            assert amperes <= SLACK * sum(legs.get(leg, 0.0) for legs in each)


@given(sites(bases=(None, "general", "connected", "standard dwelling", "optional dwelling")))
def test_legs_add_up_to_the_load(project):
    for facts in panels(Study(project)):
        demand = facts.demand
        assert 120 * sum(demand.calculated_a) == approx(demand.calculated_va)
        assert 120 * sum(demand.sizing_a) == approx(demand.sizing_va)
        assert demand.heavier_sizing_a >= demand.heavier_a / SLACK


@given(sites("120/208"))
def test_legs_of_a_wye_carry_at_least_the_load(project):
    # a load between two legs of a wye draws 240/208 of its share of the load from each
    for facts in panels(Study(project)):
        carried_va = 208 / 3**0.5 * sum(facts.demand.calculated_a)
        assert facts.demand.calculated_va <= SLACK * carried_va
        assert carried_va <= SLACK * 2 / 3**0.5 * facts.demand.calculated_va


@given(sites(bases=(None, "general", "connected", "standard dwelling", "optional dwelling")))
def test_printed_lines_add_up_to_the_total(project):
    for facts in panels(Study(project)):
        lines = facts.demand.worksheet.lines
        total = next(line for line in lines if line.label == "Calculated load")
        above = lines[: lines.index(total)]
        assert total.result == approx(facts.demand.calculated_va)
        assert sum(line.result or 0.0 for line in above) == approx(total.result)
        for line in above:
            if None not in (line.quantity, line.factor):
                assert line.quantity * line.factor == approx(line.result)
            assert line.cite, line
        extra = next(line for line in lines if line.label.startswith("25 %"))
        if not any(line.note.startswith("with another") for line in lines):
            assert total.result + extra.result == approx(facts.demand.sizing_va)
        if facts.demand.method == "optional dwelling":
            pool = [line for line in above if line.note == "in the pool"]
            tiers = [line for line in above if line.label.endswith("of the pool")]
            assert sum(line.quantity for line in pool) == approx(sum(t.quantity for t in tiers))


GROWING = {r.Load: "va", r.Motor: "full_load_a", r.Charger: "nameplate_a"}


@given(sites(kinds=("load", "heat", "motor", "charger", "dwelling")), st.data())
def test_a_larger_load_lowers_no_current_at_it_or_above_it(project, data):
    chosen = [key for key, piece in sorted(project.equipment.items()) if type(piece) in GROWING]
    assume(chosen)
    key = data.draw(st.sampled_from(chosen))
    piece = project.equipment[key]
    name = GROWING[type(piece)]
    grown = {name: getattr(piece, name) * data.draw(st.floats(1.0, 1.1))}
    before, after = Study(project), Study(with_piece(project, key, **grown))
    at = key
    while at is not None:
        old, new = before.equipment(at), after.equipment(at)
        assert new.demand.heavier_a >= old.demand.heavier_a / SLACK, at
        assert new.demand.heavier_sizing_a >= old.demand.heavier_sizing_a / SLACK, at
        assert new.demand.neutral_a >= old.demand.neutral_a / SLACK, at
        at = old.parent


def groups_at(facts):
    """Load of each managed group by the worksheet of a point [VA]."""
    lines = facts.demand.worksheet.lines
    return {
        line.label.removeprefix("Chargers managed by ").split(",")[0]: line.result
        for line in lines
        if line.label.startswith("Chargers managed by")
    }


@given(sites(kinds=("charger", "charger", "load")))
def test_a_managed_group_is_never_above_its_limit_anywhere(project):
    study = Study(project)
    limits = {
        g.name: 240 * g.limit_a for g in project.groups.values() if isinstance(g, r.ManagedGroup)
    }
    inside = set(project.groups["inner"].members) if "inner" in project.groups else set()
    for facts in panels(study):
        for name, va in groups_at(facts).items():
            assert va <= SLACK * limits[name]
        below = [
            piece
            for piece in project.equipment
            if piece in inside and is_below(study, piece, facts)
        ]
        if "outer" in project.groups and below:
            # what the inner group may take counts inside the outer one
            rest = [m for m in project.groups["outer"].members if m != "inner"]
            free = sum(
                connected_va(study.equipment(m).tally) for m in rest if is_below(study, m, facts)
            )
            own = sum(connected_va(study.equipment(m).tally) for m in below)
            expected = min(limits["outer"], free + min(limits["inner"], own))
            assert groups_at(facts)["outer"] == approx(expected)


def is_below(study, key, facts):
    while key is not None:
        if key == facts.piece.id:
            return True
        key = study.equipment(key).parent
    return False


@given(sites(kinds=("motor", "heat", "load")))
def test_noncoincident_choice_is_the_best_of_all_choices(project):
    # by the reading of NEC 220.60 that leaves the motor of what stands still out
    read = msgspec.structs.replace(project.settings, noncoincident_motor="left out")
    project = dataclasses.replace(project, project={"project": read})
    apart = [g for g in project.groups.values() if isinstance(g, r.NoncoincidentGroup)]
    study = Study(project)
    found = {facts.piece.id: [] for facts in panels(study)}
    for running in itertools.product(*(group.members for group in apart)):
        still = {m for group in apart for m in group.members} - set(running)
        equipment = {
            key: msgspec.structs.replace(piece, **silent(piece)) if key in still else piece
            for key, piece in project.equipment.items()
        }
        other = Study(dataclasses.replace(project, equipment=equipment, groups={}))
        for key, values in found.items():
            values.append(other.equipment(key).demand)
    for key, demands in found.items():
        demand = study.equipment(key).demand
        assert demand.heavier_a == approx(max(d.heavier_a for d in demands))
        assert demand.heavier_sizing_a == approx(max(d.heavier_sizing_a for d in demands))
        assert demand.neutral_a == approx(max(d.neutral_a for d in demands))


def silent(piece):
    return {"va": 0.0} if isinstance(piece, r.Load) else {"full_load_a": None}
