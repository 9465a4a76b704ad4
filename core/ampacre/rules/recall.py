"""What rules read of a study, so that they are asked again only where some of it has changed.

A question is a function of the study with hashable arguments. While it is answered, all that it
reads is noted; after an edit the answer stands as long as none of that is another object, and
nothing that it asked in turn is answered otherwise.
"""

from collections.abc import Callable, Hashable, Iterator, Mapping
from functools import wraps
from typing import Any, Generic, NamedTuple, TypeVar, TypeVarTuple, cast

from ampacre.model import records as r
from ampacre.model.network import Island, Network
from ampacre.model.project import TABLES, Project
from ampacre.study.facts import EquipmentFacts, RacewayFacts, RunFacts, Voltage
from ampacre.study.solve import Solved
from ampacre.study.study import Found, Study

__all__ = ["Recall", "recalled"]

T = TypeVar("T")
Ids = TypeVarTuple("Ids")

_Read = tuple[str, str | None]
"""What was read: of a table one record by its id, or (None) all that there is."""
_Question = tuple[Callable[..., Any], tuple[Hashable, ...]]


class _Answer:
    """An answer, what it rests on, and in which rounds it was looked at and came out new."""

    __slots__ = ("asked", "changed", "looked", "reads", "value")

    def __init__(
        self, value: Any, reads: set[_Read], asked: dict[_Question, None], changed: int
    ) -> None:
        self.value = value
        self.reads = reads
        self.asked = asked
        self.changed = changed
        self.looked = changed


class Recall:
    """Answers to questions about a study that is followed from edit to edit, one round for each.

    An answer that nobody wanted for a round is forgotten.
    """

    def __init__(self, study: Study) -> None:
        self._answers: dict[_Question, _Answer] = {}
        self._reads: set[_Read] = set()
        self._asked: dict[_Question, None] = {}
        self._changed: frozenset[_Read] = frozenset()
        self._round = 0
        self._begin(study)

    def follow(self, study: Study) -> None:
        """Begin another round with the study as it is now, the same one or another."""
        before = self._seen
        self._answers = {
            question: answer
            for question, answer in self._answers.items()
            if answer.looked == self._round
        }
        self._round += 1
        self._begin(study)
        self._changed = frozenset(_differences(before, self._seen))

    def _begin(self, study: Study) -> None:
        self._seen = _Seen(study.project, study.found, study.network, study.islands, study.solved)
        self._view = cast("Study", _View(study, self))

    def note(self, read: _Read) -> None:
        """Note what the question that is being answered reads."""
        self._reads.add(read)

    def ask(self, make: Callable[..., T], *about: Hashable) -> T:
        """Give `make(study, *about)`, anew only if what it rested on has changed."""
        question = (make, about)
        self._asked[question] = None
        value: T = self._current(question).value
        return value

    def _current(self, question: _Question) -> _Answer:
        answer = self._answers.get(question)
        if answer is None or (answer.looked != self._round and self._is_stale(answer)):
            answer = self._answers[question] = self._make(question, answer)
        answer.looked = self._round
        return answer

    def _is_stale(self, answer: _Answer) -> bool:
        # in the order in which they were asked: what came first decided whether to ask the next
        return not self._changed.isdisjoint(answer.reads) or any(
            self._current(question).changed == self._round for question in answer.asked
        )

    def _make(self, question: _Question, before: _Answer | None) -> _Answer:
        make, about = question
        outer = self._reads, self._asked
        reads: set[_Read] = set()
        asked: dict[_Question, None] = {}
        self._reads, self._asked = reads, asked
        try:
            value = make(self._view, *about)
        finally:
            self._reads, self._asked = outer
        if before is not None and before.value == value:
            return _Answer(before.value, reads, asked, before.changed)
        return _Answer(value, reads, asked, self._round)


