"""Every total of a worksheet can be worked out again from the lines that it prints."""

from hypothesis import given
from hypothesis import strategies as st
from pytest import approx
from study.build import Site

from ampacre.codebook.articles import EDITIONS
from ampacre.model import records as r
from ampacre.study.facts import Demand
from ampacre.study.study import Study
from ampacre.study.tally import leg_amperes

BASES = (None, *r.Basis.__args__)
SYSTEMS = {"120/240": "AB", "120/208": "ABC"}
CATEGORIES = r.LoadCategory.__args__


@st.composite
def properties(draw):
    """A small property with loads of every kind under any methods and policies."""
    system = draw(st.sampled_from(sorted(SYSTEMS)))
    legs = SYSTEMS[system]
    policies = {
        "edition": draw(st.sampled_from(EDITIONS)),
        "mixed_optional": draw(st.sampled_from(["tally", "block"])),
        "optional_chargers": draw(st.sampled_from(["outside", "inside"])),
        "cooking": draw(st.sampled_from(["column C", "lesser"])),
        "existing_hvac": draw(st.sampled_from(["in the pool", "left out"])),
        "noncoincident_motor": draw(st.sampled_from(["added", "left out"])),
        "unnamed_leg": draw(st.sampled_from(["one leg", "all legs"])),
    }
    site = Site(**policies)
    site.add(r.UtilitySource, "grid", system=system, fault_ka=10.0)
    service = {"role": "service", "protected_at": "none", "length_m": 0.0}
    site.add(r.Panel, "p", "grid", service, **draw(points()))
    sources = ["p"]
    for at in range(draw(st.integers(0, 3))):
        key, source = f"q{at}", draw(st.sampled_from(sources))
        site.add(r.Panel, key, source, {"length_m": 20.0}, **draw(points()))
        sources.append(key)
    for at in range(draw(st.integers(1, 8))):
        draw(leaf(site, f"x{at}", draw(st.sampled_from(sources)), legs))
    return site.project()


def points():
    record = st.builds(
        r.Measured, demand=st.floats(1, 200), unit=st.sampled_from(["kW", "kVA", "A"]),
        start=st.just("2024-01-01"), end=st.just("2024-12-31"), overcurrent_protected=st.just(True),
        seasonal_va=st.sampled_from([0.0, 5_000.0]),
    )  # fmt: skip
    farm = st.builds(
        r.Farm, simultaneous_va=st.none() | st.floats(0, 20_000),
        electric_grain_drying=st.sampled_from([None, True, False]),
    )  # fmt: skip
    return st.fixed_dictionaries(
        {"basis": st.sampled_from(BASES), "measured": st.none() | record, "farm": st.none() | farm}
    )


@st.composite
def leaf(draw, site, key, source, legs):
    run = {"role": "branch", "length_m": 10.0, "legs": draw(st.sampled_from([*legs, legs, legs]))}
    since = {"since": draw(st.sampled_from([None, r.WORK]))}
    match draw(st.sampled_from(["load", "load", "motor", "charger", "dwelling", "pedestal"])):
        case "load":
            site.add(
                r.Load, key, source, run, category=draw(st.sampled_from(CATEGORIES)),
                va=draw(st.floats(1, 20_000)), continuous=draw(st.sampled_from([None, True, False])),
                floor_area_m2=draw(st.sampled_from([None, 100.0])),
                occupancy=draw(st.sampled_from([None, "office", "warehouse", "hotel or motel"])),
                receptacles=draw(st.sampled_from([None, 10])), uses_neutral=draw(st.booleans()),
                strip_m=draw(st.sampled_from([None, 4.0])), nonlinear=draw(st.booleans()), **since,
            )  # fmt: skip
        case "motor":
            site.add(r.Motor, key, source, run, full_load_a=draw(st.floats(1, 60)), **since)
        case "charger":
            site.add(r.Charger, key, source, run, nameplate_a=draw(st.floats(6, 80)), **since)
        case "pedestal":
            site.add(
                r.Pedestal, key, source, run, receptacles_a=(draw(st.sampled_from([20, 30, 50])),),
                sites=draw(st.integers(1, 40)), dock=draw(st.booleans()),
                open_to_public=draw(st.sampled_from([None, True, False])), **since,
            )  # fmt: skip
        case "dwelling":
            kinds = r.Appliance.__annotations__["kind"].__args__
            one = st.builds(
                r.Appliance, kind=st.sampled_from(kinds), va=st.floats(500, 20_000),
                volts=st.sampled_from([120, 240]), new=st.booleans(), motor=st.booleans(),
            )  # fmt: skip
            site.add(
                r.DwellingLoad, key, source, run, floor_area_m2=draw(st.floats(0, 400)),
                appliances=tuple(draw(st.lists(one, max_size=5))), **since,
            )  # fmt: skip


