"""What is there already and is supplied by the work alone, with nothing before it."""

from collections.abc import Iterator

from ampacre.model import records as r
from ampacre.model.former import marked, with_former
from ampacre.model.naming import listed_first
from ampacre.model.project import Edit
from ampacre.model.standing import work_of
from ampacre.rules.feeds import way_up
from ampacre.rules.paths import labelled
from ampacre.rules.recall import recalled
from ampacre.rules.rule import Finding, found, on_piece
from ampacre.study.facts import EquipmentFacts
from ampacre.study.fed import circuits_out
from ampacre.study.study import Study

TOPIC = "supply"


@recalled
def _led_to_before(study: Study) -> frozenset[str]:
    """Give the pieces that a run leads to that is removed, or led to in its former state.

    It goes over all runs; it is asked only where something new alone feeds something existing.
    """
    runs = study.project.runs.values()
    before = (run if run.until is not None else run.was for run in runs)
    return frozenset(run.target for run in before if run is not None)


def _stood(record: r.AnyEquipment | r.Run) -> bool:
    return record.since is None or record.was is not None


def _was_fed(study: Study, key: str) -> bool:
    """Whether something supplied a piece before the work.

    An existing run that new pieces are put into led to it, but not past a new transformer.
    """
    for feed in way_up(study, key):
        above = study.standing.equipment[feed.parent]
        if _stood(study.standing.runs[feed.run]):
            if _stood(above):
                return True
            break
        if _stood(above) or isinstance(above, r.Transformer):
            break
    return key in _led_to_before(study)


def _supplied_by_the_work(study: Study, facts: EquipmentFacts) -> list[str]:
    """Give what is there already, hangs from a piece that is new, and had no supply before."""
    if facts.work != "new":
        return []
    there = [piece for _, piece in circuits_out(study, facts) if work_of(piece) == "existing"]
    return sorted(piece.id for piece in there if not _was_fed(study, piece.id))


def _new_on_the_way(study: Study, key: str) -> tuple[list[str], list[str]]:
    """Give the pieces and the runs that are new, from a source to what hangs from a new piece."""
    pieces, runs = [], []
    for feed in way_up(study, key):
        if work_of(study.standing.runs[feed.run]) == "new":
            runs.append(feed.run)
        if work_of(study.standing.equipment[feed.parent]) == "new":
            pieces.append(feed.parent)
    return pieces[::-1], runs[::-1]


def _there_already(study: Study, finding: Finding) -> Iterator[Edit]:
    """Mark what supplies it as existing, or as coming in place of others."""
    project = study.project
    pieces: dict[str, None] = {}
    runs: dict[str, None] = {}
    for key in _supplied_by_the_work(study, study.equipment(finding.where)):
        new_pieces, new_runs = _new_on_the_way(study, key)
        pieces |= dict.fromkeys(new_pieces)
        runs |= dict.fromkeys(new_runs)
    names = [project.equipment[key].name for key in pieces]
    which = listed_first(names)
    existing = marked(project, [*pieces, *runs], "existing")
    yield labelled(existing, f"Mark {which} as existing, with the runs between")
    instead = Edit("", ())
    for key in (*pieces, *runs):
        instead = instead.then(with_former(project, key))
    yield labelled(instead, f"Let {which} come in place of others, with the runs between")


@on_piece(
    "existing-had-a-supply", r.Point,
    topic=TOPIC, severity="advice", cite="common practice", remedies=_there_already, utility=True,
)  # fmt: skip
def existing_had_a_supply(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """What is there already had a supply before the work.

    Existing equipment behind a new transformer, meter or panel, with nothing that stood there
    before, carries no load before the work: the load letter and the sheet of load before and after
    then say that nothing was there (common practice).
    """
    keys = _supplied_by_the_work(study, facts)
    if keys:
        names = [study.standing.equipment[key].name for key in keys]
        yield found(
            "existing-had-a-supply", facts.piece.id,
            "{piece} comes with the work and supplies {existing}, there already: what supplied "
            "{them} before? As drawn there was no load before, and the load letter says so.",
            piece=facts.piece.name, existing=listed_first(names),
            them="it" if len(names) == 1 else "them",
        )  # fmt: skip
