"""Starting points are sound, complete enough to be computed, and nothing is wrong with them."""

import pytest

from ampacre.model import records as r
from ampacre.model.soundness import problems
from ampacre.model.templates import TEMPLATES
from ampacre.rules.review import Review
from ampacre.store.file import decode, encode
from ampacre.study.study import Study


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda template: template.name)
@pytest.mark.parametrize("edition", ["2017", "2020", "2023"])
def test_a_starting_point_has_no_findings_to_put_right(template, edition):
    project = template.make()
    settings = r.Settings(id="project", name=project.settings.name, edition=edition)
    review = Review(
        Study(type(project)(**dict(project.tables()) | {"project": {"project": settings}}))
    )
    assert [review.message(found) for found in review.findings if found.severity != "advice"] == []
    assert not review.missing


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda template: template.name)
def test_a_starting_point_is_a_project_like_any_other(template):
    project = template.make()
    assert problems(project) == []
    assert decode(encode(project), "template") == project
    names = [piece.name for piece in project.equipment.values()]
    assert len(set(names)) == len(names)
    assert project.settings.address == ""
    study = Study(project)
    (island,) = study.islands
    assert len(island.order) == len(project.equipment)
    assert study.equipment(island.root).demand.calculated_va > 1000


def test_each_starting_point_is_made_afresh():
    first, second = TEMPLATES[0].make(), TEMPLATES[0].make()
    assert not first.equipment.keys() & second.equipment.keys()


def test_names_and_sentences_differ():
    assert len({template.name for template in TEMPLATES}) == len(TEMPLATES)
    assert all(template.sentence.endswith(".") for template in TEMPLATES)
