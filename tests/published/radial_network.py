"""Random radial installations as networks for the simulator.

Nothing of the program is used: impedances are those of the plan, transformers are ideal windings
with their impedances drawn out.
"""

import cmath
import math

from published.radial import LEG_V, LINE_V, Unit, wye
from published.spice import Circuit


def turned(made, spot):
    """How far the transformers ahead of a place have turned its phasors: a number of size 1."""
    if spot.parent == "t":
        # delta-wye: from A to B; high-leg: the tapped unit stands from A to C
        by_deg = {"120/240": 0, "120/240 high-leg": -30}.get(made.unit.system, 30)
        return cmath.rect(1, math.radians(by_deg))
    above = made.spots[spot.parent]
    if above.unit is None:
        return turned(made, above)
    one, other = above.legs[0], above.legs[1]
    across = LEG_V[above.system][one] - LEG_V[above.system][other]
    return turned(made, above) * across / abs(across)


def wye_v(system):
    """A wye of emfs that gives the voltages between the legs of a three-phase system."""
    if "high-leg" in system:
        return [cmath.rect(240 / math.sqrt(3), math.radians(at)) for at in (30, -90, 150)]
    return list(LEG_V[system].values())


def supply(circuit, made, fault_ka):
    """The utility and its transformer: nodes t_A, t_B ... and t_N, which is node 0."""
    unit = made.unit
    behind = made.primary_v / (fault_ka * 1000) * complex(1, made.x_r) / math.hypot(1, made.x_r)
    if unit.system == "120/240":
        circuit.source("u1", "0", made.primary_v)
        circuit.impedance("u1", "u2", behind)
        _centre_tapped(circuit, "t", "0", ("u2", "0"), made.primary_v, unit)
        return
    # the utility's figure is three-phase: volts between lines / sqrt(3) / current, each leg
    for leg, volt in wye(made.primary_v / math.sqrt(3)).items():
        circuit.source(f"u1_{leg}", "0", volt)
        circuit.impedance(f"u1_{leg}", f"u2_{leg}", behind / math.sqrt(3))
    lines = [f"u2_{leg}" for leg in "ABC"]
    if unit.system == "120/240 high-leg":
        _high_leg(circuit, "t", "0", lines, made.primary_v, unit)
    else:
        _delta_wye(circuit, "t", "0", lines, made.primary_v, unit)


def _centre_tapped(circuit, name, neutral, primary, primary_v, unit, half_v=120.0, legs="AB"):
    """The three-branch circuit: common branch, then each half, on the base of half the voltage."""
    z = unit.ohms() / 4
    circuit.winding(f"{name}_e", neutral, *primary, half_v / primary_v)
    circuit.impedance(f"{name}_e", f"{name}_m", complex(0.5 * z.real, 0.8 * z.imag))
    first, second = legs
    half = complex(z.real, 0.4 * z.imag)
    circuit.winding(f"{name}_i{first}", neutral, f"{name}_m", neutral, 1.0)
    circuit.impedance(f"{name}_i{first}", f"{name}_{first}", half)
    circuit.winding(f"{name}_i{second}", neutral, f"{name}_m", neutral, -1.0)
    circuit.impedance(f"{name}_i{second}", f"{name}_{second}", half)


def _delta_wye(circuit, name, neutral, lines, primary_v, unit):
    turns = LINE_V[unit.system] / math.sqrt(3) / primary_v
    for at, leg in enumerate("ABC"):
        circuit.winding(f"{name}_i{leg}", neutral, lines[at], lines[(at + 1) % 3], turns)
        circuit.impedance(f"{name}_i{leg}", f"{name}_{leg}", unit.ohms())


