"""What the choice of a run's device and wires depends on, gathered from the project and its load."""

from collections.abc import Mapping
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.model.standing import Work
from ampacre.model.system import System
from ampacre.sizing.transformers import rated_current_a
from ampacre.study.bays import Bay, of_keys
from ampacre.study.facts import Demand

__all__ = [
    "Carried",
    "Circuit",
    "MotorOnCircuit",
    "Way",
    "carried_below",
    "counted_conductors",
    "is_whole_dwelling",
    "place_between",
    "rated_a",
    "runs_in",
    "serving",
    "ways_of",
]


class MotorOnCircuit(NamedTuple):
    """The one motor that a branch circuit supplies: currents as marked or by table [A]."""

    full_load_a: float
    phases: int
    compressor: bool
    minimum_circuit_a: float | None
    maximum_device_a: float | None


class Way(NamedTuple):
    """A part of a run that lies in a raceway with others, whose counted conductors are `others`."""

    raceway: r.Raceway
    length_m: float
    others: int


class Circuit(NamedTuple):
    """All that the choice of a run's device and wires depends on.

    `settings` are the project's limits and local amendments. `device_ahead_a` is the nearest device
    on the supply side, at a transformer's secondary that of the primary as the secondary sees it;
    `ahead_unread` tells that its rating was not read. `rated_a` is the rated current of the
    transformer that the run supplies, or of the generator that supplies it. `load_end_device_a` is
    the main of the piece at its far end. `bundle` tells that the run stands for many circuits, or
    is a joint by bus, and has no conductors of its own; `residential` that it is at a dwelling;
    `nonlinear` that most of its load is so.
    """

    run: r.Run
    work: Work
    system: System
    demand: Demand
    settings: r.Settings
    uses_neutral: bool
    device_ahead_a: float | None
    load_end_device_a: float | None
    drop_limit_pct: float | None
    motor: MotorOnCircuit | None = None
    rated_a: float | None = None
    whole_dwelling: bool = False
    source_behind: bool = False
    several_receptacles: bool = False
    bundle: bool = False
    residential: bool = False
    nonlinear: bool = False
    place_between: r.Place = "yard"
    ways: tuple[Way, ...] = ()
    ahead_unread: bool = False

    @property
    def edition(self) -> str:
        """Edition of the code."""
        return self.settings.edition

    @property
    def current_carrying(self) -> int:
        """Current-carrying conductors of one of its sets."""
        return counted_conductors(self.system, self.uses_neutral, self.nonlinear)

    @property
    def ambient_c(self) -> float:
        """Ambient temperature of the run by itself [C]."""
        return self.settings.ambient_c if self.run.ambient_c is None else self.run.ambient_c


class Carried(NamedTuple):
    """What hangs below a piece, itself included, told by kind and not by amount.

    `members` counts the pieces that serve each dwelling, the dwelling itself too; `others` tells of
    load that serves none, `source` of inverters and batteries. `sole` is the one piece that uses
    power, "" where there are none or more.
    """

    members: Mapping[str, int]
    others: bool
    source: bool
    uses: int
    sole: str


_NOTHING = Carried({}, others=False, source=False, uses=0, sole="")


def _own(piece: r.Equipment) -> Carried:
    if isinstance(piece, (r.Inverter, r.Battery)):
        return _NOTHING._replace(source=True)
    if isinstance(piece, r.DwellingLoad):
        return Carried({piece.id: 1}, others=False, source=False, uses=1, sole=piece.id)
    if isinstance(piece, r.Use):
        members = {} if piece.serves is None else {piece.serves: 1}
        return Carried(members, others=not members, source=False, uses=1, sole=piece.id)
    return _NOTHING


def _together(one: Carried, other: Carried) -> Carried:
    if one is _NOTHING or other is _NOTHING:
        return other if one is _NOTHING else one
    members = dict(one.members)
    for key, count in other.members.items():
        members[key] = members.get(key, 0) + count
    uses = one.uses + other.uses
    sole = (one.sole or other.sole) if uses == 1 else ""
    return Carried(members, one.others or other.others, one.source or other.source, uses, sole)


