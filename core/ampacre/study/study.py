"""The study: the computation kept current under edits."""

from collections.abc import Iterable, Mapping
from typing import NamedTuple, Self

from ampacre.model import records as r
from ampacre.model.network import Island
from ampacre.model.project import Project
from ampacre.model.standing import standing
from ampacre.study.alike import alike
from ampacre.study.facts import EquipmentFacts, RacewayFacts, RunFacts, Running, Voltage
from ampacre.study.frame import frame_of
from ampacre.study.joined import Joined, join
from ampacre.study.memo import Memo
from ampacre.study.moved import moved_load
from ampacre.study.piece_facts import equipment_facts
from ampacre.study.run_facts import facts_of_raceways, run_facts
from ampacre.study.solve import Solved, solve

__all__ = ["Changed", "Found", "Study"]


class Changed(NamedTuple):
    """Whose facts changed with an edit, and whether the drawing's shape did."""

    equipment: frozenset[str]
    runs: frozenset[str]
    topology: bool


class Found(NamedTuple):
    """All facts by id, in id order."""

    equipment: Mapping[str, EquipmentFacts]
    runs: Mapping[str, RunFacts]
    raceways: Mapping[str, RacewayFacts]


class Study:
    """Facts of every standing piece and run of a project, as it will be when a stage is done.

    `project` is what the study was made of, `stage` the stage (None: before any work), `standing`
    the part of the project that stands then, `found` all facts.
    """

    def __init__(
        self, project: Project, stage: str | None = r.WORK, memo: Memo | None = None
    ) -> None:
        self._equipment: Joined[EquipmentFacts] = Joined({})
        self._runs: Joined[RunFacts] = Joined({})
        self._raceways: Joined[RacewayFacts] = Joined({})
        self._memo = memo or Memo()
        self.stage = stage
        self.solved: Solved
        self.found: Found
        self._compute(project)

    def follow(self, project: Project) -> Changed:
        """Bring the study up to date with another version of the project.

        Facts that come out equal stay the same objects.
        """
        before = self.standing
        self._compute(project)
        topology = not _same_shape(before, self.standing)
        return Changed(self._equipment.changed, self._runs.changed, topology)

    def fork(self, project: Project) -> Self:
        """Give a study of another version of the project; this one stays as it is."""
        return type(self)(project, self.stage, self._memo.copy())

    def at(self, stage: str | None) -> Self:
        """Give a study of the same project at another stage (None: before any work)."""
        return type(self)(self.project, stage)

    def _compute(self, project: Project) -> None:
        self._memo.turn()
        self.project = project
        self.standing = standing(project, self.stage)
        frame = frame_of(self.standing, self._memo)
        moved = moved_load(project, self.standing, frame.measured)
        self.network = frame.network
        self.solved = solve(self.standing, frame, moved, self._memo)
        about = (self.standing, self.solved, self._memo)
        pieces = equipment_facts(*about)
        self._equipment = join(self._equipment, pieces)
        runs = run_facts(self.standing, self.solved, pieces, self._memo)
        self._runs = join(self._runs, runs)
        self._raceways = join(self._raceways, [facts_of_raceways(*about)])
        self.found = Found(self._equipment.whole, self._runs.whole, self._raceways.whole)

    @property
    def settings(self) -> r.Settings:
        """Settings of the project."""
        return self.project.settings

    @property
    def islands(self) -> tuple[Island, ...]:
        """Energised islands of the normal state."""
        return tuple(branch.tree.island for branch in self.solved.normal)

    def equipment(self, key: str) -> EquipmentFacts:
        """Facts of a piece; raises KeyError for one that does not stand in the result."""
        return self.found.equipment[key]

    def run(self, key: str) -> RunFacts:
        """Facts of a run; raises KeyError for one that does not stand in the result."""
        return self.found.runs[key]

    def raceway(self, key: str) -> RacewayFacts:
        """Facts of a raceway that runs share; raises KeyError for one that there is not."""
        return self.found.raceways[key]

    def voltage(self, key: str) -> Voltage | None:
        """Voltages at a piece with everything on; None where it is not supplied or can't be told."""
        return self.solved.voltage(key)

    def voltages(self, root: str) -> Mapping[str, Voltage]:
        """Voltages at all pieces of the island that a source forms, where they can be told."""
        branch = self.solved.home(root)
        if branch is None:
            raise KeyError(root)
        return branch.voltages

    def running(self, key: str) -> Running:
        """Currents of a run with everything on; of no leg where it is not supplied."""
        return self.solved.running(key)

    def all_equipment(self) -> Iterable[EquipmentFacts]:
        """Facts of all standing pieces, in id order."""
        return self.found.equipment.values()

    def all_runs(self) -> Iterable[RunFacts]:
        """Facts of all standing runs, in id order."""
        return self.found.runs.values()

    def all_raceways(self) -> Iterable[RacewayFacts]:
        """Facts of all raceways that runs share, in id order."""
        return self.found.raceways.values()


def _same_shape(old: Project, new: Project) -> bool:
    """Whether the drawing has the same geometry: kinds, names, places and connections."""
    return (
        alike(
            old.equipment, new.equipment, lambda piece: (type(piece), piece.name, piece.structure)
        )
        and alike(old.runs, new.runs, lambda run: (run.source, run.target, run.spaces))
        and (old.placement, old.structures) == (new.placement, new.structures)
    )
