"""The rulebook by its cases: each rule broken by a physical change, mended, and remedied."""

import pytest
from hypothesis import given
from rules import (
    cases_conductors,
    cases_devices,
    cases_grounding,
    cases_machines,
    cases_outlets,
    cases_seen,
    cases_services,
    cases_structures,
    cases_systems,
)
from rules.build import of_rule
from rules.cases import check
from strategies import projects

from ampacre.codebook.articles import EDITIONS, cite
from ampacre.model.edits import remove
from ampacre.model.project import Refused
from ampacre.rules.questions import QUESTIONS, answered, open_questions
from ampacre.rules.review import Review
from ampacre.rules.rule import RULES
from ampacre.study.study import Study

TABLES = [
    cases_conductors, cases_devices, cases_grounding, cases_machines, cases_outlets, cases_seen,
    cases_services, cases_structures, cases_systems,
]  # fmt: skip
CASES = [case for table in TABLES for case in table.CASES]
ASKED = [asked for table in TABLES for asked in table.ASKED]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.rule)
def test_a_rule_finds_what_breaks_it_and_its_remedies_clear_it(case):
    check(case)


def open_at(project, question):
    study = Study(project)
    return {each.where for each in open_questions(study) if each.question == question}


@pytest.mark.parametrize("asked", ASKED, ids=lambda asked: asked.question)
def test_a_question_is_asked_where_it_applies_and_no_is_a_finding(asked):
    project, key, where = asked.site(), asked.question, asked.where
    assert where in open_at(project, key)
    assert where not in open_at(asked.unasked(project), key)
    assert of_rule(project, key) == []
    assert asked.section in cite(RULES[key].cite, project.settings.edition)
    no = project.apply(answered(project, key, where, "no", "seen in May"))
    assert [finding.where for finding in of_rule(no, key)] == [where]
    assert of_rule(asked.unasked(no), key) == []
    review = Review(Study(no))
    (finding,) = of_rule(no, key)
    assert "Answered no: seen in May." in review.message(finding)
    assert QUESTIONS[key].text in review.message(finding)
    assert where not in {each.where for each in review.questions if each.question == key}
    yes = no.apply(answered(no, key, where, "yes"))
    assert of_rule(yes, key) == []
    assert where not in open_at(yes, key)
    unknown = project.apply(answered(project, key, where, "unknown"))
    assert of_rule(unknown, key) == []
    texts = [missing.text for missing in Review(Study(unknown)).missing if missing.where == where]
    assert f"answered unknown: {QUESTIONS[key].text}" in texts


STATED = [asked for asked in ASKED if asked.stated is not None]


@pytest.mark.parametrize("asked", STATED, ids=lambda asked: asked.question)
def test_what_the_drawing_states_stands_for_an_answer(asked):
    project = asked.site()
    says_no = asked.stated(project)
    assert asked.where not in open_at(says_no, asked.question)
    assert [f.where for f in of_rule(says_no, asked.question)] == [asked.where]
    said_yes = says_no.apply(answered(says_no, asked.question, asked.where, "yes"))
    assert [f.where for f in of_rule(said_yes, asked.question)] == [asked.where]


SEVERITIES = [told for table in TABLES for told in table.SEVERITIES]


@pytest.mark.parametrize(("rule", "site", "severity"), SEVERITIES)
def test_a_rule_is_as_grave_as_its_numbers(rule, site, severity):
    (finding,) = of_rule(site(), rule)
    assert finding.severity == severity


HERE = {
    "bonding_jumpers", "branches", "charger_circuits", "device_volts", "devices", "docks",
    "electrode_conductors", "electrodes", "emergency_disconnects", "generators",
    "grounding_paths", "identification", "labels", "metering", "motors", "overhead",
    "packaged_units", "parks", "pedestals", "people_protection", "raceways", "receptacles",
    "running_voltage", "salvage", "secondaries", "seen_at_panels", "seen_at_services",
    "seen_on_conductors", "series_ratings", "service_disconnects", "service_wires", "services",
    "shared_raceways", "solar_storage", "structure_disconnects", "structures", "supply_side",
    "surge", "taps", "tied_sources", "transformer_devices", "wire_places", "wire_sizes",
    "working_space",
}  # fmt: skip


def topic_file(function):
    return function.__module__.rpartition(".")[2]


def test_every_rule_of_these_topics_has_its_case():
    computed = {
        key
        for key, rule in RULES.items()
        if key not in QUESTIONS and topic_file(rule.check) in HERE
    }
    asked = {key for key, each in QUESTIONS.items() if topic_file(each.applies) in HERE}
    assert computed == {case.rule for case in CASES}
    assert asked == {each.question for each in ASKED}
    assert len(computed) >= 130


WITHOUT_A_SECTION = {"common practice", "meter", "SAE J1772", "voltage_range"}
"""What no section of the code says: practice, and the standards of other bodies."""


@pytest.mark.parametrize("case", [*CASES, *ASKED], ids=lambda case: case[0])
@pytest.mark.parametrize("edition", EDITIONS)
def test_a_citation_names_a_section_of_the_edition(case, edition):
    rule = RULES[case[0]]
    if rule.cite not in WITHOUT_A_SECTION:
        assert cite(rule.cite, edition).startswith(f"NEC {edition} ")


def test_a_series_rating_stands_for_the_devices_own():
    project = cases_systems.near(interrupting_ka=10.0, series_ka=22.0, series_basis="tested")
    assert of_rule(project, "run-device-interrupts") == []
    alone = cases_systems.near(interrupting_ka=10.0)
    assert [finding.where for finding in of_rule(alone, "run-device-interrupts")] == ["P-L"]


def test_an_answer_goes_with_the_place_that_it_is_about():
    project = cases_devices.plain()
    told = project.apply(answered(project, "device-handle-height", "P", "no"))
    again = told.apply(answered(told, "device-handle-height", "P", "no", "measured"))
    assert len(again.answers) == 1
    assert [finding.where for finding in of_rule(again, "device-handle-height")] == ["P"]
    assert answered(again, "device-handle-height", "P", "no", "measured").changes == ()
    gone = again.apply(remove(again, ["P"]))
    assert dict(gone.answers) == {}


def test_a_circuit_that_lends_its_neutral_may_be_taken_away():
    project = cases_devices.shared_neutral(4)
    left = project.apply(remove(project, ["P-A"]))
    assert left.runs["P-B"].neutral_with is None


@given(projects(6))
def test_any_project_has_a_checklist_of_known_places(project):
    review = Review(Study(project))
    places = {"project", *project.equipment, *project.runs}
    for each in review.questions[:40]:
        assert each.where in places
        try:
            told = project.apply(answered(project, each.question, each.where, "no"))
        except Refused:
            continue
        assert each.question in {finding.rule for finding in Review(Study(told)).of(each.where)}