def carried_below(bay: Bay, further: Mapping[str, Carried]) -> dict[str, Carried]:
    """Say of every piece of a bay what hangs below it; `further` says it of the next bays."""
    found = dict(further)
    for key in reversed(bay.keys):
        carried = _own(bay.project.equipment[key])
        for child in bay.tree.children[key]:
            carried = _together(carried, found[child])
        found[key] = carried
    return of_keys(found, bay.keys)


def serving(project: Project) -> dict[str, int]:
    """Count the pieces that serve each dwelling, the dwelling itself too."""
    found: dict[str, int] = {}
    for piece in project.equipment.values():
        dwelling = piece.id if isinstance(piece, r.DwellingLoad) else None
        if isinstance(piece, r.Use):
            dwelling = piece.serves
        if dwelling:
            found[dwelling] = found.get(dwelling, 0) + 1
    return found


def is_whole_dwelling(carried: Carried, serving: Mapping[str, int]) -> bool:
    """Whether all load of one dwelling is carried, and nothing else, no source among it.

    `serving` counts the pieces that serve each dwelling in the whole project.
    """
    if carried.others or carried.source or len(carried.members) != 1:
        return False
    ((dwelling, count),) = carried.members.items()
    return serving.get(dwelling) == count


def place_between(project: Project, run: r.Run) -> r.Place:
    """Where a run most likely lies: in its ends' one structure, else in the ground (cautious)."""
    here = project.equipment[run.source].structure
    there = project.equipment[run.target].structure
    if here is None or here != there:
        return "yard"
    return "outdoors" if project.structures[here].use == "outdoor" else "indoors"


def counted_conductors(system: System, uses_neutral: bool, nonlinear: bool) -> int:
    """Current-carrying conductors of one set (NEC 310.15(E); 2017: 310.15(B)(5)).

    A neutral counts with one leg, with two legs of a wye, and with three where most of the load is
    `nonlinear`; where it carries only the difference of the legs it does not.
    """
    legs = len(system.legs)
    balanced = abs(sum(system.leg_v)) <= 1.0
    counts = legs == 1 or (legs == 2 and not balanced) or (legs == 3 and balanced and nonlinear)
    return legs + (system.neutral and uses_neutral and counts)


def runs_in(project: Project) -> dict[str, tuple[str, ...]]:
    """Runs that lie in each raceway, in id order."""
    found: dict[str, list[str]] = {key: [] for key in project.raceways}
    for key in sorted(project.runs) if found else ():
        for segment in project.runs[key].segments:
            found[segment.raceway].append(key)
    return {key: tuple(runs) for key, runs in sorted(found.items())}


def ways_of(
    project: Project, run: r.Run, inside: Mapping[str, tuple[str, ...]], counted: Mapping[str, int]
) -> tuple[Way, ...]:
    """Give the shared raceways along a run, each with the conductors of the other runs in it.

    `inside` are the runs in each raceway; `counted` has the current-carrying conductors of each
    run, all of its sets, and a run that it does not know counts as three.
    """
    return tuple(
        Way(
            project.raceways[segment.raceway],
            segment.length_m,
            sum(counted.get(key, 3) for key in inside[segment.raceway] if key != run.id),
        )
        for segment in run.segments
    )


def rated_a(piece: r.Equipment, source: r.Equipment, system: System) -> float | None:
    """Rated current of the transformer that a run supplies, or of the generator that supplies it.

    On the run's side [A]; None for any other run, or where the nameplate is not known.
    """
    if isinstance(piece, r.Transformer):
        line_v = abs(system.leg_v[0]) if len(system.legs) == 1 else system.line_v
        return rated_current_a(piece.kva, line_v, system.phases) if piece.kva else None
    if isinstance(source, r.Generator):
        kva = source.kva or source.kw
        return rated_current_a(kva, system.line_v, system.phases) if kva else None
    return None
