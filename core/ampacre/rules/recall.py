"""What rules read of a study, so that they are asked again only where some of it has changed.

A question is a function of the study with hashable arguments. While it is answered, all that it
reads is noted; after an edit the answer stands as long as none of that is another object, and
nothing that it asked in turn is answered otherwise.
"""

from collections.abc import Callable, Hashable, Iterator, Mapping
from functools import wraps
from typing import Any, Generic, NamedTuple, TypeVar, TypeVarTuple, cast
from weakref import WeakValueDictionary

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
    """An answer, what it rests on, and in which rounds it was looked at and came out new.

    `reads` were read for it directly, `asked` are the answers it uses, and `rests_on` is all that
    was read for it and for them.
    """

    __slots__ = ("__weakref__", "asked", "changed", "looked", "reads", "rests_on", "value")

    def __init__(self) -> None:
        self.value: Any = None
        self.reads: set[_Read] = set()
        self.asked: dict[_Question, _Answer] = {}
        self.rests_on: frozenset[_Read] = frozenset()
        self.looked = self.changed = -1

    def gather(self) -> None:
        """Gather what it rests on."""
        self.rests_on = frozenset(self.reads).union(
            *(each.rests_on for each in self.asked.values())
        )


class Recall:
    """Answers to questions about a study that is followed from edit to edit, one round for each.

    An answer lives as long as another uses it that was wanted in this round or the last. So at the
    beginning of a round all that live were right in the last, and a look at what changed since
    tells whether they still are.
    """

    def __init__(self, study: Study) -> None:
        self._answers: WeakValueDictionary[_Question, _Answer] = WeakValueDictionary()
        self._reads: set[_Read] = set()
        self._asked: dict[_Question, _Answer] = {}
        self._last_asked = self._asked
        self._changed: frozenset[_Read] = frozenset()
        self._round = 0
        self._begin(study)

    def follow(self, study: Study) -> None:
        """Begin another round with the study as it is now, the same one or another."""
        before = self._seen
        self._last_asked, self._asked = self._asked, {}
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
        answer = self._asked[question] = self._current(question)
        value: T = answer.value
        return value

    def _current(self, question: _Question) -> _Answer:
        answer = self._answers.get(question)
        if answer is None:
            answer = self._answers[question] = _Answer()
            self._make(question, answer)
        elif answer.looked != self._round and self._is_stale(answer):
            self._make(question, answer)
        answer.looked = self._round
        return answer

    def _is_stale(self, answer: _Answer) -> bool:
        if self._changed.isdisjoint(answer.rests_on):
            return False
        if not self._changed.isdisjoint(answer.reads):
            return True
        # in the order in which they were asked: what came first decided whether to ask the next
        if any(self._current(question).changed == self._round for question in answer.asked):
            return True
        answer.gather()
        return False

    def _make(self, question: _Question, answer: _Answer) -> None:
        make, about = question
        outer = self._reads, self._asked
        self._reads, self._asked = set(), {}
        try:
            value = make(self._view, *about)
            answer.reads, answer.asked = self._reads, self._asked
        except BaseException:
            # a round that ends half way leaves nothing to build on
            self._answers.clear()
            raise
        finally:
            self._reads, self._asked = outer
        answer.gather()
        if answer.changed < 0 or answer.value != value:
            answer.value, answer.changed = value, self._round


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
    ran = {id(branch.running): branch for branch in old.solved.normal}
    runs = {id(branch.running): branch for branch in new.solved.normal}
    for sweep in ran.keys() ^ runs.keys():
        yield "solved", None
        for key in (ran.get(sweep) or runs[sweep]).tree.island.order:
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
        # of all that it holds rules read only how things run
        self.recall.note(("solved", None))
        return self._study.solved
