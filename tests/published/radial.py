"""Random radial installations, twice: as a project, and as a network for the simulator.

The network's impedances come from the figures typed here, never from the program: NEC Chapter 9
Table 9 (75 C, PVC and steel conduit) with the temperature correction of Table 8 note 2, and
transformers by their nameplate, the centre-tapped ones as the three-branch circuit with 0.5R +
j0.8X in common and R + j0.4X in each half (handbooks on fault calculation).
"""

import cmath
import math
import random
from dataclasses import dataclass, field

from published.spice import Circuit
from study.build import Site, wires

from ampacre.model import records as r

TABLE_9 = {
    # size: ohm per 1000 ft: X pvc, X steel, R cu pvc, R cu steel, R al pvc, R al steel
    "12": (0.054, 0.068, 2.0, 2.0, 3.2, 3.2),
    "10": (0.050, 0.063, 1.2, 1.2, 2.0, 2.0),
    "8": (0.052, 0.065, 0.78, 0.78, 1.3, 1.3),
    "6": (0.051, 0.064, 0.49, 0.49, 0.81, 0.81),
    "4": (0.048, 0.060, 0.31, 0.31, 0.51, 0.51),
    "2": (0.045, 0.057, 0.19, 0.20, 0.32, 0.32),
    "1/0": (0.044, 0.055, 0.12, 0.12, 0.20, 0.20),
    "2/0": (0.043, 0.054, 0.10, 0.10, 0.16, 0.16),
    "4/0": (0.041, 0.051, 0.062, 0.063, 0.10, 0.10),
    "250": (0.041, 0.052, 0.052, 0.054, 0.085, 0.086),
    "350": (0.040, 0.050, 0.038, 0.039, 0.061, 0.063),
    "500": (0.039, 0.048, 0.027, 0.029, 0.043, 0.045),
}
SMALL, LARGE = ("12", "10", "8", "6"), ("4", "2", "1/0", "2/0", "4/0", "250", "350", "500")
WARMING = {"cu": 0.00323, "al": 0.00330}


def _wye(leg_v):
    return {leg: cmath.rect(leg_v, math.radians(at)) for leg, at in zip("ABC", (0, -120, 120))}


LEG_V = {
    "120/240": {"A": 120 + 0j, "B": -120 + 0j},
    "120/208": _wye(208 / math.sqrt(3)),
    "277/480": _wye(480 / math.sqrt(3)),
    "120/240 high-leg": {"A": 120 + 0j, "B": -120j * math.sqrt(3), "C": -120 + 0j},
}
LINE_V = {"120/240": 240, "120/208": 208, "277/480": 480, "120/240 high-leg": 240}


@dataclass
class Wire:
    """A run: sizes, metal, raceway, length, parallel sets. `neutral` may be "none"."""

    size: str
    neutral: str
    ground: str
    metal: str
    raceway: str
    length_m: float
    sets: int

    def ohms(self, size, temp_c):
        steel = self.raceway == "steel"
        figures = TABLE_9[size]
        r75 = figures[(3 if steel else 2) + (2 if self.metal == "al" else 0)]
        r_kft = r75 * (1 + WARMING[self.metal] * (temp_c - 75))
        kft = self.length_m / 0.3048 / 1000
        return complex(r_kft, figures[1 if steel else 0]) * kft / self.sets


@dataclass
class Unit:
    """A transformer on nameplate data; the current behind it in kiloamperes of its primary."""

    system: str
    kva: float
    pct: float
    x_r: float

    def ohms(self):
        """Full winding, or each phase, on the secondary."""
        size = self.pct / 100 * LINE_V[self.system] ** 2 / (self.kva * 1000)
        return size * complex(1, self.x_r) / math.hypot(1, self.x_r)


@dataclass
class Spot:
    """A place in the tree with the run that feeds it: a panel, a load, or a transformer."""

    parent: str
    wire: Wire
    legs: str
    system: str
    load: tuple | None = None
    unit: Unit | None = None


@dataclass
class Plan:
    """A utility of finite fault current, its transformer, and the places behind, parents first."""

    unit: Unit
    primary_v: float
    most_ka: float
    least_ka: float
    x_r: float
    spots: dict[str, Spot] = field(default_factory=dict)


def _wire(rng, sizes, legs, *, neutral, longest_m):
    size = rng.choice(sizes)
    smaller = rng.choice(sizes[: sizes.index(size) + 1])
    return Wire(
        size, smaller if neutral else "none", rng.choice(SMALL[1:]), rng.choice(["cu", "al"]),
        rng.choice(["pvc", "pvc", "steel"]), rng.uniform(2.0, longest_m),
        rng.choice([1, 1, 2]) if size in LARGE[2:] else 1,
    )  # fmt: skip


