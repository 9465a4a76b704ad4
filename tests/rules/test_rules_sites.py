"""Services, structures and grounding: numbers by edition and use, exceptions, and quiet samples."""

from pathlib import Path

import pytest
from rules import cases_grounding, cases_seen, cases_services, cases_structures
from rules.build import branch, broken, feeder, fine, message, of_rule, service, wires
from rules.cases import conductors, piece, run, settings
from rules.sites import FT, barn, built, circuits, grounded, metered, several, structure

from ampacre.model import records as r
from ampacre.rules.questions import open_questions
from ampacre.rules.review import Review
from ampacre.store.file import load
from ampacre.study.study import Study

SAMPLES = Path(__file__).parents[2] / "samples"
TWO_RODS = (r.Electrode(kind="rod", count=2, spacing_m=6 * FT, length_m=8 * FT),)


def asked(project, question, where):
    """What a question says at a place where it is asked."""
    study = Study(project)
    (text,) = [q.text for q in open_questions(study) if (q.question, q.where) == (question, where)]
    return text


def disconnect_of(main_a, count=3, one_leg=False, use="farm building"):
    """The barn with a main of this rating and so many circuits."""
    site = barn(count=0, main=r.Device(rating_a=main_a))
    for number in range(1, count + 1):
        fields = branch(20) | ({"legs": "A"} if one_leg else {})
        site.add(r.Load, f"B{number}", "B", fields, va=600.0, continuous=False)
    return built(use, site=site)


@pytest.mark.parametrize(
    ("least_a", "given"),
    [
        # NEC 225.39(A) to (D)
        (15, {"count": 1}),
        (30, {"count": 2, "one_leg": True}),
        (60, {"count": 2}),
        (60, {"count": 3, "one_leg": True}),
        (100, {"use": "dwelling"}),
    ],
)
def test_the_least_disconnect_goes_by_what_it_supplies(least_a, given):
    rule = "structure-rating-enough"
    fine(disconnect_of(least_a, **given), rule)
    finding = broken(disconnect_of(least_a - 1, **given), rule, "B")
    assert finding.values["least_a"] == least_a


def test_breakers_of_a_panel_with_main_lugs_add_up():
    # 225.39 and 225.33: three breakers of 20 A make 60 A
    rule = "structure-rating-enough"
    fine(built(site=barn(main=None, main_lugs=True)), rule)
    site = barn(count=2, main=None, main_lugs=True)
    assert broken(built(site=site), rule, "B").values["rated_a"] == 40


def test_an_existing_panel_without_a_main_is_not_taken_for_main_lugs():
    project = built(site=barn(count=7, main=None))
    fine(project, "structure-disconnects-six")
    assert "whether there is a main in B" in message(project, "structure-uses-entered")
    broken(piece("B", since=r.WORK)(project), "structure-disconnects-six", "B")


@pytest.mark.parametrize(
    ("rule", "site", "editions"),
    [
        ("service-disconnects-apart", cases_services.lugs(3).project, {"2020", "2023"}),
        ("emergency-disconnect-at-service", cases_services.indoor_house, {"2020", "2023"}),
        ("emergency-disconnect-at-feeder", cases_services.fed_house, {"2023"}),
        (
            "surge-discharge-current",
            lambda: cases_services.surged(surge="type 2", surge_ka=5.0),
            {"2023"},
        ),
        (
            "feeders-of-one-panel",
            lambda: cases_structures.twice("several feeders of one panel"),
            {"2017"},
        ),
        ("arc-flash-label", cases_seen.four_eighty, {"2017", "2020", "2023"}),
    ],
)
def test_a_rule_speaks_in_the_editions_that_have_it(rule, site, editions):
    for edition in ("2017", "2020", "2023"):
        project = settings(edition=edition)(site())
        open_at = {each.question for each in open_questions(Study(project))}
        assert (bool(of_rule(project, rule)) or rule in open_at) == (edition in editions)


def test_six_breakers_in_one_panel_served_until_2017():
    older = settings(edition="2017")(cases_services.lugs(6).project())
    for rule in ("service-disconnects-six", "service-disconnects-apart"):
        fine(older, rule)
    seven = settings(edition="2017")(cases_services.lugs(7).project())
    broken(seven, "service-disconnects-six", "P")


def test_service_disconnects_that_share_an_enclosure():
    # NEC 230.71(B): each in an enclosure of its own
    project = several(2, enclosure="main board").project()
    rule = "service-disconnects-apart"
    assert "one enclosure, main board" in message(project, rule)
    (edit,) = Review(Study(project)).remedies(broken(project, rule, "D2"))
    assert edit.label == "Give D2 an enclosure of its own"
    fine(project.apply(edit), rule)


