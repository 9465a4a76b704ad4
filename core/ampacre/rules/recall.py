"""What rules read of a study, so that they are asked again only where some of it has changed.

A question is a function of the study with hashable arguments. While it is answered, all that it
reads is noted; after an edit the answer stands as long as none of that is another object, and
nothing that it asked in turn is answered otherwise.
"""

from collections.abc import (
    Callable,
    Hashable,
    ItemsView,
    Iterable,
    Iterator,
    Mapping,
    ValuesView,
)
from functools import wraps
from itertools import compress
from operator import is_not
from typing import Any, Final, Generic, NamedTuple, TypeVar, TypeVarTuple, cast

from ampacre.model import records as r
from ampacre.model.network import Island, Network
from ampacre.model.project import TABLES, Project, TableName
from ampacre.study.facts import EquipmentFacts, RacewayFacts, RunFacts, Voltage
from ampacre.study.solve import Solved
from ampacre.study.study import Found, Study

__all__ = ["Recall", "recalled"]

T = TypeVar("T")
Ids = TypeVarTuple("Ids")

_Read = tuple[str, str | None]
"""What was read: of a table one record by its id, or (None) all that there is.

Which ids there are is read of a table by the name of `_ids_in` it.
"""
_Question = tuple[Callable[..., Any], tuple[Hashable, ...]]


class _Answer:
    """An answer with all that was read and asked for it, the answers that use it, and how it stands.

    `changed` is the round in which it last came out new. It is `unsure` while something that it
    rests on may have changed, and `stale` while something that it read itself has.
    """

    __slots__ = ("asked", "changed", "question", "reads", "stale", "unsure", "users", "value")

    def __init__(self, question: _Question) -> None:
        self.question = question
        self.value: Any = None
        self.reads: set[_Read] = set()
        self.asked: dict[_Question, _Answer] = {}
        self.users: set[_Answer] = set()
        self.changed = -1
        self.unsure = self.stale = True


class Recall:
    """Answers to questions about a study that is followed from edit to edit, one round for each.

    `study` is the study of this round as rules see it.
    An answer lives as long as another uses it that was wanted in this round or the last. So at the
    beginning of a round all that live were right in the last, and only those that rest on what
    changed since are unsure.
    """

    def __init__(self, study: Study) -> None:
        self._answers: dict[_Question, _Answer] = {}
        self._readers: dict[_Read, set[_Answer]] = {}
        self._loose: list[_Answer] = []
        self._reads: set[_Read] = set()
        self._asked: dict[_Question, _Answer] = {}
        self._last_asked = self._asked
        self._round = 0
        self._begin(study)

    def follow(self, study: Study) -> None:
        """Begin another round with the study as it is now, the same one or another."""
        before = self._seen
        self._forget()
        self._round += 1
        self._begin(study)
        for read in _differences(before, self._seen):
            for answer in self._readers.get(read, ()):
                answer.stale = True
                _doubt(answer)

    def _begin(self, study: Study) -> None:
        self._seen = _Seen(
            study.project, study.standing, study.found, study.network, study.islands, study.solved
        )
        self.study = cast("Study", _View(study, self))

    def _forget(self) -> None:
        """Forget what nobody wanted in this round or the last, and no other answer uses."""
        loose = [*self._last_asked.values(), *self._loose]
        while loose:
            answer = loose.pop()
            question = answer.question
            wanted = answer.users or question in self._asked
            if not wanted and self._answers.get(question) is answer:
                del self._answers[question]
                loose += self._leave(answer)
        self._loose = []
        self._last_asked, self._asked = self._asked, {}

    def note(self, read: _Read) -> None:
        """Note what the question that is being answered reads."""
        self._reads.add(read)

    def ask(self, make: Callable[..., T], *about: Hashable) -> T:
        """Give `make(study, *about)`, anew only if what it rested on has changed."""
        question = (make, about)
        answer = self._answers.get(question)
        if answer is None:
            answer = self._answers[question] = _Answer(question)
        if answer.unsure:
            self._settle(answer)
        self._asked[question] = answer
        value: T = answer.value
        return value

    def _settle(self, answer: _Answer) -> None:
        if answer.stale or self._is_answered_otherwise(answer.asked.values()):
            self._make(answer)
        answer.unsure = answer.stale = False

    def _is_answered_otherwise(self, asked: Iterable[_Answer]) -> bool:
        # in the order in which they were asked: what came first decided whether to ask the next
        for answer in asked:
            if answer.unsure:
                self._settle(answer)
            if answer.changed == self._round:
                return True
        return False

    def _make(self, answer: _Answer) -> None:
        make, about = answer.question
        outer = self._reads, self._asked
        self._reads, self._asked = set(), {}
        try:
            value = make(self.study, *about)
            self._loose += self._leave(answer)
            self._enter(answer, self._reads, self._asked)
        except BaseException:
            # a round that ends half way leaves nothing to build on
            self._answers.clear()
            self._readers.clear()
            raise
        finally:
            self._reads, self._asked = outer
        if answer.changed < 0 or answer.value != value:
            answer.value, answer.changed = value, self._round

    def _enter(self, answer: _Answer, reads: set[_Read], asked: dict[_Question, _Answer]) -> None:
        answer.reads, answer.asked = reads, asked
        for read in reads:
            readers = self._readers.get(read)
            if readers is None:
                self._readers[read] = {answer}
            else:
                readers.add(answer)
        for each in asked.values():
            each.users.add(answer)

    def _leave(self, answer: _Answer) -> Iterable[_Answer]:
        """Take an answer off what it read and asked, and give what it asked."""
        for read in answer.reads:
            readers = self._readers[read]
            readers.discard(answer)
            if not readers:
                del self._readers[read]
        for each in answer.asked.values():
            each.users.discard(answer)
        return answer.asked.values()


