"""Answers are kept as long as nothing that they rest on has changed, and no longer."""

import pytest
from study.build import served, with_piece

from ampacre.model import records as r
from ampacre.model.edits import put, remove
from ampacre.rules.recall import Recall, recalled
from ampacre.study.study import Study


@pytest.fixture
def project():
    site = served()
    site.add(r.Load, "lamp", "p", {"legs": "A"}, va=100.0)
    site.add(r.Load, "oven", "p", {"legs": "B"}, va=1000.0)
    return site.project()


class Asking:
    """A study that is followed, with a list of what was worked out in the last round."""

    def __init__(self, project):
        self.worked_out = []
        self.study = Study(project)
        self.recall = Recall(self.study)

    def follow(self, project):
        self.worked_out.clear()
        self.study.follow(project)
        self.recall.follow(self.study)


def test_an_answer_stands_until_what_it_read_changes(project):
    asking = Asking(project)

    def load_of(study, key):
        asking.worked_out.append(key)
        return study.equipment(key).piece.va

    assert asking.recall.ask(load_of, "lamp") == 100.0
    asking.follow(with_piece(project, "oven", va=2000.0))
    assert asking.recall.ask(load_of, "lamp") == 100.0
    assert asking.worked_out == []
    asking.follow(with_piece(project, "lamp", va=200.0))
    assert asking.recall.ask(load_of, "lamp") == 200.0
    assert asking.recall.ask(load_of, "lamp") == 200.0
    assert asking.worked_out == ["lamp"]


def test_an_equal_answer_in_between_stops_the_change(project):
    asking = Asking(project)

    @recalled
    def heavy(study):
        asking.worked_out.append("heavy")
        return tuple(f.piece.id for f in study.all_equipment() if f.demand.connected_va > 500)

    def count(study):
        asking.worked_out.append("count")
        return len(heavy(study))

    many = asking.recall.ask(count)
    asking.follow(with_piece(project, "oven", va=2000.0))
    assert asking.recall.ask(count) == many
    assert asking.worked_out == ["heavy"]
    asking.follow(with_piece(project, "oven", va=10.0))
    assert asking.recall.ask(count) < many
    assert asking.worked_out == ["heavy", "count"]


def test_what_was_not_there_is_missed_when_it_comes(project):
    asking = Asking(project)

    def has_barn(study):
        return "barn" in study.project.structures

    def use_of_barn(study):
        found = study.project.structures.get("barn")
        return None if found is None else found.use

    assert (asking.recall.ask(has_barn), asking.recall.ask(use_of_barn)) == (False, None)
    barn = r.Structure(id="barn", name="Barn", use="outdoor")
    asking.follow(project.apply(put("Build", "structures", barn)))
    assert (asking.recall.ask(has_barn), asking.recall.ask(use_of_barn)) == (True, "outdoor")


def test_a_question_about_what_is_gone_is_not_asked(project):
    asking = Asking(project)

    @recalled
    def name_of(study, key):
        return study.equipment(key).piece.name

    def names(study):
        return [name_of(study, facts.piece.id) for facts in study.all_equipment()]

    assert "oven" in asking.recall.ask(names)
    asking.follow(project.apply(remove(project, ["oven"])))
    assert "oven" not in asking.recall.ask(names)


def test_what_nobody_asks_any_more_is_forgotten(project):
    asking = Asking(project)
    asked = []

    def va(study, key):
        asked.append(key)
        return study.equipment(key).piece.va

    asking.recall.ask(va, "lamp")
    asking.follow(project)
    asking.follow(project)
    asking.recall.ask(va, "lamp")
    assert asked == ["lamp", "lamp"]


def test_which_ids_there_are_and_what_stands_under_them_are_read_apart(project):
    asking = Asking(project)

    def ids(study):
        asking.worked_out.append("ids")
        return sorted(study.standing.equipment), len(study.project.equipment)

    def names(study):
        asking.worked_out.append("names")
        return [piece.name for piece in study.project.equipment.values()]

    def both():
        return asking.recall.ask(ids), asking.recall.ask(names)

    both()
    project = with_piece(project, "lamp", name="Lamp at the gate")
    asking.follow(project)
    assert "Lamp at the gate" in both()[1]
    assert asking.worked_out == ["names"]
    asking.follow(project.apply(remove(project, ["oven"])))
    assert "oven" not in both()[0][0]
    assert asking.worked_out == ["ids", "names"]


def test_without_a_recall_a_question_is_a_plain_function(project):
    @recalled
    def load(study, key):
        return study.equipment(key).piece.va

    assert load(Study(project), "lamp") == 100.0