def _high_leg(circuit, name, neutral, lines, primary_v, unit):
    """Three like single-phase units in closed delta, the one between A and C tapped.

    A winding of a delta has three times the impedance that the bank shows in each line.
    """
    a, b, c = lines
    winding = Unit(unit.system, unit.kva / 3, unit.pct, unit.x_r)
    # A, B, C follow one another by -60 and +120 degrees about the tap of the unit from C to A
    _centre_tapped(circuit, name, neutral, (a, c), primary_v, winding, legs="AC")
    turns = 240.0 / primary_v
    circuit.winding(f"{name}_jB", f"{name}_A", b, a, turns)
    circuit.impedance(f"{name}_jB", f"{name}_B", winding.ohms())
    circuit.winding(f"{name}_jC", f"{name}_B", c, b, turns)
    circuit.impedance(f"{name}_jC", f"{name}_C", winding.ohms())


def network(made, temp_c, fault_ka, *, grounds):
    """All wires of a plan. Nodes are place_leg and place_N; place_G with `grounds`.

    Neutral and ground are one at the service and at each transformer, and nowhere else. Without
    grounds a customer transformer's neutral is tied to node 0 to give it a potential.
    """
    circuit = Circuit()
    supply(circuit, made, fault_ka)
    neutral, ground = {"t": "0"}, {}
    for key, spot in made.spots.items():
        wire = spot.wire
        line = wire.ohms(wire.size, temp_c)
        tail = "p" if spot.unit else ""
        for leg in spot.legs:
            circuit.impedance(f"{spot.parent}_{leg}", f"{key}{tail}_{leg}", line)
        if wire.neutral != "none":
            neutral[key] = f"{key}_N"
            circuit.impedance(neutral[spot.parent], neutral[key], wire.ohms(wire.neutral, temp_c))
        if key == "n0":
            ground[key] = neutral[key]
        elif grounds:
            ground[key] = f"{key}_G"
            circuit.impedance(ground[spot.parent], ground[key], wire.ohms(wire.ground, temp_c))
        if spot.unit:
            neutral[key] = ground[key] if grounds else "0"
            lines = [f"{key}p_{leg}" for leg in spot.legs]
            primary_v = LINE_V[spot.system]
            if spot.unit.system == "120/240":
                _centre_tapped(circuit, key, neutral[key], lines, primary_v, spot.unit)
            else:
                _delta_wye(circuit, key, neutral[key], lines, primary_v, spot.unit)
    return circuit, neutral, ground


def load_branches(made, neutral):
    """Every load as branches between nodes: (model, start, end, power, nominal volts)."""
    for key, spot in made.spots.items():
        if spot.load is None:
            continue
        model, va = spot.load
        # power factor 1 for chargers and heat, else 0.85 lagging
        power = va * (
            1 if model in ("current", "impedance") else complex(0.85, math.sqrt(1 - 0.85**2))
        )
        nodes = [f"{key}_{leg}" for leg in spot.legs]
        if len(nodes) == 1:
            yield model, nodes[0], neutral[key], power, abs(LEG_V[spot.system][spot.legs])
        elif len(nodes) == 2:
            yield model, *nodes, power, LINE_V[spot.system]
        else:
            for at in range(3):
                yield model, nodes[at], nodes[(at + 1) % 3], power / 3, LINE_V[spot.system]


def running_volts(made, temp_c, fault_ka, most_rounds=25):
    """Node voltages with all loads on, one run of the simulator for each round."""
    found = None
    for _ in range(most_rounds):
        circuit, neutral, _ = network(made, temp_c, fault_ka, grounds=False)
        for model, start, end, power, nominal_v in load_branches(made, neutral):
            if model == "impedance":
                circuit.impedance(start, end, complex(nominal_v**2 / power.real))
                continue
            if found is None:
                continue
            across = found[start] - found[end]
            amperes = (power / across).conjugate()
            if model == "current":
                amperes *= abs(across) / nominal_v
            circuit.current(start, end, amperes)
        before, (found, _) = found, circuit.volts()
        if before and max(abs(found[node] - before[node]) for node in found) < 1e-4:
            return found, neutral
    raise AssertionError("the simulator's rounds do not settle")
