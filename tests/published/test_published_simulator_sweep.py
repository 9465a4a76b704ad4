"""The voltage sweep by itself against the circuit simulator ngspice, within 0.1 per cent."""

import cmath
import math
import random

import numpy as np
import pytest
from published.spice import Circuit

from ampacre.study.sweep import CURRENT, IMPEDANCE, POWER, LoadColumns, Plug, Zone, sweep

SOURCES = {
    "120/240": [120, -120],
    "120/208": [cmath.rect(120.1, math.radians(at)) for at in (0, -120, 120)],
    "277/480": [cmath.rect(277.1, math.radians(at)) for at in (0, -120, 120)],
    "120": [120],
}
NAMES = {CURRENT: "current", POWER: "power", IMPEDANCE: "impedance"}


def random_zone(rng, source_v, count, plug=None):
    """A zone of any shape, each leg of each run with an impedance of its own."""
    legs = len(source_v)
    parents, end = [0], list(range(1, count + 1))
    path = [0]
    for at in range(1, count):
        # in preorder the next piece hangs on the last one or on one of those above it
        path = path[: rng.randint(1, len(path))]
        parents.append(path[-1])
        path.append(at)
    for at in reversed(range(1, count)):
        end[parents[at]] = max(end[parents[at]], end[at])
    size = abs(source_v[0])

    def ohms():
        return complex(rng.uniform(0.0005, 0.01), rng.uniform(0.0005, 0.004)) * (size / 120) ** 2

    line = np.array([[ohms() for _ in range(legs)] for _ in range(count)])
    neutral = np.array([ohms() for _ in range(count)])
    line[0] = neutral[0] = 0
    rows = []
    for _ in range(count):
        leg, to = rng.randrange(legs), rng.choice([-1, *range(legs)])
        to = -1 if to == leg else to
        volts = abs(source_v[leg] - (source_v[to] if to >= 0 else 0))
        power = cmath.rect(rng.uniform(100, 40_000 / count), rng.uniform(0, 0.6))
        rows.append((rng.randrange(count), leg, to, power, volts, rng.choice([*NAMES])))
    own = np.diag([ohms() for _ in range(legs)]) + ohms()
    columns = LoadColumns(*(np.array(column) for column in zip(*rows, strict=True)))
    return parents, Zone(
        np.array(end), line, neutral, np.array(source_v, complex), own, columns, plug
    )


def wire(circuit, name, parents, zone):
    """The zone as a network; its source's matrix is one impedance a leg and one in common."""
    legs = range(len(zone.source_v))
    common = zone.source_ohm[0, 1] if len(legs) > 1 else zone.source_ohm[0, 0] / 2
    for leg in legs:
        if zone.plug is None:
            circuit.source(f"{name}s{leg}", f"{name}z", zone.source_v[leg])
        circuit.impedance(
            f"{name}s{leg}", f"{name}0_{leg}", complex(zone.source_ohm[leg, leg] - common)
        )
    circuit.impedance(f"{name}z", f"{name}0_n", complex(common))
    for at, parent in enumerate(parents[1:], start=1):
        for leg in legs:
            circuit.impedance(
                f"{name}{parent}_{leg}", f"{name}{at}_{leg}", complex(zone.line_ohm[at, leg])
            )
        circuit.impedance(f"{name}{parent}_n", f"{name}{at}_n", complex(zone.neutral_ohm[at]))


def load(circuit, name, zone, found):
    for at, leg, to, power, volts, model in zip(*zone.loads, strict=True):
        start, end = f"{name}{at}_{leg}", f"{name}{at}_{to if to >= 0 else 'n'}"
        if model == IMPEDANCE:
            circuit.impedance(start, end, complex(volts**2 / power.conjugate()))
        elif found:
            across = found[start] - found[end]
            amperes = (power / across).conjugate() * (
                abs(across) / volts if model == CURRENT else 1
            )
            circuit.current(start, end, complex(amperes))


def settled(build):
    """Run the simulator until the loads of constant power and current fit the voltages."""
    found = {}
    for _ in range(20):
        before, (found, _) = found, build(found).volts()
        if before and max(abs(found[node] - before[node]) for node in found) < 1e-5:
            return found
    raise AssertionError("the simulator's rounds do not settle")


