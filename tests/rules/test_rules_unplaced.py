"""Equipment at the end of a long run of which nobody said what structure it stands in."""

import pytest
from rules.build import branch, feeder, fine, message, of_rule, remedied, service
from rules.cases import standing_in

from ampacre.model import records as r
from ampacre.rules.review import Review
from ampacre.study.study import Study

RULE = "structure-entered"
FT = 0.3048


def farm(length_m=300 * FT, **run):
    """A board P with a barn B at the end of a long feeder, and a shed C behind it."""
    site = service()
    site.add(r.Panel, "B", "P", feeder(100, length_m=length_m, **run), bus_a=125)
    site.add(r.Panel, "C", "B", feeder(60, length_m=80 * FT), bus_a=125)
    return site


def places(project):
    return [finding.where for finding in of_rule(project, RULE)]


def test_a_long_feeder_to_a_panel_that_stands_nowhere_is_said_once():
    project = farm().project()
    assert places(project) == ["B"]
    assert message(project, RULE).startswith("B is 300 ft from P: enter the structure that it")


def test_what_is_near_or_indoors_needs_no_structure():
    site = farm(place="indoors")
    site.runs["B-C"] = r.Run(id="B-C", source="B", target="C", length_m=50 * FT)
    fine(site.project(), RULE)


def test_the_next_one_is_said_when_the_first_is_entered():
    project = standing_in(farm().project(), {"barn": "farm building", "yard": "outdoor"}, B="barn")
    assert places(project) == ["C", "P"]
    placed = standing_in(project, {"barn": None, "yard": None}, B="barn", P="yard", C="yard")
    fine(placed, RULE)


def test_a_board_that_stands_nowhere_and_feeds_a_structure_is_asked_for():
    project = standing_in(farm().project(), {"barn": "farm building"}, B="barn", C="barn")
    assert message(project, RULE).startswith("P feeds B in barn, 300 ft away")
    # what that keeps from being checked: the barn's disconnect and electrodes
    said = {finding.rule for finding in Review(Study(project)).findings}
    both = standing_in(project, {"barn": "farm building", "yard": "outdoor"}, P="yard")
    more = {finding.rule for finding in Review(Study(both)).findings} - said
    assert "structure-uses-entered" in more or "structure-has-electrodes" in more


def test_the_remedy_enters_a_structure_for_what_stands_there():
    site = farm()
    site.add(r.Panel, "D", "B", feeder(60, length_m=5.0), bus_a=125)
    project = site.project()
    remedied(project, RULE, "Enter a structure for B and what stands there")
    (finding,) = of_rule(project, RULE)
    (edit,) = Review(Study(project)).remedies(finding)
    after = project.apply(edit)
    (structure,) = after.structures.values()
    assert structure.name == "B"
    stands = {key: piece.structure for key, piece in after.equipment.items()}
    assert stands["B"] == stands["D"] == structure.id
    assert stands["C"] is stands["P"] is None


def test_pedestals_in_a_row_are_one_line_and_one_spot():
    site = service()
    for number in range(1, 5):
        site.add(r.Pedestal, f"E{number}", "P", branch(30, length_m=(40 + 40 * number) * FT))
    project = site.project()
    assert places(project) == ["E1"]
    assert "E1, E2, E3 and more are" in message(project, RULE)
    (edit,) = Review(Study(project)).remedies(of_rule(project, RULE)[0])
    after = project.apply(edit)
    assert len({after.equipment[f"E{number}"].structure for number in range(1, 5)}) == 1


@pytest.mark.parametrize("role", ["branch", "feeder"])
def test_the_way_counts_through_splices_that_stand_nowhere(role):
    site = service()
    site.add(r.Junction, "J", "P", feeder(100, length_m=40 * FT))
    site.add(
        r.Panel, "B", "J", {"role": role, "protected_at": "none", "length_m": 20 * FT}, bus_a=125
    )
    assert message(site.project(), RULE).startswith("B is 60 ft from P")


def test_a_service_lateral_is_no_feeder():
    site = service()
    site.runs["T-P"] = r.Run(id="T-P", source="T", target="P", role="service", length_m=100.0)
    fine(site.project(), RULE)
