"""What every project must satisfy, whatever its design is worth.

A finding is something to put right; an unsound project is one that cannot be understood at all:
a run to nowhere, a piece that feeds itself, two circuits in one space of a panel.
"""

from collections.abc import Iterable, Iterator

from ampacre.model import records as r
from ampacre.model.project import Change, Project

__all__ = ["problems", "problems_after"]


def problems(project: Project) -> list[str]:
    """Say all that is unsound in a whole project; an empty list means it can be used."""
    found: list[str] = []
    found += _id_problems(project, {*project.equipment, *project.runs})
    for run in project.runs.values():
        found += _run_problems(project, run)
    for piece in project.equipment.values():
        found += _piece_problems(project, piece)
    found += _group_problems(project)
    found += _placement_problems(project)
    found += _grounding_problems(project)
    found += _answer_problems(project)
    found += _space_problems(project, {run.source for run in project.runs.values()})
    found += _cycle_problems(project, project.equipment)
    if set(project.project) != {"project"}:
        found.append('table project must hold exactly one record, with the id "project"')
    if r.WORK not in project.stages:
        found.append(f'table stages must hold a stage with the id "{r.WORK}"')
    return found


def problems_after(project: Project, changes: Iterable[Change]) -> list[str]:
    """As `problems`, looking only where the changes can have made it unsound."""
    changes = tuple(changes)
    if any(map(_reaches_further, changes)):
        return problems(project)
    found: list[str] = []
    altered = {(change.table, change.key) for change in changes}
    tables = {table for table, _ in altered}
    pieces = {key for table, key in altered if table == "equipment"}
    runs = {key for table, key in altered if table == "runs"}
    for key in pieces:
        found += _piece_problems(project, project.equipment[key])
    for key in runs:
        found += _run_problems(project, project.runs[key])
    found += _id_problems(project, pieces | runs)
    if "groups" in tables:
        found += _group_problems(project)
    if "placement" in tables:
        found += _placement_problems(project)
    if "grounding" in tables:
        found += _grounding_problems(project)
    if "answers" in tables:
        found += _answer_problems(project)
    if runs or pieces:
        sources = {project.runs[key].source for key in runs} | pieces
        found += _space_problems(project, sources)
    if runs:
        found += _cycle_problems(project, {project.runs[key].target for key in runs})
    return found


def _reaches_further(change: Change) -> bool:
    """Whether records that the edit leaves alone may rest on what it takes away or turns into.

    That is so for what is removed, for a piece that becomes one of another kind, and for the
    table of settings, which holds a fixed record.
    """
    if change.table == "project":
        return change.before is None or change.after is None
    if change.table not in {"equipment", "structures", "stages", "runs", "raceways"}:
        return False
    before, after = change.before, change.after
    return after is None or (before is not None and type(before) is not type(after))


def _tag(project: Project, key: str) -> str:
    piece = project.equipment.get(key)
    return f'"{piece.name}"' if piece and piece.name else key


def _id_problems(project: Project, keys: Iterable[str]) -> Iterator[str]:
    """Findings name a piece, a run or the project by id alone, so these must differ."""
    for key in keys:
        if key == "project" or (key in project.equipment and key in project.runs):
            yield f'id "{key}" stands for two things'


def _run_problems(project: Project, run: r.Run) -> Iterator[str]:
    name = f'run "{run.name}"' if run.name else f"run {run.id}"
    for end, what in (("source", run.source), ("target", run.target)):
        if what not in project.equipment:
            yield f"{name}: its {end} {what} does not exist"
    if run.source == run.target:
        yield f"{name} leads from {_tag(project, run.source)} back to itself"
    source = project.equipment.get(run.source)
    if run.spaces:
        if run.legs:
            yield f"{name} says both spaces and legs; the legs follow from the spaces"
        if not isinstance(source, r.Panel):
            yield f"{name} occupies spaces, but {_tag(project, run.source)} is not a panel"
        elif max(run.spaces) > source.spaces:
            yield (
                f"{name} occupies space {max(run.spaces)}, "
                f"but {_tag(project, run.source)} has {source.spaces}"
            )
        if len(set(run.spaces)) != len(run.spaces):
            yield f"{name} names a space twice"
    if run.neutral_with is not None and run.neutral_with not in project.runs:
        yield f"{name}: shares its neutral with {run.neutral_with}, which does not exist"
    if run.neutral_with == run.id:
        yield f"{name} shares its neutral with itself"
    yield from _segment_problems(project, run, name)
    yield from _standing_problems(project, run, project.runs, name)
    yield from _former_problems(run, name)
    if run.was is not None:
        yield from (f"before: {problem}" for problem in _run_problems(project, run.was))


_SLACK_M = 1e-6


def _segment_problems(project: Project, run: r.Run, name: str) -> Iterator[str]:
    for segment in run.segments:
        if segment.raceway not in project.raceways:
            yield f"{name}: raceway {segment.raceway} does not exist"
    if len({segment.raceway for segment in run.segments}) != len(run.segments):
        yield f"{name} names a raceway twice; one segment says the whole length in it"
    inside_m = sum(segment.length_m for segment in run.segments)
    if run.length_m is not None and inside_m > run.length_m + _SLACK_M:
        yield (
            f"{name} lies in raceways for {inside_m:g} m, more than its length of {run.length_m:g} m"
        )


