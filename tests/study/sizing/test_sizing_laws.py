"""Laws of automatic sizing: its choices meet every limit, and more load never means less wire."""

import dataclasses
import math

import msgspec
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from study.sizing.plan import altered, branch, facts, feeder

from ampacre.codebook.articles import EDITIONS
from ampacre.codebook.conductors import SIZES, ampacity, area_cmil
from ampacre.model import records as r
from ampacre.rules.review import Review
from ampacre.sizing.grounding import grounding_size
from ampacre.study.study import Study

PLACES = (
    "yard",
    "under driveway",
    "under road",
    "under building",
    "indoors",
    "outdoors",
    "on roof",
)

ways = st.fixed_dictionaries(
    {
        "length_m": st.floats(min_value=1.0, max_value=600.0),
        "place": st.sampled_from([None, *PLACES]),
        "raceway": st.sampled_from([None, "pvc", "steel", "aluminum", "direct burial"]),
        "ambient_c": st.sampled_from([None, 20.0, 40.0, 50.0]),
        "conductors": st.sampled_from(
            [
                r.Conductors(),
                r.Conductors(material="cu"),
                r.Conductors(material="al"),
                r.Conductors(insulation="THWN-2"),
            ]
        ),
    }
)
loads_va = st.floats(min_value=500.0, max_value=120_000.0)
projects = st.fixed_dictionaries({"edition": st.sampled_from(EDITIONS)})


def holds(found, *, drop_limit_pct=3.0):
    """All that a run's conductors, device, neutral, grounding conductor and raceway have to meet."""
    carried, demand = found.ampacity, found.demand
    assert carried.terminal_a >= demand.heavier_sizing_a - 1e-6 or found.met_by_310_12
    assert carried.corrected_a >= demand.heavier_a - 1e-6
    if found.largest_device is not None:
        assert found.largest_device.rating_a >= found.protecting_a
    if found.sets.value > 1:
        assert SIZES.index(found.size.value) >= SIZES.index("1/0")
    if "does not keep" not in found.size.why:
        assert found.drop_pct <= drop_limit_pct + 1e-9
    if found.neutral.value != "none":
        at_terminals = ampacity(found.neutral.value, found.material.value, 75).value
        assert at_terminals * found.sets.value >= demand.neutral_a - 1e-6
        assert area_cmil(found.neutral.value) >= area_cmil(found.neutral_needed)
        assert area_cmil(found.neutral.value) <= area_cmil(found.size.value)
    assert area_cmil(found.grounding.value) >= area_cmil(found.grounding_needed)
    if found.fill is not None:
        assert found.fill.fits
        assert found.fill.jam_ratio is None
    if found.cover_needed_m is not None:
        assert found.cover.value >= found.cover_needed_m


@given(loads_va, ways, projects, st.booleans())
@settings(deadline=None)
def test_a_chosen_feeder_meets_every_limit(va, way, project, one_leg):
    assume(not one_leg or va < 40_000)
    found = facts(feeder(va, one_leg=one_leg, settings=project, **way), "m-w")
    assume(found.size.value is not None)
    holds(found)


@given(st.floats(min_value=6.0, max_value=80.0), ways, projects)
@settings(deadline=None)
def test_so_does_a_chosen_branch_circuit(amperes, way, project):
    found = facts(branch(r.Charger, nameplate_a=amperes, settings=project, run=way), "m-x")
    assume(found.size.value is not None)
    holds(found)


@given(loads_va, ways, projects)
@settings(deadline=None, max_examples=40)
def test_the_rules_have_nothing_to_say_of_a_chosen_run(va, way, project):
    # stated wiring methods that don't belong where they lie are no choice of the study's
    buried = way["raceway"] == "direct burial"
    assume(not (buried and (way["conductors"].insulation or way["place"] != "yard")))
    study = Study(feeder(va, settings=project, **way))
    assume(study.run("m-w").size.value is not None)
    violations = [finding for finding in Review(study).of("m-w") if finding.severity == "violation"]
    assert [finding.rule for finding in violations] == []


