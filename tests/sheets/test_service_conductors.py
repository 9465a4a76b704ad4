"""A service joined by bus says so wherever its conductors are looked for."""

from pathlib import Path

from published.permit_answers import run
from sheets.printed import printed, words

from ampacre.rules.review import Review
from ampacre.sheets.basis import basis_sheets
from ampacre.sheets.grounding_sheets import grounding_sheets
from ampacre.sheets.run_schedule import run_schedule
from ampacre.store.file import load
from ampacre.study.study import Study

SAMPLE = load(Path(__file__).parents[2] / "samples" / "harrow_orchard_upgraded.ampacre")


def test_a_joint_by_bus_is_named_on_diagram_and_schedule():
    study = Study(SAMPLE)
    assert "M1 to S1 (N) joint by bus" in words(run_schedule(study, Review(study)))
    assert "M2 to S2 (E) joint by bus" in words(run_schedule(study, Review(study)))
    said = printed(study)["One-line diagram"]
    assert "main 400 A, 22 kA; joint by bus" in said
    assert "main 150 A, 10 kA; joint by bus" in said


def test_nothing_is_assumed_of_conductors_that_are_not_there():
    assert "M2 to S2" not in words(basis_sheets(Study(SAMPLE)))


def test_the_grounding_schedule_says_what_stands_for_the_service_conductors():
    said = words(grounding_sheets(Study(SAMPLE)))
    assert "S1 joint by bus; by load 700 AL 2 rods" in said
    assert "what its load would need, as it is joined by bus" in said


def test_conductors_that_are_there_are_printed():
    project = run(
        "run-m1-s1", length_m=3.0, conductors__size="600", conductors__material="al",
        conductors__sets=1, conductors__neutral="350", conductors__insulation="XHHW-2",
    )(SAMPLE)  # fmt: skip
    study = Study(project)
    assert "M1 to S1 (N) 2-600 AL XHHW-2, 350 N" in words(run_schedule(study, Review(study)))
    assert "S1 600 AL 2 rods" in words(grounding_sheets(study))


def test_conductors_that_nobody_has_read_are_not_read():
    study = Study(run("run-m2-s2", length_m=3.0)(SAMPLE))
    assert "M2 to S2 (E) wire not read" in words(run_schedule(study, Review(study)))
