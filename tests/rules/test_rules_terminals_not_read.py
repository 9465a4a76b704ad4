"""Terminals of existing work that nobody read: what is taken, and that findings say so.

NEC 110.14(C)(1): 60 C for circuits up to 100 A, 75 C above that or above conductors of 1 AWG.
"""

import pytest
from rules.build import Site, altered, branch, broken, feeder, fine, message, service, wires

from ampacre.model import records as r
from ampacre.study.study import Study

TAKEN = "Its terminals were not read and are taken at 60 C: verify in field."


def fed(device_a, size, va, material="al", **run):
    """An existing panel behind a feeder of this size, with a load of this many volt-amperes."""
    site = service(main_a=350, bus_a=400)
    site.add(
        r.Panel, "Q", "P", feeder(device_a, wires(size, size, "4", material=material)) | run,
        bus_a=200, main_lugs=True,
    )  # fmt: skip
    site.add(r.Load, "L", "Q", branch(800), va=va, continuous=False)
    return site.project()


@pytest.mark.parametrize(
    ("device_a", "size", "column", "why"),
    [
        (100, "1/0", 60, "existing up to 100 A"),
        (125, "1/0", 75, "existing above 100 A"),
        (None, "1/0", 75, "existing conductors above 1 AWG"),
        (None, "1", 60, "existing, device not read"),
        (None, None, 60, "existing, device not read"),
    ],
)
def test_the_column_goes_by_the_device_and_without_it_by_the_conductors(
    device_a, size, column, why
):
    taken = Study(fed(device_a, size, 1000)).run("P-Q").terminal_c
    assert taken == (column, "assumed", f"{why}: verify in field")


def test_new_work_and_what_was_read_off_stay_as_they_are():
    new = Study(fed(100, "1/0", 1000, since="work")).run("P-Q").terminal_c
    assert (new.value, new.why) == (75, "buy equipment listed for 75 C terminals")
    assert Study(fed(100, "1/0", 1000, terminal_c=75)).run("P-Q").terminal_c.how == "entered"


def test_conductors_behind_a_device_not_read_are_judged_at_75_c():
    # 4/0 aluminum: 180 A at 75 C (NEC Table 310.16), 150 A at 60 C
    fine(fed(None, "4/0", 167 * 240), "wire-carries-load")
    said = message(fed(None, "4/0", 185 * 240), "wire-carries-load")
    assert "carry 180 A uncorrected (terminations at 75 C)" in said
    assert "taken at" not in said


def test_a_finding_that_rests_on_60_c_says_so():
    # 2 AWG aluminum: 75 A at 60 C, 90 A at 75 C
    project = fed(90, "2", 80 * 240)
    assert message(project, "wire-carries-load").endswith(TAKEN)
    assert message(project, "wire-protected").endswith(TAKEN)
    read = altered(project, "runs", "P-Q", terminal_c=60)
    assert TAKEN not in message(read, "wire-carries-load")
    fine(altered(project, "runs", "P-Q", terminal_c=75), "wire-carries-load")


def test_one_that_rests_on_the_insulation_does_not():
    # 2 AWG aluminum XHHW-2: 100 A at 90 C, times 0.29 at 85 C
    project = altered(fed(90, "2", 60 * 240), "runs", "P-Q", ambient_c=85.0)
    broken(project, "wire-carries-load", "P-Q")
    assert TAKEN not in message(project, "wire-carries-load")


def test_a_charger_on_an_existing_circuit_is_told_of_it_too():
    site = service()
    site.add(r.Charger, "c", "P", branch(60, wires("6", "none", "10")), nameplate_a=48)
    # 6 AWG copper: 55 A at 60 C, 65 A at 75 C
    assert message(site.project(), "charger-within-wire").endswith(TAKEN)


def test_a_utility_lateral_is_read_in_the_75_c_column():
    site = Site()
    site.add(r.UtilitySource, "u", system="120/240", fault_ka=10)
    lateral = {"role": "utility", "owner": "utility", "protected_at": "none", "length_m": 20.0}
    lateral["conductors"] = wires("350", "4/0", material="al")
    site.add(r.Meter, "m", "u", lateral)
    assert Study(site.project()).run("u-m").terminal_c.value == 75
