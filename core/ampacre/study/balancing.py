"""Which spaces of a panel its circuits would take for its legs to carry like loads."""

import itertools
from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

import msgspec

from ampacre.model import records as r
from ampacre.model.project import Change, Edit
from ampacre.model.standing import work_of
from ampacre.model.system import System, legs_of_spaces, volts_between
from ampacre.study.leg_loads import leg_share
from ampacre.study.study import Study

__all__ = ["Circuit", "balance", "balanced"]

_WAYS = 20_000
"""Up to so many ways of putting single-pole circuits on legs, all are tried."""

Spaces = tuple[int, ...]
Places = Mapping[str, Spaces]


class Circuit(NamedTuple):
    """A circuit of a panel: its id, the spaces it has, and its connected volt-amperes."""

    key: str
    spaces: Spaces
    va: float


def balance(study: Study, key: str, *, existing_too: bool = False) -> Edit:
    """Give the edit that spreads the circuits of a panel over its legs as evenly as can be.

    Existing and reused circuits stay where they are unless `existing_too`; so do circuits that
    share a neutral, which must not come to one leg, and sources, whose place on the bus matters.
    The edit has no changes where nothing would be gained. Raises KeyError for a panel that does
    not stand in the result.
    """
    facts = study.equipment(key)
    panel = facts.piece
    label = f"Balance legs of {panel.name}"
    if not isinstance(panel, r.Panel) or facts.system is None:
        return Edit(label, ())
    runs = [run for run in study.project.runs.values() if run.source == key and run.until is None]
    sharing = {run.neutral_with for run in runs} | {run.id for run in runs if run.neutral_with}
    fixed: list[Circuit] = []
    movable: list[Circuit] = []
    for run in sorted(runs, key=lambda run: run.id):
        target = study.project.equipment[run.target]
        free = (
            run.id not in sharing
            and not isinstance(target, (r.Inverter, r.Battery))
            and (existing_too or work_of(run) == "new")
        )
        (movable if free else fixed).append(_circuit(study, run))
    places = balanced(facts.system, panel.spaces, fixed, movable)
    changes = tuple(
        Change("runs", moved, before, msgspec.structs.replace(before, spaces=spaces))
        for moved, spaces in places.items()
        for before in (study.project.runs[moved],)
    )
    return Edit(label, changes)


def _circuit(study: Study, run: r.Run) -> Circuit:
    facts = study.found.runs.get(run.id)
    share = leg_share(facts) if facts else {}
    return Circuit(run.id, run.spaces, sum(share.values()))


def balanced(
    system: System, spaces: int, fixed: Iterable[Circuit], movable: Iterable[Circuit]
) -> dict[str, Spaces]:
    """Give new spaces for the circuits that have to move for the heaviest leg to carry the least.

    Circuits keep their number of poles and their voltage. Of ways that are as even, one that moves
    few circuits is taken. It is the best there is for a few single-pole circuits, a good one for
    many and for two-pole circuits on three legs; never worse than what is there.
    """
    board = _Board(system, spaces, tuple(fixed), tuple(movable))
    now = {circuit.key: circuit.spaces for circuit in board.movable}
    swapped = board.swapped(now)
    ways = (now, board.best_singles(now), swapped, board.best_singles(swapped))
    best = min(ways, key=lambda places: (board.loads(places), _moves(now, places)))
    return {key: best[key] for key in now if best[key] != now[key]}


def _moves(now: Places, places: Places) -> int:
    return sum(places[key] != now[key] for key in now)


