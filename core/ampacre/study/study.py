"""The study: the computation kept current under edits."""

from collections.abc import Iterable
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.model.network import Island, Network
from ampacre.model.project import Project
from ampacre.study.facts import EquipmentFacts, RunFacts

__all__ = ["Changed", "Study"]


class Changed(NamedTuple):
    """Whose facts changed with an edit, and whether the drawing's shape did."""

    equipment: frozenset[str]
    runs: frozenset[str]
    topology: bool


class Study:
    """Facts of every standing piece and run of a project, as it will be when the work is done.

    `project` is what the study was made of, `standing` the part of it that stands in the result.
    """

    project: Project
    standing: Project
    network: Network
    islands: tuple[Island, ...]

    def __init__(self, project: Project) -> None:
        raise NotImplementedError

    def follow(self, project: Project) -> Changed:
        """Bring the study up to date with another version of the project."""
        raise NotImplementedError

    def fork(self, project: Project) -> "Study":
        """Give a study of another version of the project; this one stays as it is."""
        raise NotImplementedError

    @property
    def settings(self) -> r.Settings:
        """Settings of the project."""
        return self.project.settings

    def equipment(self, key: str) -> EquipmentFacts:
        """Facts of a piece; raises KeyError for one that does not stand in the result."""
        raise NotImplementedError

    def run(self, key: str) -> RunFacts:
        """Facts of a run; raises KeyError for one that does not stand in the result."""
        raise NotImplementedError

    def all_equipment(self) -> Iterable[EquipmentFacts]:
        """Facts of all standing pieces, in id order."""
        raise NotImplementedError

    def all_runs(self) -> Iterable[RunFacts]:
        """Facts of all standing runs, in id order."""
        raise NotImplementedError
