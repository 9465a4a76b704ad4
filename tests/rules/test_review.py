"""The review as a whole: order, messages, citations, acceptance, and remedies of any project."""

import re
from pathlib import Path

import pytest
from hypothesis import given
from rules.build import altered, branch, service
from strategies import projects

from ampacre.codebook.articles import EDITIONS, cite
from ampacre.model import records as r
from ampacre.model.edits import put
from ampacre.rules.review import SEVERITIES, Review
from ampacre.rules.rule import RULES
from ampacre.store.file import load
from ampacre.study.study import Study

SAMPLES = Path(__file__).parents[2] / "samples"


def reviewed(project):
    return Review(Study(project))


@pytest.fixture(scope="module")
def shipped():
    return reviewed(load(SAMPLES / "harrow_orchard.ampacre"))


@pytest.mark.parametrize("key", sorted(RULES))
def test_every_rule_says_what_it_checks_and_from_where(key):
    rule = RULES[key]
    assert re.fullmatch(r"[a-z]+(-[a-z]+)+", key)
    assert rule.title and not rule.title.endswith(".")
    assert len(rule.explanation) > 60
    for edition in EDITIONS:
        assert cite(rule.cite, edition)
    # a citation is a topic of the codebook, or words that name a document or common practice
    words = cite(rule.cite, "2023") == rule.cite
    assert not words or "NEC" in rule.cite or " " in rule.cite


def test_as_shipped_the_orchard_has_these_findings(shipped):
    study = shipped.study
    names = {key: piece.name for key, piece in study.project.equipment.items()}
    names |= {key: run.name or f"> {names[run.target]}" for key, run in study.project.runs.items()}
    grave = {(f.rule, names[f.where]) for f in shipped.findings if f.severity != "advice"}
    assert grave == {
        ("utility-transformer-over-nameplate", "T1"),
        ("meter-carries-load", "M1"),
        ("panel-main-carries-load", "S1"),
        ("run-device-interrupts", "F-1"),
        ("run-device-interrupts", "F-2"),
        ("run-device-interrupts", "F-3"),
        ("run-device-carries-load", "F-2"),
        ("wire-carries-load", "F-2"),
        ("charger-within-device", "C3"),
        ("wire-protected", "F-3"),
        ("structure-has-grounding-wire", "F-1"),
        ("no-second-bond", "Farmhouse"),
        ("generator-carries-transferred-load", "Standby set"),
    }
    advised = {(f.rule, names[f.where]) for f in shipped.findings if f.severity == "advice"}
    assert advised >= {
        ("feeder-drop-within-limit", "F-1"),
        ("feeder-drop-within-limit", "F-2"),
        ("feeder-drop-within-limit", "F-3"),
        ("ground-fault-clears", "F-3"),
    }


def test_upgraded_the_orchard_keeps_advice_alone():
    upgraded = reviewed(load(SAMPLES / "harrow_orchard_upgraded.ampacre"))
    assert {finding.severity for finding in upgraded.findings} == {"advice"}
    ground = next(f for f in upgraded.findings if f.rule == "ground-fault-clears")
    assert ground.values["times"] == pytest.approx(3.0, rel=0.01)


def test_findings_go_from_the_gravest_down_and_always_alike(shipped):
    ranks = [SEVERITIES.index(finding.severity) for finding in shipped.findings]
    assert ranks == sorted(ranks)
    again = reviewed(shipped.study.project)
    assert again.findings == shipped.findings
    turned = altered(shipped.study.project, "project", "project", notes="read once more")
    assert reviewed(turned).findings == shipped.findings


def test_findings_are_found_at_their_place(shipped):
    everywhere = [
        found for where in {f.where for f in shipped.findings} for found in shipped.of(where)
    ]
    assert len(everywhere) == len(shipped.findings)
    assert shipped.of("nowhere") == ()
    assert shipped.worst("nowhere") is None


def overset():
    site = service()
    site.add(r.Charger, "C", "P", branch(50), nameplate_a=48.0, setting_a=48.0, setting_locked=True)
    return site.project()


def test_an_accepted_finding_stays_and_is_no_longer_the_worst():
    project = overset()
    (finding,) = reviewed(project).of("C")
    assert reviewed(project).worst("C") == "violation"
    record = r.Accepted(id="a1", rule=finding.rule, where="C", reason="unit is going", who="owner")
    accepted = reviewed(project.apply(put("Accept", "accepted", record)))
    assert accepted.accepted(finding) == record
    assert accepted.of("C") == (finding,)
    assert accepted.worst("C") is None


def test_an_acceptance_holds_for_its_place_alone():
    record = r.Accepted(id="a1", rule="charger-within-device", where="P", reason="elsewhere")
    review = reviewed(overset().apply(put("Accept", "accepted", record)))
    (finding,) = review.of("C")
    assert review.accepted(finding) is None


def test_messages_are_in_the_projects_units():
    project = load(SAMPLES / "harrow_orchard.ampacre")
    drop = next(
        f for f in reviewed(project).findings if f.rule == "feeder-drop-within-limit"
    )  # fmt: skip
    assert " over 310 ft at " in reviewed(project).message(drop)
    metric = reviewed(altered(project, "project", "project", units="metric"))
    assert " over 94.5 m at " in metric.message(drop)


def test_citations_are_of_the_projects_edition():
    (finding,) = reviewed(overset()).of("C")
    assert reviewed(overset()).cite(finding) == "NEC 2023 625.41"
    older = reviewed(altered(overset(), "project", "project", edition="2017"))
    assert older.cite(finding).startswith("NEC 2017 625.41")


def test_missing_inputs_are_listed_with_their_place():
    project = altered(overset(), "equipment", "C", nameplate_a=None, setting_a=None)
    texts = [missing.text for missing in reviewed(project).missing if missing.where == "C"]
    assert texts == ["nameplate current of the charger: read it off"]
    assert reviewed(project).of("C") == ()


def test_what_one_element_lacks_is_one_line():
    project = altered(overset(), "equipment", "P", bus_a=None, main=r.Device())
    project = altered(project, "runs", "P-C", conductors=r.Conductors(), device=None)
    lines = {missing.where: missing.text for missing in reviewed(project).missing}
    assert (
        lines["P"] == "bus rating on the panel's label and rating of the main device: read them off"
    )
    assert (
        lines["P-C"]
        == "rating of the device at its supply end; conductor size; grounding conductor"
    )
    places = [missing.where for missing in reviewed(project).missing]
    assert len(places) == len(set(places))


def test_following_another_version_is_a_review_from_nothing(shipped):
    review = reviewed(overset())
    review.follow(shipped.study)
    assert review.findings == shipped.findings
    assert review.missing == shipped.missing


@given(projects())
def test_any_project_can_be_reviewed_and_every_remedy_clears_its_finding(project):
    review = reviewed(project)
    for finding in review.findings:
        assert review.message(finding)
        assert review.cite(finding)
        for edit in review.remedies(finding):
            after = project.apply(edit)
            assert finding.key not in [found.key for found in reviewed(after).findings]
            assert after.apply(edit.inverse()) == project