def plan(seed, system, count, *, units=0, motors=False, load_kva=60.0):
    """A random tree of `count` places; `units` customer transformers stand within it."""
    rng = random.Random(f"{seed} {system}")
    kva = rng.choice([75.0, 100.0, 167.0]) if system == "120/240" else rng.choice([150.0, 300.0])
    unit = Unit(system, kva, rng.uniform(1.4, 3.0), rng.uniform(1.0, 2.5))
    made = Plan(unit, 7200.0, rng.uniform(1.0, 4.0), rng.uniform(0.4, 0.9), rng.uniform(1.0, 5.0))
    all_legs = "".join(LEG_V[system])
    service = _wire(rng, ("350", "500"), all_legs, neutral=True, longest_m=20)
    made.spots["n0"] = Spot("t", service, all_legs, system)
    panels = ["n0"]
    typical_va = 1000 * load_kva / max(1, 0.6 * count)
    while len(made.spots) < count:
        key = f"n{len(made.spots)}"
        parent = rng.choice(panels[-6:] if rng.random() < 0.5 else panels)
        at = made.spots[parent]
        system_here = at.unit.system if at.unit else at.system
        legs = "".join(LEG_V[system_here]) if at.unit else at.legs
        if units and len(made.spots) > count // 4 and len(legs) > 1:
            units -= 1
            made.spots[key] = _transformer(rng, parent, legs, system_here)
            panels += [key] * 4
        elif rng.random() < 0.35 or at.unit:
            narrow = rng.random() < 0.3 and len(legs) == 3
            taken = "".join(sorted(rng.sample(legs, 2))) if narrow else legs
            neutral = len(taken) == 1 or system_here in LEG_V
            wire = _wire(rng, LARGE, taken, neutral=neutral, longest_m=25)
            made.spots[key] = Spot(parent, wire, taken, system_here)
            panels.append(key)
        else:
            taken = "".join(sorted(rng.sample(legs, rng.randint(1, len(legs)))))
            kinds = ["power", "current", "impedance"]
            if motors and len(taken) > 1:
                kinds = ["motor"]
            load = (rng.choice(kinds), typical_va * rng.uniform(0.3, 1.7))
            wire = _wire(rng, SMALL, taken, neutral=len(taken) == 1, longest_m=20)
            made.spots[key] = Spot(parent, wire, taken, system_here, load)
    return made


def _transformer(rng, parent, legs, system):
    """Two wires of the system to a split-phase unit, or all three to a wye."""
    if len(legs) == 3 and rng.random() < 0.5:
        taken, inner, kva = legs, "120/208", rng.choice([30.0, 45.0, 75.0])
    else:
        taken, inner, kva = "".join(sorted(rng.sample(legs, 2))), "120/240", rng.choice([25.0, 50.0])
    wire = _wire(rng, LARGE, taken, neutral=False, longest_m=25)
    unit = Unit(inner, kva, rng.uniform(1.5, 4.0), rng.uniform(0.8, 2.0))
    return Spot(parent, wire, taken, system, unit=unit)


# --- as a project -------------------------------------------------------------------------------


def project_of(made):
    """The plan as records, all of them existing and fully known."""
    site = Site(edition="2017")
    site.add(
        r.UtilitySource, "u", primary_v=made.primary_v, fault_ka=made.most_ka,
        fault_min_ka=made.least_ka, x_r=made.x_r,
    )  # fmt: skip
    bus = {"role": "utility", "owner": "utility", "protected_at": "none", "length_m": 0.0}
    site.add(r.Transformer, "t", "u", bus, owner="utility", **_nameplate(made.unit))
    for key, spot in made.spots.items():
        run = {
            "role": "service" if key == "n0" else "branch" if spot.load else "feeder",
            "protected_at": "none" if key == "n0" else "supply",
            "device": None if key == "n0" else r.Device(rating_a=100.0),
            "legs": spot.legs,
            "raceway": spot.wire.raceway,
            "length_m": spot.wire.length_m,
            "conductors": wires(
                spot.wire.size, spot.wire.neutral, spot.wire.ground, spot.wire.metal,
                sets=spot.wire.sets,
            ),
        }  # fmt: skip
        if spot.unit:
            site.add(r.Transformer, key, spot.parent, run, **_nameplate(spot.unit))
        elif spot.load:
            _add_load(site, key, spot, run)
        else:
            site.add(r.Panel, key, spot.parent, run)
    return site.project()


def _nameplate(unit):
    return {
        "system": unit.system, "kva": unit.kva, "impedance_pct": unit.pct,
        "impedance_basis": "nameplate", "x_r": unit.x_r, "neutral_bonded": True,
    }  # fmt: skip


def full_load_a(spot):
    """Current of a load at nominal voltage [A]."""
    if len(spot.legs) == 1:
        return spot.load[1] / abs(LEG_V[spot.system][spot.legs])
    return spot.load[1] / LINE_V[spot.system] / (math.sqrt(3) if len(spot.legs) == 3 else 1)


def _add_load(site, key, spot, run):
    model, va = spot.load
    if model == "current":
        site.add(r.Charger, key, spot.parent, run, nameplate_a=full_load_a(spot))
    elif model == "motor":
        site.add(r.Motor, key, spot.parent, run, full_load_a=full_load_a(spot))
    else:
        category = "heat" if model == "impedance" else "other"
        site.add(r.Load, key, spot.parent, run, va=va, category=category)


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


# --- as a network -------------------------------------------------------------------------------


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
    for leg, volt in _wye(made.primary_v / math.sqrt(3)).items():
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
        power = va * (1 if model in ("current", "impedance") else complex(0.85, math.sqrt(1 - 0.85**2)))
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