def _doubt(answer: _Answer) -> None:
    """Make an answer unsure, and all that use it."""
    waiting = [answer]
    while waiting:
        one = waiting.pop()
        if not one.unsure:
            one.unsure = True
            waiting += one.users


def recalled(make: Callable[[Study, *Ids], T]) -> Callable[[Study, *Ids], T]:
    """Let a function of a study keep its answers while rules are asked; arguments are ids."""

    @wraps(make)
    def asked(study: Study, *about: *Ids) -> T:
        if isinstance(study, _View):
            answer: T = study.recall.ask(make, *about)
            return answer
        return make(study, *about)

    return asked


_STANDING: Final[tuple[TableName, ...]] = ("equipment", "runs")
"""Tables of which not all stands at every stage."""


class _Seen(NamedTuple):
    """All of a study that can be read."""

    project: Project
    standing: Project
    found: Found
    network: Network
    islands: tuple[Island, ...]
    solved: Solved


def _differences(old: _Seen, new: _Seen) -> Iterator[_Read]:
    for table in TABLES:
        yield from _between(table, old.project.table(table), new.project.table(table))
    for table in _STANDING:
        old_table, new_table = old.standing.table(table), new.standing.table(table)
        yield from _between(f"standing {table}", old_table, new_table)
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
        yield "voltages", (ran.get(sweep) or runs[sweep]).tree.island.root


def _between(name: str, old: Mapping[str, object], new: Mapping[str, object]) -> Iterator[_Read]:
    if old is new:
        return
    if list(old) == list(new):
        altered = list(compress(new, map(is_not, old.values(), new.values())))
    else:
        altered = [key for key, value in new.items() if old.get(key) is not value]
        altered += old.keys() - new.keys()
        yield _ids_in(name), None
    for key in altered:
        yield name, key
    if altered:
        yield name, None


def _ids_in(table: str) -> str:
    return f"ids in {table}"


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
        self._recall.note((_ids_in(self._name), None))
        return iter(self._table)

    def __len__(self) -> int:
        self._recall.note((_ids_in(self._name), None))
        return len(self._table)

    def values(self) -> ValuesView[T]:
        self._recall.note((self._name, None))
        return self._table.values()

    def items(self) -> ItemsView[str, T]:
        self._recall.note((self._name, None))
        return self._table.items()


class _View:
    """A study as rules see it: it says the same and notes what they read."""

    def __init__(self, study: Study, recall: Recall) -> None:
        self.recall = recall
        self._study = study
        self._islands = study.islands
        tables = {name: _Table(name, table, recall) for name, table in study.project.tables()}
        self.project = Project(**tables)
        standing: dict[str, Any] = {
            name: _Table(f"standing {name}", study.standing.table(name), recall)
            for name in _STANDING
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

    def voltages(self, root: str) -> Mapping[str, Voltage]:
        self.recall.note(("voltages", root))
        return self._study.voltages(root)

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
        return self._islands

    @property
    def solved(self) -> Solved:
        # of all that it holds rules read only how things run
        self.recall.note(("solved", None))
        return self._study.solved
