"""Terminal voltages of the study against the circuit simulator ngspice, within 0.1 per cent."""

import itertools

import pytest
from published import radial, radial_network

from ampacre.study.study import Study

WITHIN = 0.001


def compare(made):
    """Hold every voltage that the study gives to the simulator's; tell the lowest in per cent."""
    study = Study(radial.project_of(made))
    volts, neutral = radial_network.running_volts(made, 75.0, made.least_ka)
    lowest = 100.0
    for key, spot in made.spots.items():
        facts = study.equipment(key)
        found = dict(zip(facts.system.legs, study.voltage(key).leg_v, strict=True))
        assert found.keys() == set(radial.LEG_V[spot.unit.system] if spot.unit else spot.legs)
        if key in neutral:
            for leg, volt in found.items():
                true_v = abs(volts[f"{key}_{leg}"] - volts[neutral[key]])
                assert abs(volt) == pytest.approx(true_v, rel=WITHIN), (key, leg)
        for one, other in itertools.combinations(found, 2):
            true_v = abs(volts[f"{key}_{one}"] - volts[f"{key}_{other}"])
            assert abs(found[one] - found[other]) == pytest.approx(true_v, rel=WITHIN), (
                key,
                one,
                other,
            )
        lowest = min(lowest, study.voltage(key).lowest_pct)
    return lowest


@pytest.mark.parametrize("system", ["120/240", "120/208", "277/480", "120/240 high-leg"])
@pytest.mark.parametrize(("seed", "count"), [(1, 12), (2, 40), (3, 120), (4, 200)])
def test_random_trees(system, seed, count):
    lowest = compare(radial.plan(seed, system, count))
    assert 60 < lowest < 99.5, "loads too light or too heavy to tell anything"


@pytest.mark.parametrize("seed", range(5))
def test_transformers_in_the_middle_of_the_tree(seed):
    made = radial.plan(seed, "277/480", 50, units=3)
    assert sum(spot.unit is not None for spot in made.spots.values()) >= 2
    compare(made)