def hold(name, zone, volts, found):
    for at in range(len(zone.end)):
        for leg in range(len(zone.source_v)):
            true = found[f"{name}{at}_{leg}"] - found[f"{name}{at}_n"]
            assert abs(volts[at, leg] - true) < 0.001 * abs(true), (name, at, leg)


@pytest.mark.parametrize("system", SOURCES)
@pytest.mark.parametrize(("seed", "count"), [(1, 5), (2, 30), (3, 100), (4, 200)])
def test_one_zone(system, seed, count):
    rng = random.Random(f"{seed}{system}")
    parents, zone = random_zone(rng, SOURCES[system], count)

    def build(found):
        circuit = Circuit()
        circuit.impedance("az", "0", 1 + 0j)
        wire(circuit, "a", parents, zone)
        load(circuit, "a", zone, found)
        return circuit

    solution = sweep([zone])
    assert solution.converged
    hold("a", zone, solution.volts[0], settled(build))


@pytest.mark.parametrize("seed", range(4))
def test_zones_that_hang_on_one_another(seed):
    rng = random.Random(seed)
    above, upper = random_zone(rng, SOURCES["277/480"], 30)
    split = np.array([[0.25, -0.25, 0], [-0.25, 0.25, 0]])
    wye = np.eye(3) - np.roll(np.eye(3), 1, axis=1)
    lower = [
        random_zone(rng, SOURCES["120/240"], 15, Plug(0, rng.randrange(30), split)),
        random_zone(rng, SOURCES["120/208"], 15, Plug(0, rng.randrange(30), wye * 120.1 / 480)),
    ]

    def build(found):
        circuit = Circuit()
        circuit.impedance("az", "0", 1 + 0j)
        wire(circuit, "a", above, upper)
        load(circuit, "a", upper, found)
        for name, (parents, zone) in zip("bc", lower, strict=True):
            circuit.impedance(f"{name}z", "0", 1 + 0j)
            at = f"a{zone.plug.at}"
            if name == "b":
                circuit.winding("bs0", "bz", f"{at}_0", f"{at}_1", 0.25)
                circuit.winding("bs1", "bz", f"{at}_1", f"{at}_0", 0.25)
            else:
                for leg in range(3):
                    circuit.winding(
                        f"cs{leg}", "cz", f"{at}_{leg}", f"{at}_{(leg + 1) % 3}", 120.1 / 480
                    )
            wire(circuit, name, parents, zone)
            load(circuit, name, zone, found)
        return circuit

    zones = [upper, *(zone for _, zone in lower)]
    solution = sweep(zones)
    assert solution.converged
    found = settled(build)
    for name, zone, volts in zip("abc", zones, solution.volts, strict=True):
        hold(name, zone, volts, found)


def one_load(power_va, loop_ohm, model):
    """120 V and one load behind a line without a neutral's impedance."""
    columns = LoadColumns(*(np.array([value]) for value in (1, 0, -1, power_va + 0j, 120.0, model)))
    line = np.array([[0j], [loop_ohm + 0j]])
    return Zone(
        np.array([2, 2]), line, np.zeros(2, complex), np.array([120 + 0j]), np.zeros((1, 1), complex),
        columns, None,
    )  # fmt: skip


def test_most_power_that_a_line_can_carry():
    # V^2 / 4R is all that a resistance R lets through; beyond it there is no operating point
    most_va = 120**2 / (4 * 1.0)
    near = sweep([one_load(0.97 * most_va, 1.0, POWER)])
    assert near.converged
    assert near.volts[0][1, 0].real == pytest.approx(60 * (1 + math.sqrt(0.03)), rel=1e-6)
    assert not sweep([one_load(1.05 * most_va, 1.0, POWER)]).converged
    assert not sweep([one_load(1e8, 1.0, POWER)]).converged


def test_constant_current_and_constant_impedance_by_hand():
    # 10 A through 1 ohm leaves 110 V; 12 ohm behind 1 ohm takes 12/13
    assert abs(sweep([one_load(1200, 1.0, CURRENT)]).volts[0][1, 0]) == pytest.approx(110)
    assert abs(sweep([one_load(1200, 1.0, IMPEDANCE)]).volts[0][1, 0]) == pytest.approx(
        120 * 12 / 13
    )
