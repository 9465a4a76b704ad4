"""A memo keeps what is still right and wanted, and nothing else; bays cover their island."""

from bench.property import make_property
from hypothesis import given
from strategies import projects
from study.build import with_piece

from ampacre.model import records as r
from ampacre.study.memo import Memo
from ampacre.study.study import Study


def test_a_result_is_made_anew_only_from_something_else():
    memo, made = Memo(), []

    def total(*numbers):
        made.append(numbers)
        return [sum(numbers)]

    first = memo.of("here", (1, 2), total)
    assert memo.of("here", (1, 2), total) is first
    assert memo.of("here", (2, 1), total) is first, "an equal result gives way to the old one"
    assert memo.of("here", (2, 2), total) == [4]
    assert made == [(1, 2), (2, 1), (2, 2)]


def test_what_two_walks_did_not_want_is_forgotten():
    memo, made = Memo(), []
    memo.of("here", (1,), made.append)
    memo.turn()
    memo.of("here", (1,), made.append)
    memo.turn()
    memo.turn()
    memo.of("here", (1,), made.append)
    assert made == [1, 1]


def test_a_copy_goes_its_own_way():
    memo = Memo()
    memo.within("part").of("here", (1,), str)
    other = memo.copy()
    assert other.within("part").of("here", (2,), str) == "2"
    assert memo.within("part").of("here", (1,), lambda _: "anew") == "1"


def test_a_study_does_not_grow_with_edits():
    project = make_property(60, seed=5)
    key = next(key for key, piece in project.equipment.items() if isinstance(piece, r.Load))
    study = Study(project)

    def kept():
        return sum(1 for _ in places(study._memo))

    def places(memo):
        for _, result in (*memo._kept.values(), *memo._before.values()):
            yield result
            if isinstance(result, Memo):
                yield from places(result)

    sizes = []
    for at in range(12):
        study.follow(with_piece(project, key, va=100.0 + at))
        sizes.append(kept())
    assert sizes[-1] <= sizes[3]


@given(projects())
def test_bays_cover_their_island_once_and_stand_behind_what_they_hang_from(project):
    for branch in Study(project).solved.normal:
        seen = set()
        for part in branch.parts:
            assert part.bay.above is None or part.bay.above in seen
            assert seen.isdisjoint(part.bay.keys)
            seen.update(part.bay.keys)
        assert seen == set(branch.tree.island.order)
