"""What no rating, length or load of a project decides, and most edits therefore leave alone."""

from collections.abc import Mapping
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.model.network import Network
from ampacre.model.project import Project
from ampacre.study.alike import Alike
from ampacre.study.circuit import runs_in, serving
from ampacre.study.memo import Memo

__all__ = ["Frame", "frame_of"]


class Frame(NamedTuple):
    """How a standing project hangs together.

    `serving` counts the pieces of each dwelling, `inside` gives the runs in each raceway,
    `measured` are the points that state a measured demand.
    """

    network: Network
    serving: Mapping[str, int]
    inside: Mapping[str, tuple[str, ...]]
    measured: frozenset[str]


def frame_of(project: Project, memo: Memo) -> Frame:
    """Give the frame of a standing project, or the one that `memo` keeps of one framed alike."""
    pieces = Alike(project.equipment, _of_piece)
    runs = Alike(project.runs, _of_run)
    raceways = frozenset(project.raceways)

    def made(*_: object) -> Frame:
        measured = {key for key, piece in project.equipment.items() if _is_measured(piece)}
        return Frame(Network.of(project), serving(project), runs_in(project), frozenset(measured))

    return memo.of("frame", (pieces, runs, raceways), made)


def _of_piece(piece: r.AnyEquipment) -> tuple[object, ...]:
    serves = piece.serves if isinstance(piece, r.Use) else None
    forming = isinstance(piece, r.Battery) and piece.forming
    return type(piece), forming, serves, _is_measured(piece)


def _is_measured(piece: r.AnyEquipment) -> bool:
    return isinstance(piece, r.Point) and piece.basis == "measured"


def _of_run(run: r.Run) -> tuple[object, ...]:
    lies_in = tuple(segment.raceway for segment in run.segments)
    return run.source, run.target, run.lands_on, lies_in
