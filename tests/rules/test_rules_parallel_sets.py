"""Parallel sets that the study chose: rules and remedies count them like entered ones."""

import dataclasses

import msgspec
import pytest
from rules.build import altered, branch, broken, fine, of_rule, remedied, service

from ampacre.model import records as r
from ampacre.rules.questions import QUESTIONS
from ampacre.rules.review import Review
from ampacre.study.study import Study

FEEDER_A = 800.0


def large(*, length_m=50.0, va=150_000.0, **wires):
    """A new feeder of 800 A for which the study chooses the conductors that are left out."""
    site = service(main_a=1200, bus_a=1200, kva=500)
    site.runs["T-P"] = msgspec.structs.replace(
        site.runs["T-P"], conductors=r.Conductors(size="600", neutral="600", material="al", sets=4)
    )
    site.add(
        r.Panel, "mill", "P",
        {
            "since": "work", "role": "feeder", "device": r.Device(rating_a=FEEDER_A),
            "length_m": length_m, "conductors": r.Conductors(**wires),
        },
        since="work", bus_a=FEEDER_A,
    )  # fmt: skip
    site.add(
        r.Load, "saws", "mill", branch(FEEDER_A, since="work", length_m=5.0), since="work",
        va=va, category="appliance", continuous=False, uses_neutral=True,
    )  # fmt: skip
    return site.project()


def apart(project):
    """The project with the two panels in structures of their own."""
    homes = {key: r.Structure(id=key, name=key) for key in ("yard", "hall")}
    pieces = {
        key: msgspec.structs.replace(project.equipment[key], structure=where)
        for key, where in (("P", "yard"), ("mill", "hall"))
    }
    return dataclasses.replace(project, structures=homes, equipment=project.equipment | pieces)


def chosen(project):
    return Study(project).run("P-mill")


def test_the_study_chooses_several_sets_that_carry_the_load_and_suit_the_device():
    facts = chosen(large())
    assert (facts.sets.how, facts.run.conductors.sets) == ("chosen", None)
    # three of 350 kcmil aluminum carry 750 A, which may have the next standard device (NEC 240.4(B))
    assert (facts.sets.value, facts.size.value) == (3, "350")
    assert facts.ampacity.terminal_a == 3 * 250
    for rule in ("wire-carries-load", "wire-protected", "neutral-carries-load"):
        fine(large(), rule)


def test_an_entered_neutral_counts_once_in_each_chosen_set():
    # NEC 220.61(B): 200 A and 70 % of the other 425 A. Table 310.16 at 75 C: 3/0 aluminum carries
    # 155 A, 4/0 180 A
    fine(large(neutral="4/0"), "neutral-carries-load")
    project = large(neutral="3/0")
    finding = broken(project, "neutral-carries-load", "P-mill")
    assert finding.values["carried_a"] == 3 * 155
    assert finding.values["neutral_a"] == pytest.approx(497.5)
    remedied(project, "neutral-carries-load", "Use a 4/0 AWG neutral for the run to mill")


def test_an_entered_neutral_of_chosen_sets_is_a_wire_that_may_lie_in_parallel():
    project = large(va=90_000.0, neutral="1")
    finding = broken(project, "parallel-neutral-least-size", "P-mill")
    assert finding.values["sets"] == "3"
    remedied(project, "parallel-neutral-least-size", "Use 1/0 AWG neutrals for the run to mill")
    # what carries a small load is still as large as parallel wires must be
    little = altered(project, "runs", "P-mill", conductors=r.Conductors(neutral="10"))
    (finding,) = of_rule(little, "neutral-carries-load")
    for edit in Review(Study(little)).remedies(finding):
        neutral = little.apply(edit).runs["P-mill"].conductors.neutral
        assert neutral not in ("10", "8", "6", "4", "3", "2", "1")


def test_chosen_sets_are_asked_about_on_site():
    question = QUESTIONS["parallel-conductors-alike"]
    study = Study(large())
    assert question.applies(study, study.run("P-mill"))
    one = Study(altered(large(), "equipment", "saws", va=20_000.0))
    one = Study(altered(one.project, "runs", "P-mill", device=r.Device(rating_a=100)))
    assert not question.applies(one, one.run("P-mill"))


def test_a_grounding_conductor_is_pulled_for_the_chosen_sets():
    # NEC Table 250.122: 1/0 copper behind 800 A, full size in each raceway
    project = apart(large(grounding="none", grounding_material="cu"))
    broken(project, "structure-has-grounding-wire", "P-mill")
    (finding,) = of_rule(project, "structure-has-grounding-wire")
    (edit,) = Review(Study(project)).remedies(finding)
    after = project.apply(edit)
    assert after.runs["P-mill"].conductors.grounding == "1/0"
    assert Study(after).run("P-mill").sets.value == 3
    fine(after, "grounding-wire-large-enough")


def test_larger_conductors_keep_the_chosen_sets():
    # so far that the largest usual conductors in as many sets do not keep the limit
    project = large(length_m=155.0)
    before = chosen(project)
    finding = broken(project, "feeder-drop-within-limit", "P-mill")
    (edit,) = Review(Study(project)).remedies(finding)
    after = chosen(project.apply(edit))
    assert after.run.conductors.sets == before.sets.value == after.sets.value
    assert after.ampacity.terminal_a > before.ampacity.terminal_a
    assert after.drop_pct < before.drop_pct


def test_one_set_that_is_entered_stays_one():
    facts = chosen(large(sets=1))
    assert (facts.sets.value, facts.sets.how) == (1, "entered")
    assert facts.size.value is None


def test_what_stands_there_without_a_number_is_taken_as_one():
    facts = Study(altered(large(size="400", material="al"), "runs", "P-mill", since=None))
    facts = facts.run("P-mill")
    assert (facts.sets.value, facts.sets.how) == (1, "assumed")
