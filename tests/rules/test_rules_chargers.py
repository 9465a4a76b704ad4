"""Chargers take at most 80 % of their circuit, by what counts as their current."""

import msgspec
import pytest
from rules.build import altered, branch, broken, fine, message, remedied, service

from ampacre.model import records as r

SIX = r.Conductors(size="6", material="cu", grounding="8", grounding_material="cu")


def charger(device_a, conductors=SIX, **fields):
    site = service()
    site.add(
        r.Charger, "C", "P",
        branch(device_a, conductors, terminal_c=75, raceway="steel"), **fields,
    )  # fmt: skip
    return site.project()


@pytest.mark.parametrize(
    ("device_a", "most_a"),
    # NEC 625.41 turned round: the usual settings by circuit
    [(15, 12), (20, 16), (30, 24), (40, 32), (50, 40), (60, 48)],
)
def test_most_that_a_circuit_allows(device_a, most_a):
    fits = charger(device_a, nameplate_a=80.0, setting_a=float(most_a), setting_locked=True)
    fine(fits, "charger-within-device")
    above = altered(fits, "equipment", "C", setting_a=most_a + 1.0)
    broken(above, "charger-within-device", "C")


def test_a_setting_equal_to_its_breaker():
    project = charger(50, nameplate_a=48.0, setting_a=48.0, setting_locked=True)
    assert message(project, "charger-within-device") == (
        "C takes 48 A by its locked setting; its 50 A device allows 40 A."
    )
    remedied(
        project, "charger-within-device",
        "Set C to 40 A and lock it", "Fit the run to C with a 60 A device",
    )  # fmt: skip


def test_an_open_setting_counts_at_the_nameplate():
    project = charger(50, nameplate_a=48.0, setting_a=40.0)
    assert broken(project, "charger-within-device", "C").values["draw_a"] == 48
    locked = altered(project, "equipment", "C", setting_locked=True)
    fine(locked, "charger-within-device")
    remedied(project, "charger-setting-locked", "Lock the setting of C")
    fine(locked, "charger-setting-locked")


def test_conductors_carry_125_percent_of_a_charger():
    # NEC 310.16: 8 AWG copper carries 50 A at 75 C, so 40 A of charging
    eight = r.Conductors(size="8", material="cu", grounding="10", grounding_material="cu")
    project = charger(60, eight, nameplate_a=48.0)
    finding = broken(project, "charger-within-wire", "C")
    assert finding.values["share_a"] == pytest.approx(40)
    remedied(
        project, "charger-within-wire",
        "Set C to 40 A and lock it", "Fit the run to C with 6 AWG copper",
    )  # fmt: skip
    fine(charger(60, SIX, nameplate_a=48.0), "charger-within-wire")


@pytest.mark.parametrize(
    ("insulation", "place"), [("NM-B", "indoors"), ("UF-B", "yard"), ("TW", "yard")]
)
def test_a_60_degree_cable_carries_less_than_its_terminals(insulation, place):
    # 6 AWG copper carries 55 A in the 60 C column (NEC 310.16, 334.80, 340.80), so 44 A of charging
    project = charger(60, msgspec.structs.replace(SIX, insulation=insulation), nameplate_a=48.0)
    project = altered(project, "runs", "P-C", raceway="cable", place=place)
    finding = broken(project, "charger-within-wire", "C")
    assert finding.values["share_a"] == pytest.approx(44)
    remedied(
        project, "charger-within-wire",
        "Set C to 40 A and lock it", "Fit the run to C with 4 AWG copper",
    )  # fmt: skip


def test_the_charger_speaks_for_its_circuit():
    project = charger(50, nameplate_a=48.0)
    fine(project, "run-device-carries-load")
    fine(project, "wire-carries-load")


def test_a_setting_above_the_nameplate():
    project = charger(60, nameplate_a=40.0, setting_a=48.0)
    broken(project, "charger-within-nameplate", "C")
    remedied(project, "charger-within-nameplate", "Set C to 40 A and lock it")


def test_nothing_known_says_nothing():
    project = charger(50)
    for rule in ("charger-within-device", "charger-within-wire", "charger-within-nameplate"):
        fine(project, rule)


def test_no_setting_is_offered_below_what_a_charger_can_offer():
    # 80 % of a 5 A fuse is 4 A; the control pilot begins at 6 A (SAE J1772)
    project = altered(
        charger(50, nameplate_a=48.0), "runs", "P-C", device=r.Device(kind="fuse", rating_a=5.0)
    )
    remedied(project, "charger-within-device", "Fit the run to C with a 60 A device")
