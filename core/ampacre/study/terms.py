"""What the demand of a point depends on besides the load below it."""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.model.system import System
from ampacre.study.tally import Tally

__all__ = ["Beyond", "Case", "Limit", "Rules", "Unit", "enclosing", "rules_of"]


class Limit(NamedTuple):
    """A managed group's limit in VA of its members' circuits, and the group it is nested in.

    One that holds all load at a place has that limit in amperes there, `at` its id and `place` its
    name. At a point above, `part` of what its members may take is left, and `lasting` of it may run
    for hours, when other load is less than calculated.
    """

    name: str
    limit_va: float
    outer: str
    limit_a: float = 0.0
    at: str = ""
    place: str = ""
    part: float = 1.0
    lasting: float = 1.0


def enclosing(group: str, limits: Mapping[str, Limit]) -> Iterator[str]:
    """Give a group with a limit and the groups that it is nested in, the outermost last."""
    while group in limits:
        yield group
        group = limits[group].outer


class Unit(NamedTuple):
    """A point whose method keeps the loads below it together at the points above."""

    name: str
    basis: r.Basis
    farm: r.Farm


class Rules(NamedTuple):
    """The edition, the project's policies, the managed limits and the points that keep load together.

    The policies are settings of the project where the code leaves room. `moved` holds existing
    pieces that hung elsewhere before the work, which no measured record there has seen.
    """

    edition: str
    mixed_optional: str
    optional_chargers: str
    cooking: str
    existing_hvac: str
    measured_solar: str
    noncoincident_motor: str
    unnamed_leg: str
    limits: Mapping[str, Limit]
    noncoincident: frozenset[str]
    units: Mapping[str, Unit]
    moved: frozenset[str]


def rules_of(project: Project, limits: Mapping[str, Limit], moved: frozenset[str]) -> Rules:
    """Gather the rules of a project; `limits` are those of its managed groups that count."""
    settings = project.settings
    return Rules(
        edition=settings.edition,
        mixed_optional=settings.mixed_optional,
        optional_chargers=settings.optional_chargers,
        cooking=settings.cooking,
        existing_hvac=settings.existing_hvac,
        measured_solar=settings.measured_solar,
        noncoincident_motor=settings.noncoincident_motor,
        unnamed_leg=settings.unnamed_leg,
        limits=limits,
        noncoincident=frozenset(
            key for key, group in project.groups.items() if isinstance(group, r.NoncoincidentGroup)
        ),
        units={
            key: Unit(piece.name, piece.basis, piece.farm or r.Farm())
            for key, piece in project.equipment.items()
            if isinstance(piece, r.Point) and piece.basis is not None
        },
        moved=moved,
    )


class Beyond(NamedTuple):
    """Of a place where a managed group measures: its limit as current at some point.

    `tally` is the load at the point that does not come through that place, `floors` the largest
    results by table [VA] of the points below that the place is not behind.
    """

    limit_a: float
    tally: Tally
    floors: Mapping[str, float]


class Case(NamedTuple):
    """The load at one point, as a method is asked about it.

    `floors` are the largest results of the points directly below, by table [VA]: within one table
    a point counts no less than a part of it. `at` is the point whose own facts the method reads, ""
    where it takes over the basis of the one point below. `whole` names the dwellings of which every
    load hangs at or below the point, `least_a` is the smallest rating known on the point's supply.
    `apart` is what lies beyond the place of each managed group that measures at the point, below it
    or ahead of it.
    """

    tally: Tally
    system: System
    rules: Rules
    floors: Mapping[str, float]
    at: str = ""
    whole: frozenset[str] = frozenset()
    least_a: float | None = None
    apart: Mapping[str, Beyond] = {}

    @property
    def farm(self) -> r.Farm:
        """What is known of the farm at this point."""
        unit = self.rules.units.get(self.at)
        return unit.farm if unit else r.Farm()
