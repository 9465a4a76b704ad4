"""Labels, working space and site checks: by the rulebook, with what was answered on site."""

from pathlib import Path

from sheets.estates import estate

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.rules.review import Review
from ampacre.sheets.basis import finding_sheets
from ampacre.sheets.placards import placards
from ampacre.sheets.site_checks import site_checks, working_space
from ampacre.store.file import load
from ampacre.study.study import Study

SAMPLES = Path(__file__).parents[2] / "samples"


def _study(name="harrow_orchard", **tables):
    project = load(SAMPLES / f"{name}.ampacre")
    study = Study(Project(**dict(project.tables()) | tables))
    Review(study)
    return study


def _rows(parts):
    return [row for table in parts for row in table.rows]


def _answer(question, where, note="", **signed):
    return {"a": r.Answer(id="a", question=question, where=where, value="yes", note=note, **signed)}


def test_a_number_that_no_source_confirms_says_so_on_the_labels_too():
    asked = {row[1].split(".")[0]: row[2] for row in _rows(placards(_study(), "2026-03-01"))}
    assert asked["SERVICE DISCONNECT"] == "NEC 2023 230.70(B)"
    assert asked["TRANSFER SWITCH, TWO SOURCES"] == "NEC 2023 702.7 (number not confirmed)"
    assert asked["WARNING: POWER SOURCE OUTPUT CONNECTION"] == "NEC 2023 705.12(B)"


def test_fault_labels_stand_where_the_code_wants_them():
    labels = _rows(placards(_study(), "2026-03-01"))
    marked = {row[0] for row in labels if row[1].startswith("MAXIMUM AVAILABLE FAULT CURRENT")}
    assert "S1" in marked and "Farmhouse" not in marked
    text = next(row[1] for row in labels if row[0] == "S1" and row[1].startswith("MAXIMUM"))
    assert text == "MAXIMUM AVAILABLE FAULT CURRENT 10.77 kA. CALCULATED 2026-03-01"


def test_series_ratings_get_their_caution():
    runs = dict(load(SAMPLES / "harrow_orchard.ampacre").runs)
    device = r.Device(rating_a=150.0, interrupting_ka=10.0, series_ka=22.0)
    runs["run-s1-barn"] = r.Run(id="run-s1-barn", source="s1", target="barn", device=device)
    labels = _rows(placards(_study(runs=runs), "2026-03-01"))
    assert any("SERIES COMBINATION SYSTEM RATED 22 kA" in row[1] for row in labels)


def test_working_space_tells_depth_and_what_was_seen():
    rows = _rows(working_space(_study(answers=_answer("space-in-front", "s1", "44 in"))))
    s1 = next(row for row in rows if row[0] == "S1")
    assert s1[1:3] == ("120 V", "3 ft") and s1[5] == "yes: 44 in"
    assert next(row for row in rows if row[0] == "S2")[5] == ""


def test_an_answer_takes_its_place_out_of_the_open_ones():
    question = "Is the highest handle no more than 6 ft 7 in above the floor or platform?"

    def asked(study):
        return [(row[1], row[3]) for row in _rows(site_checks(study)) if row[0] == question]

    ((places, seen),) = asked(_study())
    assert "S1" in places and seen == ""
    answered = asked(_study(answers=_answer("device-handle-height", "s1")))
    assert ("S1", "yes") in answered
    assert not any("S1" in places for places, seen in answered if not seen)


def test_an_answer_is_printed_with_who_saw_it_and_when():
    def seen(**signed):
        answers = _answer("device-handle-height", "s1", "6 ft", **signed)
        parts = _rows(site_checks(_study(answers=answers)))
        return next(row[3] for row in parts if row[1] == "S1" and row[3])

    assert seen(who="R. Hale", when="2026-03-01") == "yes: 6 ft (R. Hale, 2026-03-01)"
    assert seen(when="2026-03-01") == "yes: 6 ft (2026-03-01)"
    study = _study(answers=_answer("space-in-front", "s1", who="R. Hale", when="2026-03-01"))
    assert next(row for row in _rows(working_space(study)) if row[0] == "S1")[5] == (
        "yes (R. Hale, 2026-03-01)"
    )
    listed = next(
        part for part in finding_sheets(study, Review(study)) if part.title == "Answered on site"
    )
    assert [row[2:] for row in listed.rows] == [("yes", "", "R. Hale, 2026-03-01")]


def test_a_property_without_gear_has_no_such_tables():
    study = Study(Project())
    Review(study)
    for parts in (working_space(study), placards(study, "2026-03-01")):
        assert _rows(parts) == []


def test_every_check_names_a_place():
    study = Study(estate(3, 30))
    Review(study)
    assert all(row[1] for row in _rows(site_checks(study)))