@given(loads_va, st.floats(min_value=1.0, max_value=2.0), ways, st.booleans())
@settings(deadline=None)
def test_more_load_never_makes_a_conductor_smaller(va, factor, way, one_leg):
    assume(not one_leg or va * factor < 40_000)
    less = facts(feeder(va, one_leg=one_leg, **way), "m-w")
    more = facts(feeder(va * factor, one_leg=one_leg, **way), "m-w")
    assume(more.size.value is not None)
    assert less.size.value is not None
    assert more.device.value >= less.device.value
    if less.material.value != more.material.value:
        # from copper to aluminum at 60 A
        assert area_cmil(more.size.value) > area_cmil(less.size.value) or more.sets.value > 1
        return
    if less.sets.value == more.sets.value:
        assert SIZES.index(more.size.value) >= SIZES.index(less.size.value)
        assert SIZES.index(more.needed) >= SIZES.index(less.needed)
    else:
        assert more.sets.value > less.sets.value
        assert more.ampacity.terminal_a >= less.ampacity.terminal_a


@given(loads_va, st.floats(min_value=1.0, max_value=5.0), ways)
@settings(deadline=None)
def test_a_longer_run_never_has_smaller_wires(va, factor, way):
    near = facts(feeder(va, **way), "m-w")
    far = facts(feeder(va, **(way | {"length_m": way["length_m"] * factor})), "m-w")
    assume(far.size.value is not None)

    def area(found):
        return area_cmil(found.size.value) * found.sets.value

    assert far.device == near.device
    assert far.sets.value > near.sets.value or area(far) >= area(near)
    if far.sets == near.sets and way["length_m"] > 0.61:
        assert area_cmil(far.grounding_needed) >= area_cmil(near.grounding_needed)


@given(loads_va, st.floats(min_value=5.0, max_value=400.0), st.sampled_from(EDITIONS))
@settings(deadline=None)
def test_the_grounding_conductor_is_the_table_in_proportion(va, length_m, edition):
    found = facts(feeder(va, length_m=length_m, settings={"edition": edition}), "m-w")
    assume(found.sets.value == 1)
    reference = found.upsized_from or found.size.value
    by_hand = grounding_size(
        found.device.value, found.grounding_material.value, hot_size=found.size.value,
        hot_material=found.material.value, hot_needed_size=reference,
    )  # fmt: skip
    assert found.grounding.value == by_hand.size


@given(loads_va, ways)
@settings(deadline=None, max_examples=40)
def test_a_chosen_run_entered_as_it_is_stays_right(va, way):
    project = feeder(va, **way)
    chosen = facts(project, "m-w")
    assume(chosen.size.value is not None)
    wires = r.Conductors(
        size=chosen.size.value, material=chosen.material.value, sets=chosen.sets.value,
        insulation=chosen.insulation.value, neutral=chosen.neutral.value,
        grounding=chosen.grounding.value, grounding_material=chosen.grounding_material.value,
    )  # fmt: skip
    entered = facts(
        altered(
            project, "m-w", since=None, conductors=wires, terminal_c=75,
            device=r.Device(rating_a=chosen.device.value), trade_size=chosen.trade_size.value,
            place=chosen.place.value, raceway=chosen.raceway.value, cover_m=chosen.cover.value,
        ),
        "m-w",
    )  # fmt: skip
    assert entered.missing == ()
    holds(entered, drop_limit_pct=max(3.0, chosen.drop_pct))
    assert entered.ampacity == chosen.ampacity
    assert math.isclose(entered.drop_pct, chosen.drop_pct)


@given(loads_va, ways, st.text(max_size=20))
@settings(deadline=None, max_examples=20)
def test_a_title_alters_no_run(va, way, title):
    project = feeder(va, **way)
    named = msgspec.structs.replace(project.settings, notes=title)
    renamed = dataclasses.replace(project, project={"project": named})
    assert Study(renamed).run("m-w") == Study(project).run("m-w")