class _Board:
    """A panel with what is fixed in it and what may move; loads are whole volt-amperes."""

    def __init__(
        self, system: System, spaces: int, fixed: tuple[Circuit, ...], movable: tuple[Circuit, ...]
    ) -> None:
        self._system = system
        self._spaces = spaces
        self.movable = tuple(each for each in movable if each.spaces and _regular(each.spaces))
        self._fixed = (*fixed, *(each for each in movable if each not in self.movable))
        self._va = {each.key: round(each.va / max(len(each.spaces), 1)) for each in self.movable}
        self._base = dict.fromkeys(system.legs, 0)
        for each in self._fixed:
            legs = self._legs(each.spaces)
            for leg in legs:
                self._base[leg] += round(each.va / len(legs))
        self._held = {space for each in self._fixed for space in each.spaces}

    def _legs(self, spaces: Spaces) -> str:
        return legs_of_spaces(spaces, self._system)

    def _by_leg(self, places: Places) -> dict[str, int]:
        loads = dict(self._base)
        for key, spaces in places.items():
            for leg in self._legs(spaces):
                loads[leg] += self._va[key]
        return loads

    def loads(self, places: Places) -> tuple[int, ...]:
        """Loads of the legs, the heaviest first: what is to become small."""
        return tuple(sorted(self._by_leg(places).values(), reverse=True))

    def _fits(self, before: Spaces, after: Spaces) -> bool:
        """Whether a circuit has as many legs and its voltage in other spaces too."""
        one, other = self._legs(before), self._legs(after)
        return len(one) == len(other) and (
            not one or volts_between(one, self._system) == volts_between(other, self._system)
        )

    # one step after another -------------------------------------------------------------------

    def swapped(self, now: Places) -> Places:
        """Move one circuit or exchange two, the most useful first, until nothing is gained."""
        places, loads = now, self.loads(now)
        while True:
            best, least = places, loads
            for step in self._steps(places):
                after = {**places, **step}
                if (found := self.loads(after)) < least:
                    best, least = after, found
            if best is places:
                return places
            places, loads = best, least

    def _steps(self, places: Places) -> Iterator[Places]:
        taken = self._held.union(*places.values())
        for circuit in self.movable:
            if not self._va[circuit.key]:
                continue
            at = places[circuit.key]
            seen = {self._legs(at)}
            for free in self._free(len(at), taken.difference(at)):
                if self._legs(free) not in seen and self._fits(at, free):
                    seen.add(self._legs(free))
                    yield {circuit.key: free}
        for one, other in itertools.combinations(self.movable, 2):
            here, there = places[one.key], places[other.key]
            differ = (
                self._legs(here) != self._legs(there) and self._va[one.key] != self._va[other.key]
            )
            if len(here) == len(there) and differ and self._fits(here, there):
                yield {one.key: there, other.key: here}

    def _free(self, poles: int, taken: set[int]) -> Iterator[Spaces]:
        for start in range(1, self._spaces - 2 * (poles - 1) + 1):
            spaces = tuple(range(start, start + 2 * poles, 2))
            if not taken.intersection(spaces):
                yield spaces

    # all ways at once -------------------------------------------------------------------------

    def best_singles(self, places: Places) -> Places:
        """Put the single-pole circuits on the best legs, by trying all ways, if they are few."""
        singles = sorted(
            (each for each in self.movable if len(each.spaces) == 1 and self._va[each.key]),
            key=lambda each: (-self._va[each.key], each.key),
        )
        if not singles or len(self._system.legs) ** len(singles) > _WAYS:
            return places
        keys = {each.key for each in singles}
        others = {key: spaces for key, spaces in places.items() if key not in keys}
        taken = self._held.union(*others.values())
        room: dict[str, list[int]] = {leg: [] for leg in self._system.legs}
        for space in range(1, self._spaces + 1):
            if space not in taken:
                room[self._legs((space,))].append(space)
        legs = self._best_legs(singles, self._by_leg(others), room)
        return others | self._in_spaces(singles, legs, room)

    def _best_legs(
        self, singles: list[Circuit], loads: dict[str, int], room: Mapping[str, list[int]]
    ) -> dict[str, str]:
        left = {leg: len(spaces) for leg, spaces in room.items()}
        chosen: dict[str, str] = {}
        best: tuple[tuple[int, ...], int] | None = None
        best_legs: dict[str, str] = {}

        def follow(at: int, moves: int) -> None:
            nonlocal best, best_legs
            if best is not None and max(loads.values()) > best[0][0]:
                return
            if at == len(singles):
                found = (tuple(sorted(loads.values(), reverse=True)), moves)
                if best is None or found < best:
                    best, best_legs = found, dict(chosen)
                return
            circuit = singles[at]
            home = self._legs(circuit.spaces)
            for leg in sorted(loads, key=lambda leg: leg != home):
                first = room[leg][0] if room[leg] else 0
                if not left[leg] or not self._fits(circuit.spaces, (first,)):
                    continue
                chosen[circuit.key] = leg
                left[leg] -= 1
                loads[leg] += self._va[circuit.key]
                follow(at + 1, moves + (leg != home))
                loads[leg] -= self._va[circuit.key]
                left[leg] += 1

        follow(0, 0)
        return best_legs

    def _in_spaces(
        self, singles: list[Circuit], legs: Mapping[str, str], room: Mapping[str, list[int]]
    ) -> dict[str, Spaces]:
        """Leave those that stay on their leg where they are; the others take what is free."""
        stay = {each.key: each.spaces for each in singles if each.spaces[0] in room[legs[each.key]]}
        taken = {space for spaces in stay.values() for space in spaces}
        free = {
            leg: iter([space for space in spaces if space not in taken])
            for leg, spaces in room.items()
        }
        return stay | {
            each.key: (next(free[legs[each.key]]),) for each in singles if each.key not in stay
        }


def _regular(spaces: Spaces) -> bool:
    """Whether spaces are those below one another that a circuit of so many poles takes."""
    return spaces == tuple(range(spaces[0], spaces[0] + 2 * len(spaces), 2))
