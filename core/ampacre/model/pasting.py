"""Copies put into a project, the same one or another, under ids and names of their own.

What is true of the original alone stays behind: what was answered on site, accepted or measured,
what stood there before, and from which stage until which it stands. A copy of what stands already
stands already; of anything else it is new work.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any, NamedTuple

import msgspec

from ampacre.model import records as r
from ampacre.model.copying import Feed, Fragment, branch, in_order
from ampacre.model.edits import free_spaces, new_id, new_run
from ampacre.model.feeding import can_be_fed, can_feed
from ampacre.model.naming import another_name, first_names, is_tag, next_tag
from ampacre.model.project import Change, Edit, Project, Refused, TableName
from ampacre.model.standing import work_of
from ampacre.model.system import System, legs_of_spaces
from ampacre.model.words import kind_of

__all__ = ["Pasted", "duplicate", "paste"]

_FEED_AS_IT_WAS = (
    "device", "conductors", "raceway", "trade_size", "place", "cover_m", "ambient_c",
    "terminal_c", "gfci_protected", "ground_fault_trip_a", "bends_deg", "spans", "clearance_m",
)  # fmt: skip
"""What a feed says wherever it comes from; the rest holds only where it comes from the same piece."""


class Pasted(NamedTuple):
    """The edit that puts a copy into a project, and the ids of its top pieces there."""

    edit: Edit
    tops: tuple[str, ...]


def duplicate(
    project: Project, keys: Iterable[str], systems: Mapping[str, System] | None = None
) -> Pasted:
    """Put a copy of pieces, with everything below them, beside the originals."""
    fragment = branch(project, keys)
    return paste(project, fragment, next(iter(fragment.tops), None), systems, verb="Duplicate")


def paste(
    project: Project,
    fragment: Fragment,
    target: str | None = None,
    systems: Mapping[str, System] | None = None,
    verb: str = "Paste",
) -> Pasted:
    """Put a copy into a project, under new ids and names that nothing else there has.

    Its top pieces are fed from the piece `target`, or stand by themselves where that is None. Where
    the target is one of the top pieces that were copied, each lands beside its original, fed from
    what fed that. `systems` are the voltage systems of pieces, where known. Raises Refused, with
    the reason, where the target feeds nothing.
    """
    if not fragment.content.equipment:
        raise Refused(["there is no equipment in what was copied"])
    beside = target in fragment.tops
    giver = None if beside else project.equipment.get(target or "")
    if giver is not None and not can_feed(giver):
        raise Refused([f"{giver.name} is where power is used: nothing can be fed from it"])
    copy = _Copy(project, fragment)
    for top in fragment.tops:
        feed = fragment.feed_of(top)
        feeder = giver
        if beside and feed is not None:
            feeder = project.equipment.get(feed.run.source)
        if feeder is not None and can_be_fed(fragment.content.equipment[top]):
            copy.feed(top, feed, feeder, (systems or {}).get(feeder.id))
    copy.stand(giver)
    tops = tuple(copy.pieces[top] for top in fragment.tops)
    names = [copy.names[top] for top in fragment.tops]
    return Pasted(Edit(f"{verb} {first_names(names)}", tuple(copy.changes)), tops)


def _another(names: Iterable[str]) -> Callable[[str], str]:
    """Give a function that names one more, never twice the same; what has no name gets none."""
    used = set(names)

    def another(name: str) -> str:
        fresh = another_name(used, name) if name else name
        used.add(fresh)
        return fresh

    return another


class _Copy:
    """The records of a copy as they are made: `pieces` gives their new ids by those of the originals."""

    def __init__(self, project: Project, fragment: Fragment) -> None:
        self._project = project
        self._content = content = fragment.content
        self._tops = set(fragment.tops)
        self._homes = {feed.structure for feed in fragment.feeds}
        self._added: dict[str, r.Run] = {}
        self.changes: list[Change] = []
        self.pieces = {key: new_id() for key in content.equipment}
        self._runs = {key: new_id() for key in content.runs}
        self._raceways = {key: new_id() for key in content.raceways}
        self._run_name = _another(run.name for run in project.runs.values())
        self.names = dict(self._named())

    def _named(self) -> Iterator[tuple[str, str]]:
        used = {piece.name for piece in self._project.equipment.values()}
        for piece in in_order(self._content.equipment.values()):
            kind = kind_of(piece)
            name = piece.name
            if not name or (name in used and is_tag(name, kind)):
                name = next_tag(used, kind)
            name = another_name(used, name)
            used.add(name)
            yield piece.id, name

    def _put(self, table: TableName, record: r.Record) -> None:
        self.changes.append(Change(table, record.id, None, record))

    def feed(
        self, top: str, feed: Feed | None, feeder: r.AnyEquipment, system: System | None
    ) -> None:
        """Feed a top piece, in the way in which its original was fed as far as that holds here."""
        piece = msgspec.structs.replace(self._content.equipment[top], id=self.pieces[top])
        so_far = replace(self._project, runs={**self._project.runs, **self._added})
        run = new_run(so_far, feeder, piece, system)
        if feed is not None:
            run = self._as_before(so_far, run, feed.run, feeder, system)
        stands = all(
            work_of(each) == "existing" for each in (piece, feeder, feed.run if feed else piece)
        )
        run = msgspec.structs.replace(run, since=None if stands else r.WORK)
        self._added[run.id] = run
        self._put("runs", run)

    def _as_before(
        self,
        project: Project,
        run: r.Run,
        was: r.Run,
        feeder: r.AnyEquipment,
        system: System | None,
    ) -> r.Run:
        known: dict[str, Any] = {name: getattr(was, name) for name in _FEED_AS_IT_WAS}
        known["name"] = self._run_name(was.name)
        spaces, legs = run.spaces, ""
        if isinstance(feeder, r.Panel) and was.spaces:
            spaces = free_spaces(project, feeder, len(was.spaces))
        if was.source == feeder.id:
            known |= {"role": was.role, "owner": was.owner, "protected_at": was.protected_at}
            known |= {"length_m": was.length_m, "segments": self._segments(was)}
            known["lands_on"] = was.lands_on
            legs = was.legs
        if was.spaces and system is not None:
            legs = legs_of_spaces(was.spaces, system)
        return msgspec.structs.replace(run, spaces=spaces, legs="" if spaces else legs, **known)

    def _segments(self, run: r.Run) -> tuple[r.Segment, ...]:
        return tuple(
            msgspec.structs.replace(part, raceway=self._raceways[part.raceway])
            for part in run.segments
            if part.raceway in self._raceways
        )

    def stand(self, giver: r.AnyEquipment | None) -> None:
        """Put all that is copied; what stood where its feeder stood now stands where `giver` does."""
        places = dict(self._places(giver))
        enclosure = _Enclosures(self._project)
        for key in self.names:
            self._put("equipment", self._piece(key, places, enclosure))
        for run in self._content.runs.values():
            if run.source in self.pieces and run.target in self.pieces:
                self._put("runs", self._run(run))
        self._put_raceways()
        self._put_groups()
        for key, placement in self._content.placement.items():
            # a top piece has a tidy place of its own, beside the original
            if key in self.pieces and key not in self._tops:
                self._put("placement", msgspec.structs.replace(placement, id=self.pieces[key]))
        self._put_grounding(places)

    def _places(self, giver: r.AnyEquipment | None) -> Iterator[tuple[str, str | None]]:
        """Where each structure of the original is found here: one of that name, or a new one."""
        here = self._project.structures.values()
        by_name = {place.name: place.id for place in here if place.name}
        wanted = {piece.structure for piece in self._content.equipment.values()} - {None}
        for key in sorted(key for key in wanted if key is not None):
            place = self._content.structures.get(key)
            there = self._project.structures.get(key)
            if giver is not None and key in self._homes and giver.structure is not None:
                yield key, giver.structure
            elif there is not None and (place is None or there.name == place.name):
                yield key, key
            elif place is None or place.name in by_name:
                yield key, by_name.get(place.name) if place else None
            else:
                fresh = msgspec.structs.replace(place, id=new_id())
                self._put("structures", fresh)
                yield key, fresh.id

    def _piece(self, key: str, places: Mapping[str, str | None], enclosure: "_Enclosures") -> Any:
        piece = self._content.equipment[key]
        own: dict[str, Any] = {}
        if isinstance(piece, r.Point):
            own["measured"] = None
        if isinstance(piece, r.Gear):
            own["enclosure"] = enclosure.of(piece.enclosure)
        if isinstance(piece, r.Use) and piece.serves is not None:
            own["serves"] = self._served(piece.serves)
        return msgspec.structs.replace(
            piece,
            id=self.pieces[key],
            name=self.names[key],
            structure=places.get(piece.structure or ""),
            since=None if work_of(piece) == "existing" else r.WORK,
            until=None,
            reuses=None,
            was=None,
            **own,
        )

    def _served(self, key: str) -> str | None:
        """A copied dwelling where there is one, else the same one if it is in this project."""
        here = isinstance(self._project.equipment.get(key), r.DwellingLoad)
        return self.pieces.get(key, key if here else None)

    def _run(self, run: r.Run) -> r.Run:
        return msgspec.structs.replace(
            run,
            id=self._runs[run.id],
            name=self._run_name(run.name),
            source=self.pieces[run.source],
            target=self.pieces[run.target],
            neutral_with=self._runs.get(run.neutral_with or ""),
            segments=self._segments(run),
            since=None if work_of(run) == "existing" else r.WORK,
            until=None,
            reuses=None,
            was=None,
        )

    def _put_raceways(self) -> None:
        """Put the raceways in which runs of the copy lie, its feeds included."""
        made = (change.after for change in self.changes)
        runs = (record for record in made if isinstance(record, r.Run))
        used = {part.raceway for run in runs for part in run.segments}
        name = _another(lane.name for lane in self._project.raceways.values())
        for key, lane in self._content.raceways.items():
            fresh = self._raceways[key]
            if fresh in used:
                self._put("raceways", msgspec.structs.replace(lane, id=fresh, name=name(lane.name)))

    def _put_groups(self) -> None:
        groups = self._content.groups
        name = _another(group.name for group in self._project.groups.values())
        fresh = {key: new_id() for key in groups}
        members = self.pieces | fresh
        for key, group in groups.items():
            if all(member in members for member in group.members):
                moved = tuple(members[member] for member in group.members)
                copy = msgspec.structs.replace(
                    group, id=fresh[key], name=name(group.name), members=moved
                )
                if isinstance(copy, r.ManagedGroup) and copy.measured_at is not None:
                    at = self.pieces.get(copy.measured_at)
                    copy = msgspec.structs.replace(copy, measured_at=at)
                self._put("groups", copy)

    def _put_grounding(self, places: Mapping[str, str | None]) -> None:
        """Electrodes of new structures and of copied pieces; their resistance is nobody's measure."""
        for record in self._content.grounding.values():
            at = self.pieces.get(record.at)
            if record.at in self._content.structures:
                at = places.get(record.at)
                if at in self._project.structures:
                    continue
            if at is not None:
                electrodes = tuple(
                    msgspec.structs.replace(electrode, resistance_ohm=None)
                    for electrode in record.electrodes
                )
                self._put(
                    "grounding",
                    msgspec.structs.replace(record, id=new_id(), at=at, electrodes=electrodes),
                )


class _Enclosures:
    """Names of enclosures for copies: what stood in one stands in one again, but in another."""

    def __init__(self, project: Project) -> None:
        pieces = project.equipment.values()
        self._another = _another(piece.enclosure for piece in pieces if isinstance(piece, r.Gear))
        self._names: dict[str, str] = {}

    def of(self, name: str) -> str:
        if name not in self._names:
            self._names[name] = self._another(name)
        return self._names[name]