def results(lines, start):
    return {
        line.label.removeprefix(start): line.result
        for line in lines
        if line.label.startswith(start)
    }


def amperes(on_legs, system):
    total = dict.fromkeys(system.legs, 0.0)
    for legs, va in on_legs.items():
        for leg, each in leg_amperes(legs, va, system).items():
            total[leg] += each
    return total


def check_sums(demand: Demand, system):
    lines = demand.worksheet.lines
    at = next(i for i, line in enumerate(lines) if line.label == "Calculated load")
    above = lines[:at]
    total = lines[at].result
    assert total == approx(demand.calculated_va)
    assert sum(line.result or 0.0 for line in above) == approx(total, abs=1e-6)
    for line in lines:
        if None not in (line.quantity, line.factor, line.result):
            assert line.quantity * line.factor == approx(line.result, abs=1e-6), line
    for line in above:
        assert line.cite, line
    extra = next(line for line in lines if line.label == "25 % of continuous load")
    assert total + extra.result == approx(demand.sizing_va)
    pool = [line for line in above if line.note == "in the pool"]
    tiers = [line for line in above if line.label.endswith("of the pool")]
    if tiers:
        assert sum(line.quantity for line in pool) == approx(sum(line.quantity for line in tiers))

    on_legs = results(lines, "On legs ") or {system.legs: total}
    assert sum(on_legs.values()) == approx(total, abs=1e-6)
    calculated = amperes(on_legs, system)
    assert tuple(calculated.values()) == approx(demand.calculated_a)
    steady = results(lines, "Continuous on legs ") or {system.legs: extra.quantity}
    assert sum(steady.values()) == approx(extra.quantity, abs=1e-6)
    sizing = amperes({legs: 0.25 * va for legs, va in steady.items()}, system)
    assert tuple(calculated[leg] + sizing[leg] for leg in system.legs) == approx(demand.sizing_a)
    assert results(lines, "Calculated current") == {", heavier leg": approx(demand.heavier_a)}
    assert results(lines, "Sizing current") == {", heavier leg": approx(demand.heavier_sizing_a)}


def check_neutral(demand: Demand, system):
    lines = demand.worksheet.lines
    parts = [
        line for line in lines
        if line.label.startswith("Neutral: ") and line.unit == "VA"
    ]  # fmt: skip
    leg_v = min(abs(volt) for volt in system.leg_v)
    against = dict.fromkeys(system.legs, 0.0)
    for part in parts:
        legs = part.note.rpartition(" ")[2]
        for leg in system.legs:
            if part.note == "on one leg":
                against[leg] += part.result / leg_v
            elif leg in legs:
                against[leg] += part.result / leg_v / len(legs)
    motor = results(lines, "Neutral: largest motor").get(" on one leg", 0.0)
    total = max(against.values()) + motor
    beyond = next((line for line in lines if line.label == "Neutral: beyond 200 A"), None)
    if beyond is not None:
        assert results(lines, "Neutral against leg ")  # the current before the reduction
        total -= beyond.quantity - beyond.result
    assert total == approx(demand.neutral_a, abs=1e-6)
    if parts:
        whole = next(line for line in lines if line.label == "Neutral load")
        assert whole.result == approx(sum(part.result for part in parts))


@given(properties())
def test_totals_are_worked_out_again_from_the_lines(project):
    study = Study(project)
    for facts in study.all_equipment():
        if isinstance(facts.piece, r.Panel) and facts.demand is not None:
            check_sums(facts.demand, facts.system)
            check_neutral(facts.demand, facts.system)


@given(properties())
def test_citations_are_of_the_projects_edition(project):
    study = Study(project)
    edition = study.settings.edition
    for facts in study.all_equipment():
        for line in facts.demand.worksheet.lines:
            assert not line.cite.startswith("NEC") or line.cite.startswith(f"NEC {edition} "), line


@given(properties())
def test_legs_add_up_to_the_load(project):
    study = Study(project)
    for facts in study.all_equipment():
        if not isinstance(facts.piece, r.Panel) or facts.system.line_v != 240:
            continue
        assert 120 * sum(facts.demand.calculated_a) == approx(facts.demand.calculated_va)
        assert 120 * sum(facts.demand.sizing_a) == approx(facts.demand.sizing_va)
        assert facts.demand.heavier_sizing_a >= facts.demand.heavier_a * (1 - 1e-9)
