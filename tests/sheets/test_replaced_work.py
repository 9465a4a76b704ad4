"""What comes in place of what stood there is called replaced, not reused, on every sheet."""

from pathlib import Path

import pytest
from sheets.printed import printed, words

from ampacre.model.former import replaced
from ampacre.rules.review import Review
from ampacre.sheets.equipment_list import equipment_list
from ampacre.sheets.panel_schedule import panel_schedules
from ampacre.sheets.run_schedule import run_schedule
from ampacre.sheets.scope import scope_of_work
from ampacre.store.file import load
from ampacre.study.study import Study

SAMPLE = load(Path(__file__).parents[2] / "samples" / "harrow_orchard_upgraded.ampacre")


@pytest.fixture(scope="module")
def study():
    project = SAMPLE
    for key in ("barn", "run-barn-bh"):
        project = project.apply(replaced(project, key))
    return Study(project)


def test_the_diagram_and_its_legend_call_it_replaced():
    chapters = printed(Study(SAMPLE))
    assert "T1 (replaced)" in chapters["One-line diagram"]
    assert "(replaced) new for old" in chapters["Legend"]
    assert "T1 is replaced: before, transformer 75 kVA; now, transformer 100 kVA." in (
        " ".join(scope_of_work(Study(SAMPLE)))
    )


def test_schedules_call_it_replaced(study):
    assert "Panel Press barn (replaced)" in words(panel_schedules(study))
    assert "(replaced) Unit heater" in words(panel_schedules(study))
    assert "Press barn to Unit heater (replaced)" in words(run_schedule(study, Review(study)))
    assert "Press barn (replaced) panel" in words(equipment_list(study, Review(study)))


def test_the_scope_tells_replaced_from_reused(study):
    said = " ".join(scope_of_work(study))
    assert (
        "Replaced: 1 panel (Press barn bus 200 A, main not read) and 1 transformer (T1 100 kVA)."
    ) in said
    assert "Runs of reused material: F-1" in said


def test_reused_wire_stays_reused():
    assert "F-1: S1 to ATS (reused)" in words(run_schedule(Study(SAMPLE), Review(Study(SAMPLE))))
