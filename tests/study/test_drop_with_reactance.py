"""What reactance would add to a design drop is told, and compared with no limit."""

import pytest
from study.build import served, wires

from ampacre.model import records as r
from ampacre.rules.review import Review
from ampacre.sheets.run_schedule import run_schedule
from ampacre.sheets.table import Notes
from ampacre.study.study import Study

LABEL = "With reactance, were the load at a power factor of 0.85"


def feeder(size, material="al", amperes=100.0, length_m=90.0):
    site = served()
    conductors = wires(size, size, "4", material=material)
    run = {"length_m": length_m, "conductors": conductors, "raceway": "pvc", "place": "yard"}
    site.add(r.Panel, "q", "p", run | {"device": r.Device(rating_a=400)}, bus_a=400.0)
    site.add(
        r.Load, "l", "q", {"role": "branch", "legs": "AB", "length_m": 3.0}, va=amperes * 240,
        continuous=False,
    )  # fmt: skip
    return Study(site.project())


@pytest.mark.parametrize(
    ("size", "material", "r_ohm", "x_ohm"),
    # NEC Chapter 9 Table 9, PVC, ohm per 1000 ft
    [("600", "al", 0.036, 0.039), ("4/0", "al", 0.10, 0.041), ("500", "cu", 0.027, 0.039)],
)
def test_the_drop_is_r_cos_and_x_sin(size, material, r_ohm, x_ohm):
    facts = feeder(size, material).run("p-q")
    effective = (r_ohm * 0.85 + x_ohm * 0.5268) / r_ohm
    assert facts.lagging_drop_pct == pytest.approx(facts.drop_pct * effective, rel=1e-3)


def test_the_worksheet_tells_by_how_much_more():
    # 600 kcmil aluminum: (0.036 x 0.85 + 0.039 x 0.527) / 0.036 = 1.42
    facts = feeder("600").run("p-q")
    (line,) = [line for line in facts.worksheet.lines if line.label == LABEL]
    assert "42 % more" in line.note
    assert line.result == pytest.approx(facts.lagging_drop_pct * 2.4)
    assert "Table 9" in line.cite


def test_of_small_conductors_there_is_nothing_to_tell():
    # 2 AWG aluminum: 0.32 x 0.85 + 0.045 x 0.527 is less than 0.32
    facts = feeder("2").run("p-q")
    assert facts.lagging_drop_pct < facts.drop_pct
    assert LABEL not in [line.label for line in facts.worksheet.lines]


def test_a_run_of_unknown_length_has_none():
    assert feeder("600", length_m=None).run("p-q").lagging_drop_pct is None


def test_the_run_schedule_has_a_note_of_those_that_it_would_raise():
    def notes(study):
        parts = run_schedule(study, Review(study))
        return [part for part in parts if isinstance(part, Notes)]

    (note,) = notes(feeder("600", amperes=300.0))
    assert "power factor of 0.85" in note.paragraphs[0]
    assert "%" in note.paragraphs[0]
    assert notes(feeder("2")) == []
