"""What a piece feeds in the normal state, whichever way its runs were drawn."""

from collections.abc import Iterator

from ampacre.model import records as r
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.study import Study

__all__ = ["below", "circuits_out", "other_end"]


def other_end(run: r.Run, key: str) -> str:
    """Give the piece at the end of a run that is not `key`."""
    return run.target if run.source == key else run.source


def circuits_out(study: Study, facts: EquipmentFacts) -> Iterator[tuple[RunFacts, r.Equipment]]:
    """Give the runs that feed further pieces, each with the piece at its other end."""
    for key in facts.runs_out:
        run = study.run(key)
        yield run, study.standing.equipment[other_end(run.run, facts.piece.id)]


def below(study: Study, key: str) -> Iterator[EquipmentFacts]:
    """Give all that hangs below a piece, itself left out."""
    waiting = [key]
    while waiting:
        for _, piece in circuits_out(study, study.equipment(waiting.pop())):
            waiting.append(piece.id)
            yield study.equipment(piece.id)
