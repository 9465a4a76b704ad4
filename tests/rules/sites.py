"""Sites with structures, services and grounding records, for the rules on them."""

import dataclasses

import msgspec
from rules.build import JOINT, altered, branch, feeder, service, wires
from study.build import Site

from ampacre.model import records as r
from ampacre.model.project import Change, Edit

FT = 0.3048
LATERAL = {
    "role": "utility", "owner": "utility", "protected_at": "none", "length_m": 20.0,
    "conductors": wires("4/0", "2/0", material="al"),
}  # fmt: skip
ENTRANCE = {
    "role": "service", "protected_at": "load", "length_m": 3.0,
    "conductors": wires("4/0", "2/0", material="al"),
}  # fmt: skip


def placed(site, structures, **places):
    """The project of a site with structures, by their fields, and pieces put into them."""
    project = site if not isinstance(site, Site) else site.project()
    records = {key: r.Structure(id=key, name=key, **values) for key, values in structures.items()}
    changes = [Change("structures", key, None, record) for key, record in records.items()]
    project = project.apply(Edit("Build", tuple(changes)))
    pieces = dict(project.equipment)
    for key, structure in places.items():
        pieces[key] = msgspec.structs.replace(pieces[key], structure=structure)
    return dataclasses.replace(project, equipment=pieces)


def moved(project, key, source):
    """The project with a run that leaves another piece."""
    return altered(project, "runs", key, source=source)


def without(project, *keys):
    """The project with these pieces and runs gone."""
    return dataclasses.replace(
        project,
        equipment={key: each for key, each in project.equipment.items() if key not in keys},
        runs={key: each for key, each in project.runs.items() if key not in keys},
    )


def put(project, piece, *runs):
    """The project with a piece and runs more."""
    added = [Change("equipment", piece.id, None, piece)]
    return project.apply(Edit("Put", (*added, *(Change("runs", r.id, None, r) for r in runs))))


def structure(key, **values):
    """A change of one structure."""
    return lambda project: altered(project, "structures", key, **values)


def grounded(project, at, **fields):
    """The project with a grounding record "g" at a piece or structure."""
    record = r.Grounding(id="g", at=at, **fields)
    return project.apply(Edit("Ground", (Change("grounding", "g", None, record),)))


def utility(kva=50):
    """A utility line and its transformer T."""
    site = Site()
    site.add(r.UtilitySource, "line")
    site.add(
        r.Transformer, "T", "line",
        JOINT | {"role": "utility", "owner": "utility", "protected_at": "none"},
        owner="utility", kva=kva, impedance_pct=2.0, impedance_basis="nameplate", x_r=1.5,
    )  # fmt: skip
    return site


def metered(*panels, **fields):
    """A service for each panel, with a meter M and the panel 3 m behind it: M1 P1, M2 P2 ..."""
    site = utility()
    for number, panel in enumerate(panels, 1):
        site.add(r.Meter, f"M{number}", "T", LATERAL, class_a=200)
        given = {"bus_a": 200, "main": r.Device(rating_a=200), "neutral_bonded": True}
        site.add(r.Panel, f"P{number}", f"M{number}", ENTRANCE, **given | fields | panel)
        load = {"va": 2400.0, "volts": 240.0}
        site.add(r.Load, f"L{number}", f"P{number}", branch(20), **load)
        site.add(r.Load, f"K{number}", f"P{number}", branch(20), **load)
        site.add(r.Load, f"J{number}", f"P{number}", branch(20), **load)
    return site


def several(count, kind=r.Panel, **fields):
    """One service whose conductors part in a wireway W to several disconnects D1, D2 ..."""
    site = utility()
    site.add(r.Meter, "M", "T", LATERAL, class_a=200)
    entrance = ENTRANCE | {"protected_at": "none", "conductors": wires("350", "4/0", material="al")}
    site.add(r.Junction, "W", "M", entrance)
    for number in range(1, count + 1):
        given = {"rating_a": 100} if kind is r.Disconnect else {"bus_a": 125}
        site.add(
            kind, f"D{number}", "W", JOINT | {"role": "service", "protected_at": "none"},
            **given | {"main": r.Device(rating_a=100)} | fields,
        )  # fmt: skip
        site.add(r.Panel, f"Q{number}", f"D{number}", feeder(60), bus_a=125)
    return site


def circuits(site, panel, count, device_a=20, va=1200.0):
    """Hang branch circuits of two legs on a panel: panel1, panel2 ..."""
    for number in range(1, count + 1):
        site.add(r.Load, f"{panel}{number}", panel, branch(device_a), va=va, continuous=False)
    return site


def barn(run=None, count=3, **panel):
    """A main panel P on a board, with a barn's panel B on a feeder, and circuits there."""
    site = service()
    given = {"bus_a": 125, "main": r.Device(rating_a=100), "neutral_bonded": False}
    fields = feeder(100, wires("1", "1", "6", material="al"), terminal_c=75) | (run or {})
    site.add(r.Panel, "B", "P", fields, **given | panel)
    return circuits(site, "B", count)


def built(use="farm building", site=None, more=None, **places):
    """The barn of a site as a structure, apart from the board that its service stands on."""
    structures = {"board": {"use": "outdoor"}, "barn": {"use": use} | (more or {})}
    where = {"P": "board", "B": "barn"} | places
    site = site or barn()
    inside = {key: "barn" for key in site.pieces if key.startswith("B") and key not in where}
    return placed(site, structures, **where | inside)
