"""Random properties for drawing tests: trees of every kind of equipment, from a seed."""

import random

from ampacre.model import records as r
from ampacre.model.project import Project

WORDS = (
    "Barn",
    "Upper well house",
    "North",
    "Workshop and tool shed",
    "P",
    "Yard 12",
    "C-7",
    "Ü ∆",
)
THROUGH = (
    r.Panel,
    r.Panel,
    r.Panel,
    r.Disconnect,
    r.Meter,
    r.Transformer,
    r.TransferSwitch,
    r.Junction,
)
ENDS = (r.Charger, r.Load, r.Load, r.Motor, r.Pedestal, r.Inverter, r.Battery, r.DwellingLoad)


def estate(seed, count):
    """A project of about `count` pieces; some are new, removed, in structures, fed twice."""
    dice = random.Random(seed)
    structures = {
        f"s{n}": r.Structure(id=f"s{n}", name=dice.choice(WORDS)) for n in range(count // 8 + 1)
    }
    pieces = {"grid": r.UtilitySource(id="grid", name="Utility")}
    runs = {}
    passing = ["grid"]
    while len(pieces) < count:
        key = f"e{len(pieces)}"
        source = dice.choice(passing[-6:] if dice.random() < 0.7 else passing)
        kind = dice.choice(THROUGH if dice.random() < 0.3 else ENDS)
        upper = pieces[source]
        structure = upper.structure if dice.random() < 0.6 else dice.choice([None, *structures])
        name = f"{dice.choice(WORDS)} {len(pieces)}"
        until = r.WORK if dice.random() < 0.05 else None
        since = r.WORK if dice.random() < 0.4 and until is None else None
        pieces[key] = kind(id=key, name=name, structure=structure, since=since, until=until)
        joint = dice.random() < 0.1
        runs[f"r{key}"] = r.Run(
            id=f"r{key}", source=source, target=key, since=since, until=until,
            name=f"F-{len(runs)}" if dice.random() < 0.3 else "",
            length_m=0.0 if joint else dice.choice([None, 12.0, 95.0]),
            protected_at=dice.choice(["supply", "supply", "load", "none"]),
            device=dice.choice([None, r.Device(rating_a=60.0), r.Device(kind="fuse")]),
        )  # fmt: skip
        if issubclass(kind, THROUGH):
            passing.append(key)
        if kind is r.TransferSwitch and dice.random() < 0.8:
            pieces[f"g{key}"] = r.Generator(id=f"g{key}", name="Standby", neutral_bonded=True)
            runs[f"rg{key}"] = r.Run(
                id=f"rg{key}", source=f"g{key}", target=key, role="generator output",
                lands_on="standby",
            )  # fmt: skip
    for number in range(count // 30):
        source, target = dice.sample(passing, 2)
        runs[f"x{number}"] = r.Run(id=f"x{number}", source=source, target=target, until=r.WORK)
    return Project(equipment=pieces, runs=runs, structures=structures)
