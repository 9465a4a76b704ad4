"""Labels that are asked for elsewhere than at dwelling units, where no structure is entered."""

import pytest
from rules.build import feeder, service
from rules.cases import standing_in

from ampacre.model import records as r
from ampacre.rules.labels import arc_flash_label, panel_fault_label, service_fault_label
from ampacre.rules.supplies import at_dwelling
from ampacre.study.study import Study

BUNDLE = {"role": "branch", "protected_at": "none"}


def house(at="Q", **panel):
    """A service panel P with a panel Q behind it; the dwelling's load hangs from one of them."""
    site = service(**panel)
    site.add(r.Panel, "Q", "P", feeder(100), bus_a=100, main_lugs=True)
    site.add(r.DwellingLoad, "H", at, BUNDLE, floor_area_m2=150)
    return site


def own(project, key):
    study = Study(project)
    return at_dwelling(study, study.equipment(key))


def test_a_panel_that_supplies_nothing_but_a_dwelling_is_its_own():
    project = house().project()
    assert own(project, "Q")
    assert own(project, "P")


def test_other_loads_beside_the_dwelling_leave_its_panel_its_own():
    site = house()
    site.add(r.Load, "L", "Q", {"role": "branch", "legs": "AB"}, category="appliance", va=3000)
    project = site.project()
    assert own(project, "Q")
    assert not own(project, "P")


def test_a_service_that_supplies_a_barn_too_is_no_dwellings():
    site = house()
    site.add(r.Panel, "B", "P", feeder(100), bus_a=100)
    site.add(r.Load, "L", "B", {"role": "branch", "legs": "AB"}, category="appliance", va=3000)
    project = site.project()
    assert own(project, "Q")
    assert not own(project, "P")
    assert not own(project, "B")


@pytest.mark.parametrize(("use", "is_own"), [("dwelling", True), ("commercial", False)])
def test_a_structure_that_is_entered_says_it(use, is_own):
    assert own(standing_in(house().project(), {"S": use}, Q="S"), "Q") is is_own


def test_labels_that_except_dwellings_are_not_asked_of_a_houses_equipment():
    """NEC 110.16(B), 110.24(A), 408.6."""
    project = house(main_a=1200, bus_a=1200).project()
    barn = standing_in(project, {"S": "farm building"}, P="S", Q="S")
    for question, key in (
        (service_fault_label, "P"),
        (arc_flash_label, "P"),
        (panel_fault_label, "Q"),
    ):
        asked = [question(study, study.equipment(key)) for study in map(Study, (barn, project))]
        assert asked == [True, False]