def test_two_disconnects_of_half_the_least_rating_add_up():
    # NEC 230.80: 60 A and 60 A serve where 100 A would
    site = several(2, main=r.Device(rating_a=60))
    site.add(r.DwellingLoad, "home", "Q1", {"role": "branch", "protected_at": "none"})
    fine(site.project(), "service-rating-enough")
    small = several(2, main=r.Device(rating_a=45))
    small.add(r.DwellingLoad, "home", "Q1", {"role": "branch", "protected_at": "none"})
    broken(small.project(), "service-rating-enough", "D1")


def test_a_dwelling_and_its_outbuildings_share_a_service():
    # NEC 230.40 exception 3
    rule = "one-set-per-service"
    fine(cases_services.two_houses("accessory"), rule)
    fine(cases_services.two_houses(None), rule)
    broken(cases_services.two_houses("dwelling"), rule, "M")


def test_a_meter_on_its_way_is_no_reason_to_count_a_service_twice():
    project = cases_services.two_services()
    one = run("T-M2", source="M1", role="service", owner="customer")(project)
    fine(one, "one-service-per-structure")


def test_a_disconnect_ahead_of_the_service_is_not_the_service_disconnect():
    project = cases_services.far_emergency(10.0)
    study = Study(project)
    assert study.equipment("P").at_service
    assert study.equipment("E").ahead_of_service
    plain = Study(piece("E", purpose=None)(project))
    assert plain.equipment("E").at_service
    assert not plain.equipment("P").at_service


def test_an_emergency_disconnect_that_a_remedy_puts_there_leaves_the_bond_alone():
    project = piece("P1", neutral_bonded=True)(cases_services.indoor_house())
    review = Review(Study(project))
    finding = broken(project, "emergency-disconnect-at-service", "P1")
    outdoors = review.remedies(finding)[0]
    after = project.apply(outdoors)
    assert outdoors.label == "Put an emergency disconnect outdoors ahead of P1"
    assert Study(after).equipment("P1").at_service
    fine(after, "no-second-bond")
    (put,) = [p for p in after.equipment.values() if isinstance(p, r.Disconnect)]
    assert put.rating_a == 200
    assert put.purpose == "emergency disconnect"


def test_a_disconnect_of_a_source_is_not_one_of_the_service():
    site = metered({})
    site.add(r.Disconnect, "S", "M1", branch(40), rating_a=30, main=r.Device(rating_a=20))
    site.add(r.Inverter, "I", "S", branch(20), output_a=16.0)
    fine(site.project(), "service-rating-enough")


def test_what_a_standby_source_feeds_needs_no_reason():
    site = service()
    site.add(r.TransferSwitch, "BT", "P", feeder(100), rating_a=100)
    site.add(r.Panel, "B", "BT", {"protected_at": "none", "length_m": 0.0}, bus_a=125)
    site.add(r.Generator, "G", kw=10)
    site.join("G", "BT", role="generator output", lands_on="standby", length_m=20.0)
    circuits(site, "B", 3)
    fine(built(site=site, G="board"), "one-supply-per-structure")


def test_circuits_with_a_common_neutral_are_one_supply():
    # NEC 225.30: a multiwire branch circuit counts as one
    site = service()
    wire = wires("12", "12", "12")
    site.add(r.Load, "B1", "P", branch(20, wire, legs="A"), va=600.0)
    shared = branch(20, wire, legs="B", neutral_with="P-B1")
    site.add(r.Load, "B2", "P", shared, va=600.0)
    site.pieces["B"] = r.Junction(id="B", name="B")
    project = built(site=site)
    fine(project, "one-supply-per-structure")
    apart = run("P-B2", neutral_with=None)(project)
    broken(apart, "one-supply-per-structure", "P-B2")


def test_in_sight_is_fifty_feet_by_the_places_of_structures():
    # NEC Article 100: within sight is visible and not more than 50 ft distant
    project = cases_services.fed_house()
    broken(project, "emergency-disconnect-at-feeder", "H")
    fine(structure("house", east_m=50 * FT)(project), "emergency-disconnect-at-feeder")
    fine(piece("H", location=None)(project), "emergency-disconnect-at-feeder")


def test_a_structure_of_one_branch_circuit_needs_no_electrode():
    # NEC 250.32(A) exception: a branch circuit with a grounding conductor
    site = barn(run={"role": "branch"})
    project = grounded(built(site=site), "barn")
    fine(project, "electrode-present")
    old = conductors("P-B", grounding="none", grounding_material=None)(project)
    broken(old, "electrode-present", "B")
    broken(grounded(built(), "barn"), "electrode-present", "B")


@pytest.mark.parametrize(("ohm", "enough"), [(25.0, True), (25.5, False)])
def test_a_rod_alone_is_measured(ohm, enough):
    # NEC 250.53(A)(2) exception: 25 ohms
    rod = r.Electrode(kind="rod", length_m=8 * FT, resistance_ohm=ohm)
    project = grounded(service().project(), "P", electrodes=(rod,))
    assert (of_rule(project, "rod-not-alone") == []) == enough