def _piece_problems(project: Project, piece: r.Equipment) -> Iterator[str]:
    name = f'"{piece.name}"'
    if piece.structure is not None and piece.structure not in project.structures:
        yield f"{name}: structure {piece.structure} does not exist"
    if isinstance(piece, r.Use) and piece.serves is not None:
        served = project.equipment.get(piece.serves)
        if not isinstance(served, r.DwellingLoad):
            yield f"{name} serves {piece.serves}, which is not a dwelling load"
    yield from _standing_problems(project, piece, project.equipment, name)
    yield from _former_problems(piece, name)
    if piece.was is not None:
        yield from (f"before: {problem}" for problem in _piece_problems(project, piece.was))


def _former_problems(record: r.Equipment | r.Run, name: str) -> Iterator[str]:
    """What was here before is the same thing in another form, and has no history of its own."""
    was = record.was
    if was is None:
        return
    if was.id != record.id or type(was) is not type(record):
        yield f"{name}: what it was is another kind of thing or has another id"
    if record.since is None:
        yield f"{name} says what it was, but not since when it is otherwise"
    if (was.since, was.until, was.reuses, was.was) != (None, None, None, None):
        yield f"{name}: what it was stands from before any work and until {record.since}"


def _standing_problems(
    project: Project, record: r.Standing, table: Iterable[str], name: str
) -> Iterator[str]:
    for word, stage in (("since", record.since), ("until", record.until)):
        if stage is not None and stage not in project.stages:
            yield f"{name}: {word} names stage {stage}, which does not exist"
    if record.reuses is not None and record.reuses not in table:
        yield f"{name}: reuses {record.reuses}, which does not exist"


def _group_problems(project: Project) -> Iterator[str]:
    member_of: dict[str, str] = {}
    for group in project.groups.values():
        managed = isinstance(group, r.ManagedGroup)
        if isinstance(group, r.ManagedGroup) and group.measured_at is not None:
            place = project.equipment.get(group.measured_at)
            if place is None:
                yield f'group "{group.name}": measuring point {group.measured_at} does not exist'
            elif not isinstance(place, r.Point):
                yield (
                    f'group "{group.name}" can\'t measure at "{place.name}", which nothing is fed from'
                )
        for member in group.members:
            piece = project.equipment.get(member)
            nested = project.groups.get(member)
            if piece is None and not (managed and isinstance(nested, r.ManagedGroup)):
                yield f'group "{group.name}": member {member} does not exist'
            if managed and piece is not None and not isinstance(piece, r.Charger):
                yield f'group "{group.name}": "{piece.name}" is not a charger'
            if not managed and piece is not None and not isinstance(piece, (r.Load, r.Motor)):
                yield f'group "{group.name}": "{piece.name}" is neither a load nor a motor'
            if member in member_of:
                yield f"{_tag(project, member)} is a member of two groups"
            member_of[member] = group.id
        if len(set(group.members)) != len(group.members):
            yield f'group "{group.name}" names a member twice'
    for key in project.groups:
        seen, at = set(), key
        while at in member_of and at not in seen:
            seen.add(at)
            at = member_of[at]
        if at in seen:
            yield f'group "{project.groups[key].name}" contains itself'


def _placement_problems(project: Project) -> Iterator[str]:
    for key in project.placement:
        if key not in project.equipment:
            yield f"placement of {key}: no such equipment"


def _grounding_problems(project: Project) -> Iterator[str]:
    taken: dict[str, str] = {}
    for record in project.grounding.values():
        if record.at not in project.equipment and record.at not in project.structures:
            yield f"grounding at {record.at}: no such equipment or structure"
        if taken.setdefault(record.at, record.id) != record.id:
            yield f"{_tag(project, record.at)} has two grounding records"


def _answer_problems(project: Project) -> Iterator[str]:
    places = (project.equipment, project.runs, project.structures, project.raceways)
    taken: dict[tuple[str, str], str] = {}
    for answer in project.answers.values():
        if answer.where != "project" and not any(answer.where in table for table in places):
            yield f"the answer to {answer.question} is about {answer.where}, which does not exist"
        if taken.setdefault((answer.question, answer.where), answer.id) != answer.id:
            yield f"{answer.question} is answered twice for {answer.where}"


def _space_problems(project: Project, sources: set[str]) -> Iterator[str]:
    taken: dict[tuple[str, int], r.Run] = {}
    for run in project.runs.values():
        if run.source not in sources or run.until is not None or not run.spaces:
            continue
        source = project.equipment.get(run.source)
        if isinstance(source, r.Panel) and max(run.spaces) > source.spaces:
            yield f"{_tag(project, run.source)} has no space {max(run.spaces)}"
        for space in run.spaces:
            other = taken.setdefault((run.source, space), run)
            if other is not run:
                yield (
                    f"space {space} of {_tag(project, run.source)} is taken twice, for "
                    f"{_tag(project, other.target)} and {_tag(project, run.target)}"
                )


def _cycle_problems(project: Project, starts: Iterable[str]) -> Iterator[str]:
    """Find a piece that feeds itself through runs that stand together."""
    below: dict[str, list[str]] = {}
    for run in project.runs.values():
        if run.until is None:
            below.setdefault(run.source, []).append(run.target)
    done: set[str] = set()
    for start in starts:
        on_path: set[str] = set()
        stack: list[tuple[str, bool]] = [(start, False)]
        while stack:
            at, leaving = stack.pop()
            if leaving:
                on_path.discard(at)
                done.add(at)
                continue
            if at in on_path:
                yield f"{_tag(project, at)} feeds itself through the runs below it"
                return
            if at in done:
                continue
            on_path.add(at)
            stack.append((at, True))
            stack.extend((target, False) for target in below.get(at, ()))
