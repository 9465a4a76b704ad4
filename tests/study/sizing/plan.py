"""Projects for the sizing tests: a panel, a run from it, and what the run supplies."""

import dataclasses

import msgspec
from study.build import Site

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.model.soundness import problems
from ampacre.study.study import Study

FEET = 0.3048
NEW = {"since": "work"}


def plan(pieces=(), *, structures=("yard", "shop"), raceways=(), grounding=(), **settings):
    """A main panel "m" behind a service, and pieces as (kind, id, source, run fields, fields)."""
    site = Site(**settings)
    site.add(r.UtilitySource, "u", system="120/240", fault_ka=10)
    site.add(
        r.Panel, "m", "u",
        run={"role": "service", "protected_at": "load", "length_m": 10.0,
             "conductors": r.Conductors(size="500", material="al", neutral="350", sets=2)},
        main=r.Device(rating_a=400), bus_a=400.0, spaces=60, structure="yard",
    )  # fmt: skip
    for kind, key, source, run, fields in pieces:
        site.add(kind, key, source, run=run, **fields)
    return Project(
        equipment=dict(site.pieces),
        runs=dict(site.runs),
        structures={key: r.Structure(id=key, name=key) for key in structures},
        raceways={one.id: one for one in raceways},
        grounding={one.id: one for one in grounding},
        project={"project": site.settings},
    )


def feeder(
    va=13_440.0, *, role="feeder", one_leg=False, load=None, panel=None, settings=None, **run
):
    """A new feeder "m-w" to a workshop's panel with one load on it."""
    load = {"va": va, "continuous": False, "category": "other", **(load or {})}
    legs = "A" if one_leg else "AB"
    return plan(
        [
            (r.Panel, "w", "m", {**NEW, "role": role, **run}, {**NEW, "structure": "shop", **(panel or {})}),
            (r.Load, "l", "w", {**NEW, "role": "branch", "legs": legs, "length_m": 5.0},
             {**NEW, "structure": "shop", **load}),
        ],
        **(settings or {}),
    )  # fmt: skip


def branch(kind, *, settings=None, run=None, **fields):
    """A new branch circuit "m-x" to one piece."""
    run = {**NEW, "role": "branch", "legs": "AB", "length_m": 15.0, **(run or {})}
    return plan([(kind, "x", "m", run, {**NEW, **fields})], **(settings or {}))


def facts(project, run):
    """Facts of one run; the project is held to be sound first."""
    assert problems(project) == []
    return Study(project).run(run)


def altered(project, run, **fields):
    """The project with fields of one run changed."""
    after = msgspec.structs.replace(project.runs[run], **fields)
    return dataclasses.replace(project, runs={**project.runs, run: after})


def lines(found):
    """Worksheet lines of a run by their labels."""
    return {line.label: line for line in found.worksheet.lines}
