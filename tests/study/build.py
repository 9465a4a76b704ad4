"""Projects for tests, a piece and its run at a time. Ids are the names."""

import dataclasses

import msgspec

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.model.soundness import problems


class Site:
    """A project in the making: `add` puts a piece and the run that feeds it."""

    def __init__(self, **settings):
        self.pieces = {}
        self.runs = {}
        self.groups = {}
        self.settings = r.Settings(id="project", **settings)

    def add(self, kind, key, source=None, run=None, **fields):
        """Put a piece of a kind; with `source` also the run "source>key" with the fields of `run`."""
        self.pieces[key] = kind(id=key, name=key, **fields)
        if source is not None:
            self.join(source, key, **(run or {}))
        return key

    def join(self, source, key, **run):
        """Put a run between two pieces."""
        name = f"{source}-{key}" if f"{source}-{key}" not in self.runs else f"{source}-{key}-2"
        self.runs[name] = r.Run(id=name, source=source, target=key, **run)
        return name

    def group(self, kind, key, *members, **fields):
        """Put a managed or noncoincident group."""
        self.groups[key] = kind(id=key, name=key, members=members, **fields)

    def project(self):
        """The project, checked for soundness."""
        made = Project(
            equipment=dict(self.pieces),
            runs=dict(self.runs),
            groups=dict(self.groups),
            project={"project": self.settings},
        )
        assert problems(made) == []
        return made


def wires(size, neutral=None, grounding=None, material="cu", **more):
    """Conductors by their sizes."""
    return r.Conductors(
        size=size, neutral=neutral, grounding=grounding, material=material,
        grounding_material=material if grounding not in (None, "none", "raceway") else None, **more,
    )  # fmt: skip


def with_piece(project, key, **fields):
    """The project with fields of one piece changed."""
    piece = msgspec.structs.replace(project.equipment[key], **fields)
    return dataclasses.replace(project, equipment={**project.equipment, key: piece})


def with_run(project, key, **fields):
    """The project with fields of one run changed."""
    run = msgspec.structs.replace(project.runs[key], **fields)
    return dataclasses.replace(project, runs={**project.runs, key: run})


def served(system="120/240", basis=None, **settings):
    """A site with one panel "p" behind a service of stated fault current, for loads to hang on."""
    site = Site(**settings)
    site.add(r.UtilitySource, "grid", system=system, fault_ka=10.0)
    service = {"role": "service", "protected_at": "none", "length_m": 0.0}
    site.add(r.Panel, "p", "grid", service, spaces=126, basis=basis)
    return site


def square_feet(area):
    """An area in square metres."""
    return area * 0.09290304
