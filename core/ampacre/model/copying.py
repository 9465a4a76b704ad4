"""What is taken along when pieces are copied or cut: everything below them, and what belongs to it."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any, NamedTuple

import msgspec
from msgspec import Struct

from ampacre.model import records as r
from ampacre.model.edits import remove
from ampacre.model.naming import first_names
from ampacre.model.project import Change, Edit, Project

__all__ = ["Feed", "Fragment", "branch", "cut", "in_order"]


class Feed(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """The run that fed a top piece, and the structure in which it began."""

    run: r.Run
    structure: r.Id | None = None


class Fragment(NamedTuple):
    """Records of a copy under the ids of their originals.

    `content` is no project of its own: its records may name others that were not copied.
    """

    content: Project
    feeds: tuple[Feed, ...] = ()

    @property
    def tops(self) -> tuple[str, ...]:
        """Ids of the pieces that no other piece of the copy feeds, in the order of their names."""
        pieces = self.content.equipment
        fed = {run.target for run in self.content.runs.values() if run.source in pieces}
        return tuple(piece.id for piece in in_order(pieces.values()) if piece.id not in fed)

    def feed_of(self, top: str) -> Feed | None:
        """How a top piece was fed, None where it stood by itself."""
        return next((feed for feed in self.feeds if feed.run.target == top), None)


def in_order(pieces: Iterable[r.AnyEquipment]) -> list[r.AnyEquipment]:
    """Give pieces in the order of their names, C-2 before C-10."""
    return sorted(pieces, key=lambda piece: (len(piece.name), piece.name, piece.id))


def branch(project: Project, keys: Iterable[str]) -> Fragment:
    """Take the pieces among `keys` with everything that stands below them.

    Runs come along with the pieces at both their ends. A group comes along only as a whole, so that
    no load of the copy counts for less than its own because of what was not copied.
    """
    chosen = _with_below(project, keys)
    pieces = {key: project.equipment[key] for key in chosen}
    standing = [run for run in project.runs.values() if run.until is None]
    runs = {run.id: run for run in standing if {run.source, run.target} <= chosen}
    content = Project(equipment=pieces, runs=runs)
    feeds = tuple(_feeds(project, Fragment(content).tops, standing))
    structures = {piece.structure for piece in pieces.values()}
    raceways = {part.raceway for run in runs.values() for part in run.segments}
    raceways |= {part.raceway for feed in feeds for part in feed.run.segments}
    content = replace(
        content,
        structures=_some(project.structures, structures),
        raceways=_some(project.raceways, raceways),
        groups={
            key: _measuring_within(group, chosen)
            for key, group in _some(project.groups, _whole_groups(project, chosen)).items()
        },
        placement=_some(project.placement, chosen),
        grounding={
            record.id: record
            for record in project.grounding.values()
            if record.at in (structures if record.at in project.structures else chosen)
        },
    )
    return Fragment(content, feeds)


def _some(table: Mapping[str, Any], keys: Iterable[str | None]) -> dict[str, Any]:
    wanted = set(keys)
    return {key: record for key, record in table.items() if key in wanted}


def _with_below(project: Project, keys: Iterable[str]) -> set[str]:
    below: dict[str, list[str]] = {}
    for run in project.runs.values():
        if run.until is None and project.equipment[run.target].until is None:
            below.setdefault(run.source, []).append(run.target)
    found: set[str] = set()
    stack = [key for key in keys if key in project.equipment]
    while stack:
        at = stack.pop()
        if at not in found:
            found.add(at)
            stack += below.get(at, [])
    return found


def _feeds(project: Project, tops: Iterable[str], standing: Iterable[r.Run]) -> Iterator[Feed]:
    """Of several runs that lead to a top piece the first that lands on the normal side counts."""
    into: dict[str, list[r.Run]] = {}
    for run in standing:
        into.setdefault(run.target, []).append(run)
    for top in tops:
        if top in into:
            run = min(into[top], key=lambda run: (run.lands_on, run.id))
            yield Feed(run=run, structure=project.equipment[run.source].structure)


def _whole_groups(project: Project, chosen: set[str]) -> set[str]:
    """Groups all of whose members, and members' members, are chosen."""
    whole: set[str] = set()
    while True:
        more = {
            group.id
            for group in project.groups.values()
            if group.members and all(member in chosen | whole for member in group.members)
        }
        if more <= whole:
            return whole
        whole |= more


def _measuring_within(group: r.AnyGroup, chosen: set[str]) -> r.AnyGroup:
    if isinstance(group, r.ManagedGroup) and group.measured_at not in chosen:
        return msgspec.structs.replace(group, measured_at=None)
    return group


def cut(project: Project, keys: Iterable[str]) -> tuple[Fragment, Edit]:
    """Take pieces with everything below them, and remove them with what is of no use without them.

    Groups that are taken as a whole go, and raceways in which no run is left.
    """
    fragment = branch(project, keys)
    names = [fragment.content.equipment[top].name for top in fragment.tops]
    edit = remove(project, fragment.content.equipment, f"Cut {first_names(names)}")
    left = project.apply(edit)
    used = {part.raceway for run in left.runs.values() for part in run.segments}
    used |= {part.raceway for run in left.runs.values() if run.was for part in run.was.segments}
    idle = fragment.content.raceways.keys() - used - left.equipment.keys() - left.runs.keys()
    more = [Change("groups", key, left.groups[key], None) for key in fragment.content.groups]
    more += [Change("raceways", key, left.raceways[key], None) for key in sorted(idle)]
    more += [
        Change("answers", answer.id, answer, None)
        for answer in left.answers.values()
        if answer.where in idle
    ]
    return fragment, edit.then(Edit(edit.label, tuple(more)))
