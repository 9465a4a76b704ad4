"""Equipment far from what feeds it of which nobody said what structure it stands in."""

from collections.abc import Iterator
from typing import Final

from ampacre.model import records as r
from ampacre.model.edits import alter, new_id, put
from ampacre.model.naming import another_name, first_names
from ampacre.model.project import Edit
from ampacre.rules.feeds import way_up
from ampacre.rules.paths import labelled
from ampacre.rules.recall import recalled
from ampacre.rules.rule import Finding, exceeds, found, on_piece
from ampacre.study.facts import EquipmentFacts
from ampacre.study.fed import circuits_out
from ampacre.study.study import Study

TOPIC = "structures"

FAR_M: Final = 15.24
"""50 ft: a run that long and not indoors most likely leads to another structure."""
_PLACED: Final = (r.Panel, r.Disconnect, r.Meter, r.TransferSwitch, r.Pedestal)


def _leads_away_m(run: r.Run) -> float:
    """Length of a feeder or branch circuit out of doors [m], 0 for any other run."""
    led = run.role in ("feeder", "branch") and run.owner == "customer" and run.place != "indoors"
    return run.length_m or 0.0 if led else 0.0


@recalled
def _unplaced_at_m(study: Study, key: str) -> float:
    """How far away a piece is that no structure is entered for [m]; 0 where it is near or placed.

    From what feeds it, past splices of which nobody said where they are.
    """
    pieces = study.standing.equipment
    piece = pieces[key]
    if not isinstance(piece, _PLACED) or piece.structure is not None:
        return 0.0
    length_m = 0.0
    for feed in way_up(study, key):
        length_m += _leads_away_m(study.standing.runs[feed.run])
        above = pieces[feed.parent]
        if not isinstance(above, r.Junction) or above.structure is not None:
            break
    return length_m if exceeds(length_m, FAR_M) else 0.0


def _with_it(study: Study, facts: EquipmentFacts) -> list[str]:
    """Give a piece and the pedestals that are as far from the same piece; it is the first of them."""
    key = facts.piece.id
    if not isinstance(facts.piece, r.Pedestal) or facts.parent is None:
        return [key]
    siblings = circuits_out(study, study.equipment(facts.parent))
    pedestals = (piece.id for _, piece in siblings if isinstance(piece, r.Pedestal))
    far = sorted(each for each in pedestals if _unplaced_at_m(study, each))
    return far if far[:1] == [key] else []


def _its_structure(study: Study, finding: Finding) -> Iterator[Edit]:
    """Enter a structure by the name of the piece, for it and what is fed from it nearby."""
    piece = study.project.equipment[finding.where]
    used = {each.name for each in study.project.structures.values()}
    record = r.Structure(
        id=new_id(),
        name=another_name(used, piece.name),
        use="outdoor" if isinstance(piece, r.Pedestal) else None,
    )
    label = f"Enter a structure for {piece.name} and what stands there"
    edit = put(label, "structures", record)
    keys = [piece.id, *_near(study, piece.id)]
    if isinstance(piece, r.Pedestal):
        keys = _with_it(study, study.equipment(piece.id))
    for key in keys:
        edit = edit.then(alter(study.project, "equipment", key, structure=record.id))
    yield labelled(edit, label)


def _near(study: Study, key: str) -> Iterator[str]:
    """Give what is fed from a piece over runs that do not lead away, and has no structure."""
    for run, piece in circuits_out(study, study.equipment(key)):
        if piece.structure is None and not exceeds(_leads_away_m(run.run), FAR_M):
            yield piece.id
            yield from _near(study, piece.id)


@on_piece(
    "structure-entered", *_PLACED,
    topic=TOPIC, severity="advice", cite="common practice", remedies=_its_structure,
)  # fmt: skip
def structure_entered(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """Equipment at the end of a long run stands in a structure that is entered.

    A building or spot that a feeder supplies has a disconnecting means and electrodes of its own
    (NEC 225.31, 225.32, 250.32). Nothing of that is checked while one end of the run stands nowhere.
    More than 50 ft out of doors most likely lead to another structure (common practice).
    """
    piece = facts.piece
    far_m = _unplaced_at_m(study, piece.id)
    above = (feed.parent for feed in way_up(study, piece.id))
    if far_m and not any(_unplaced_at_m(study, key) for key in above):
        together = _with_it(study, facts)
        if together:
            names = first_names([study.standing.equipment[key].name for key in together])
            yield found(
                "structure-entered", piece.id,
                "{pieces} {far_m} from {source}: enter the structure that {stands} in. Disconnect and "
                "electrodes there are not checked till then.",
                pieces=f"{names} {'are' if len(together) > 1 else 'is'}", far_m=far_m, source=_feeding(study, piece.id),
                stands="they stand" if len(together) > 1 else "it stands",
            )  # fmt: skip
    elif piece.structure is None and not far_m:
        yield from _feeds_placed(study, facts)


def _feeding(study: Study, key: str) -> str:
    """Name what a piece is fed from, past splices."""
    pieces = study.standing.equipment
    names = (pieces[feed.parent] for feed in way_up(study, key))
    return next(each.name for each in names if not isinstance(each, r.Junction))


def _feeds_placed(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """Say of a piece that stands nowhere that it feeds another structure."""
    for run, target in circuits_out(study, facts):
        length_m = _leads_away_m(run.run)
        if target.structure is not None and exceeds(length_m, FAR_M):
            structure = study.project.structures[target.structure].name
            yield found(
                "structure-entered", facts.piece.id,
                "{piece} feeds {target} in {structure}, {far_m} away: enter the structure that "
                "{piece} stands in. The disconnect and the electrodes of {structure} are not "
                "checked till then.",
                piece=facts.piece.name, target=target.name, structure=structure, far_m=length_m,
            )  # fmt: skip
            return
