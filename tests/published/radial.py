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


def wye(leg_v):
    """Legs of a wye by name."""
    return {
        leg: cmath.rect(leg_v, math.radians(at))
        for leg, at in zip("ABC", (0, -120, 120), strict=True)
    }


LEG_V = {
    "120/240": {"A": 120 + 0j, "B": -120 + 0j},
    "120/208": wye(208 / math.sqrt(3)),
    "277/480": wye(480 / math.sqrt(3)),
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
        taken, inner, kva = (
            "".join(sorted(rng.sample(legs, 2))),
            "120/240",
            rng.choice([25.0, 50.0]),
        )
    wire = _wire(rng, LARGE, taken, neutral=False, longest_m=25)
    unit = Unit(inner, kva, rng.uniform(1.5, 4.0), rng.uniform(0.8, 2.0))
    return Spot(parent, wire, taken, system, unit=unit)


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