def test_to_rods_alone_6_awg_copper_is_enough():
    # NEC 250.66(A), where the table asks for 2 AWG with 500 kcmil aluminum
    rods = grounded(service().project(), "P", electrodes=TWO_RODS, conductor="6")
    fine(rods, "electrode-conductor-size")
    pipe = (*TWO_RODS, r.Electrode(kind="metal water pipe"))
    also = grounded(service().project(), "P", electrodes=pipe, conductor="6")
    broken(also, "electrode-conductor-size", "P")


def test_parallel_sets_add_up_for_the_electrode_conductor():
    # two sets of 500 kcmil aluminum are 1000 kcmil: 2/0 AWG copper (Table 250.66)
    pipe = (*TWO_RODS, r.Electrode(kind="metal water pipe"))
    project = grounded(service().project(), "P", electrodes=pipe, conductor="1/0")
    fine(project, "electrode-conductor-size")
    double = conductors("T-P", sets=2)(project)
    finding = broken(double, "electrode-conductor-size", "P")
    assert finding.values["needed"] == "2/0"


def test_a_separate_source_may_have_its_bond_at_the_first_disconnect():
    # NEC 250.30(A)(1): at the source or at its first disconnecting means, not at both
    at_panel = cases_grounding.derived(panel_bonded=True, neutral_bonded=False)
    fine(at_panel, "no-second-bond")
    fine(at_panel, "separate-source-bonded")
    both = cases_grounding.derived(panel_bonded=True, neutral_bonded=True)
    broken(both, "no-second-bond", "Q")


def test_a_structure_is_grounded_behind_the_meter_that_stands_in_it():
    site = service()
    wire = wires("1/0", "1/0", "6", material="al")
    site.add(r.Meter, "B0", "P", feeder(100, wire, terminal_c=75), role="private", class_a=200)
    site.add(r.Panel, "B", "B0", {"protected_at": "none", "length_m": 0.0}, bus_a=125)
    circuits(site, "B", 2)
    facts = Study(built(site=site)).equipment("B").grounding
    assert facts is not None
    assert (facts.hot, facts.electrode["cu"]) == ("1/0", "8")


def test_a_bond_of_pipes_goes_by_the_feeder_of_its_structure():
    # Table 250.102(C)(1): 8 AWG copper with 1 AWG aluminum; the service's 500 kcmil would want 2
    fine(cases_grounding.piped({"water_pipe_bond": "8"}), "water-pipes-bonded")
    unsaid = structure("barn", metal_water_pipe=None)
    fine(unsaid(cases_grounding.piped({"water_pipe_bond": "none"})), "water-pipes-bonded")


def test_a_private_meter_behind_the_service_is_no_revenue_meter():
    ahead = piece("M1", role="private")(metered({}).project())
    assert "ahead of any service disconnect" in message(ahead, "meter-role-fits-place")
    fine(cases_services.private(), "meter-role-fits-place")


def test_labels_say_what_the_numbers_are():
    fault = asked(cases_seen.barn_service(), "service-fault-label", "P1")
    fault_ka = Study(cases_seen.barn_service()).equipment("P1").fault.greatest.greatest_ka
    assert f"Maximum available fault current {fault_ka:.2f}".rstrip("0") in fault
    assert "B, fed from P" in asked(built(), "panel-source-label", "B")
    others = asked(cases_services.two_services(), "services-plaque", "P1")
    assert "barn is also supplied by service at M2" in others
    inverter = asked(cases_seen.with_sources(), "sources-directory", "P")
    assert "P (utility), I" in inverter


@pytest.mark.parametrize("volts", [120, 277])
def test_the_working_space_goes_by_volts_to_ground(volts):
    # NEC Table 110.26(A)(1): above 150 V to ground by what stands opposite
    project = service().project() if volts == 120 else cases_seen.four_eighty()
    keys = {each.question for each in open_questions(Study(project)) if each.where == "P"}
    assert ("space-in-front" in keys) == (volts == 120)
    assert ("space-in-front-above-low-volts" in keys) == (volts == 277)


NEW = {
    "bonding_jumpers", "electrode_conductors", "electrodes", "emergency_disconnects",
    "grounding_paths", "identification", "metering", "service_disconnects", "service_wires",
    "services", "structure_disconnects", "structures", "surge",
}  # fmt: skip


@pytest.mark.parametrize("name", ["harrow_orchard", "harrow_orchard_upgraded"])
def test_in_the_samples_these_rules_have_advice_alone(name):
    from ampacre.rules.rule import RULES

    review = Review(Study(load(SAMPLES / f"{name}.ampacre")))
    here = [
        found
        for found in review.findings
        if RULES[found.rule].check.__module__.rpartition(".")[2] in NEW
    ]
    assert {found.severity for found in here} <= {"advice", "ask"}
    keys = [(found.rule, found.about) for found in here]
    assert len(keys) == len(set(keys)), "what is to be entered is said once"
