"""Fault current against ratings, and ground faults that clear."""

import pytest
from rules.build import altered, branch, broken, feeder, fine, message, remedied, service, wires

from ampacre.model import records as r
from ampacre.study.study import Study


def gear(panel_ka=None, main_ka=None, branch_ka=None, legs="AB", kva=50.0):
    """A 50 kVA unit of 2 % at infinite primary, 10 m from the panel."""
    site = service(
        kva=kva, short_circuit_ka=panel_ka, main=r.Device(rating_a=200.0, interrupting_ka=main_ka)
    )
    device = r.Device(rating_a=20.0, interrupting_ka=branch_ka)
    site.add(r.Load, "load", "P", branch(20) | {"device": device, "legs": legs}, va=1200.0)
    return site.project()


def greatest_ka(project):
    return Study(project).equipment("P").fault.greatest


def test_fault_at_the_panel_is_below_that_of_the_transformer():
    # 50 kVA / 240 V / 2 % = 10.42 kA at the terminals, line to line
    assert 7 < greatest_ka(gear()).line_line_ka < 10.42


@pytest.mark.parametrize(
    ("rule", "where", "field", "label"),
    [
        ("gear-withstands-fault", "P", "panel_ka", "Fit P with a short-circuit rating of 14 kA"),
        ("main-interrupts", "P", "main_ka", "Fit a main of 14 kA in P"),
        (
            "run-device-interrupts",
            "P-load",
            "branch_ka",
            "Fit a device of 14 kA for the run to load",
        ),
    ],
)
def test_a_rating_below_the_greatest_fault(rule, where, field, label):
    fault_ka = greatest_ka(gear()).greatest_ka
    assert 10 < fault_ka < 14
    fine(gear(**{field: fault_ka}), rule)
    project = gear(**{field: 10.0})
    assert broken(project, rule, where).values["fault_ka"] == pytest.approx(fault_ka)
    remedied(project, rule, label)
    # nearer to a smaller unit the same rating is enough
    fine(altered(project, "equipment", "T", kva=25.0), rule)


def test_unmarked_equipment_says_nothing():
    for rule in ("gear-withstands-fault", "main-interrupts", "run-device-interrupts"):
        fine(gear(), rule)


def test_a_single_pole_sees_the_fault_to_neutral_alone():
    # far from the transformer the loop by way of the neutral is the longer one
    for legs, sees in (("A", "line_neutral_ka"), ("AB", "line_line_ka")):
        site = service()
        site.add(r.Panel, "sub", "P", feeder(100, wires("1", "1", "6", material="al")))
        device = r.Device(rating_a=20.0, interrupting_ka=1.0)
        site.add(r.Load, "load", "sub", branch(20) | {"device": device, "legs": legs}, va=1200.0)
        project = site.project()
        finding = broken(project, "run-device-interrupts", "sub-load")
        levels = Study(project).equipment("sub").fault.greatest
        assert levels.line_line_ka > levels.line_neutral_ka
        assert finding.values["fault_ka"] == pytest.approx(getattr(levels, sees))


def test_motors_add_to_the_greatest_fault():
    project = gear()
    alone_ka = greatest_ka(project).greatest_ka
    site = service(main=r.Device(rating_a=200.0, interrupting_ka=alone_ka))
    site.add(r.Load, "load", "P", branch(20), va=1200.0)
    fine(site.project(), "main-interrupts")
    site.add(r.Motor, "pump", "P", branch(60), full_load_a=28.0)
    broken(site.project(), "main-interrupts", "P")


def distant(grounding="8", device_a=60, va=9600.0, length_m=90.0):
    site = service()
    site.add(
        r.Panel, "sub", "P",
        feeder(device_a, wires("4", "4", grounding), length_m, terminal_c=75, raceway="pvc"),
    )  # fmt: skip
    site.add(r.Load, "load", "sub", branch(60, length_m=0.0), va=va, continuous=False)
    return site.project()


def times(project):
    facts = Study(project).run("P-sub")
    return facts.ground_a / facts.protecting_a


def test_a_ground_fault_of_five_times_the_device_clears():
    assert times(distant(length_m=60.0)) > 5
    fine(distant(length_m=60.0), "ground-fault-clears")
    project = distant(length_m=180.0)
    assert 2 < times(project) < 5
    assert broken(project, "ground-fault-clears", "P-sub").severity == "advice"


def test_a_ground_fault_of_less_than_twice_the_device_is_a_warning():
    project = distant("10", length_m=500.0)
    assert times(project) < 2
    assert broken(project, "ground-fault-clears", "P-sub").severity == "warning"


def test_larger_grounding_conductor_or_smaller_device():
    # the smaller device asks for less wire, so NEC 250.122(B) enlarges its grounding conductor:
    # 10 380 x 41 740 / 16 510 = 26 242 cmil is just beyond 6 AWG (26 240)
    project = distant("10", device_a=70, length_m=90.0)
    remedied(
        project, "ground-fault-clears",
        "Fit the run to sub with a 50 A device and a 4 AWG grounding conductor",
        "Pull an 8 AWG copper grounding conductor with the run to sub",
    )  # fmt: skip


def test_the_message_has_the_multiple():
    project = distant(length_m=180.0)
    assert f"{times(project):.2f} times its 60 A device" in message(project, "ground-fault-clears")


def test_a_ground_fault_of_a_standby_set_goes_by_the_bond_of_the_service():
    # 90 m to the service and back: 391 A, 3.9 times the 100 A device of the set
    site = service()
    wire = wires("4/0", "2/0", "6")
    site.add(r.TransferSwitch, "A", "P", feeder(100, wire, 90.0), neutral_switched=False)
    site.add(r.Load, "house", "A", branch(60, wires("6", "6", "6"), 1.0), va=4_000)
    site.add(r.Generator, "G", kw=22.0, kva=22.0, neutral_bonded=False)
    site.join(
        "G", "A", role="generator output", lands_on="standby", length_m=12.0,
        conductors=wires("3", "3", "8"), device=r.Device(rating_a=100.0),
    )  # fmt: skip
    project = site.project()
    found = broken(project, "ground-fault-clears", "G-A")
    assert found.severity == "advice"
    assert "390.8 A on G, 3.91 times its 100 A device" in message(project, "ground-fault-clears")
    bonded = altered(
        altered(project, "equipment", "G", neutral_bonded=True),
        "equipment", "A", neutral_switched=True,
    )  # fmt: skip
    fine(bonded, "ground-fault-clears")