def recalled(make: Callable[[Study, *Ids], T]) -> Callable[[Study, *Ids], T]:
    """Let a function of a study keep its answers while rules are asked; arguments are ids."""

    @wraps(make)
    def asked(study: Study, *about: *Ids) -> T:
        if isinstance(study, _View):
            answer: T = study.recall.ask(make, *about)
            return answer
        return make(study, *about)

    return asked


class _Seen(NamedTuple):
    """All of a study that can be read."""

    project: Project
    found: Found
    network: Network
    islands: tuple[Island, ...]
    solved: Solved


def _differences(old: _Seen, new: _Seen) -> Iterator[_Read]:
    for table in TABLES:
        yield from _between(table, old.project.table(table), new.project.table(table))
    for name, before, after in zip(Found._fields, old.found, new.found, strict=True):
        yield from _between(f"facts of {name}", before, after)
    if old.network is not new.network:
        yield "network", None
    if old.islands != new.islands:
        yield "islands", None
    changed = {*old.solved.normal} ^ {*new.solved.normal}
    for branch in changed:
        yield "solved", None
        for key in branch.tree.island.order:
            yield "voltage", key


def _between(name: str, old: Mapping[str, object], new: Mapping[str, object]) -> Iterator[_Read]:
    if old is new:
        return
    altered = [key for key, value in new.items() if old.get(key) is not value]
    altered += old.keys() - new.keys()
    for key in altered:
        yield name, key
    if altered:
        yield name, None


class _Table(Mapping[str, T], Generic[T]):
    """A table that notes what is read of it."""

    def __init__(self, name: str, table: Mapping[str, T], recall: Recall) -> None:
        self._name = name
        self._table = table
        self._recall = recall

    def __getitem__(self, key: str) -> T:
        self._recall.note((self._name, key))
        return self._table[key]

    def __contains__(self, key: object) -> bool:
        self._recall.note((self._name, str(key)))
        return key in self._table

    def __iter__(self) -> Iterator[str]:
        self._recall.note((self._name, None))
        return iter(self._table)

    def __len__(self) -> int:
        self._recall.note((self._name, None))
        return len(self._table)


class _View:
    """A study as rules see it: it says the same and notes what they read."""

    def __init__(self, study: Study, recall: Recall) -> None:
        self.recall = recall
        self._study = study
        tables = {name: _Table(name, table, recall) for name, table in study.project.tables()}
        self.project = Project(**tables)
        # facts of a piece hold its record, so that who has read the one has read the other
        standing: dict[str, Any] = {
            name: _Table(f"facts of {name}", study.standing.table(name), recall)
            for name in ("equipment", "runs")
        }
        self.standing = Project(**(tables | standing))

    def equipment(self, key: str) -> EquipmentFacts:
        self.recall.note(("facts of equipment", key))
        return self._study.equipment(key)

    def run(self, key: str) -> RunFacts:
        self.recall.note(("facts of runs", key))
        return self._study.run(key)

    def raceway(self, key: str) -> RacewayFacts:
        self.recall.note(("facts of raceways", key))
        return self._study.raceway(key)

    def voltage(self, key: str) -> Voltage | None:
        self.recall.note(("voltage", key))
        return self._study.voltage(key)

    def all_equipment(self) -> Iterator[EquipmentFacts]:
        self.recall.note(("facts of equipment", None))
        return iter(self._study.all_equipment())

    def all_runs(self) -> Iterator[RunFacts]:
        self.recall.note(("facts of runs", None))
        return iter(self._study.all_runs())

    def all_raceways(self) -> Iterator[RacewayFacts]:
        self.recall.note(("facts of raceways", None))
        return iter(self._study.all_raceways())

    @property
    def settings(self) -> r.Settings:
        return self.project.settings

    @property
    def network(self) -> Network:
        self.recall.note(("network", None))
        return self._study.network

    @property
    def islands(self) -> tuple[Island, ...]:
        self.recall.note(("islands", None))
        return self._study.islands

    @property
    def solved(self) -> Solved:
        self.recall.note(("solved", None))
        return self._study.solved
