"""What was not read off is missing, said once, and breaks no rule by what stands elsewhere."""

import dataclasses

import msgspec
import pytest
from rules.build import Site, altered, broken, feeder, fine, of_rule, service, wires

from ampacre.model import records as r
from ampacre.rules.review import Review
from ampacre.study.study import Study

SUPPLY_END = "rating of the device at its supply end"


def missing(project):
    return [(each.where, each.text) for each in Review(Study(project)).missing]


def barn(device_a, **run):
    """A panel of 200 A with an inverter on its bus, by a feeder from a main panel of 400 A."""
    site = service(main_a=400, bus_a=400)
    device = None if device_a is None else r.Device(rating_a=device_a, interrupting_ka=22)
    conductors = wires("4/0", "4/0", "4", material="al")
    run = {"role": "feeder", "device": device, "conductors": conductors, "length_m": 50.0} | run
    site.add(r.Panel, "Q", "P", run, bus_a=200, main_lugs=True)
    sun = {"role": "branch", "legs": "AB", "device": r.Device(rating_a=40), "length_m": 5.0}
    sun["conductors"] = wires("8", "none", "10")
    site.add(r.Inverter, "S", "Q", sun, output_a=32)
    site.add(r.Panel, "R", "Q", feeder(200, wires("4/0", "4/0", "4", material="al")))
    return site


@pytest.mark.parametrize("rule", ["bus-protected", "bus-carries-sources"])
def test_a_device_that_was_not_read_is_not_the_next_one_ahead_of_it(rule):
    fine(barn(None).project(), rule)
    assert [each.where for each in of_rule(barn(400).project(), rule)] == ["Q"]


def test_it_is_missing_once_where_it_is_read_off():
    project = barn(None).project()
    assert [each for each in missing(project) if each[1] == SUPPLY_END] == [("P-Q", SUPPLY_END)]
    facts = Study(project).equipment("Q")
    assert facts.device_ahead_a is None
    assert facts.ahead_unread
    assert SUPPLY_END not in [text for _, text in missing(barn(200).project())]


def test_a_joint_by_bus_behind_a_device_tells_that_it_was_not_read():
    project = barn(None, length_m=0.0, conductors=r.Conductors()).project()
    assert ("P-Q", SUPPLY_END) in missing(project)


def test_behind_a_main_that_was_not_read_nothing_is_known_of_the_device():
    site = barn(200)
    site.pieces["Q"] = r.Panel(id="Q", name="Q", bus_a=100, main=r.Device())
    project = site.project()
    fine(project, "bus-protected")
    assert Study(project).equipment("Q").ahead_unread
    assert [where for where, text in missing(project) if "main device" in text] == ["Q"]


def test_a_known_device_behind_one_that_was_not_read_is_known():
    site = barn(None)
    site.pieces["Q"] = r.Panel(id="Q", name="Q", bus_a=100, main=r.Device(rating_a=125))
    assert [each.where for each in of_rule(site.project(), "bus-protected")] == ["Q"]


def test_a_series_rating_may_rest_on_a_device_that_was_not_read():
    site = barn(None)
    device = r.Device(rating_a=60, interrupting_ka=5, series_ka=22, series_basis="tested")
    site.add(r.Panel, "T2", "Q", feeder(60, length_m=1.0) | {"device": device}, bus_a=100)
    project = altered(site.project(), "runs", "P-Q", length_m=1.0)
    fine(project, "series-rating-has-pair")


def test_a_new_panel_behind_it_gets_a_bus_for_the_nearest_device_that_is_known():
    site = barn(None)
    site.pieces["Q"] = r.Panel(id="Q", name="Q", since="work")
    assert Study(site.project()).equipment("Q").chosen == {"bus_a": 400}


def tap_behind(main):
    """A new tap from a splice behind a panel's main."""
    site = service(main=main)
    site.add(r.Junction, "J", "P", {"role": "feeder", "protected_at": "none", "length_m": 0.0})
    tap = {"role": "tap", "protected_at": "load", "length_m": 5.0, "since": "work"}
    site.add(r.Disconnect, "D", "J", tap, main=r.Device(rating_a=20), rating_a=30)
    return Study(site.project()).run("J-D")


def test_a_new_tap_is_not_sized_by_a_device_that_was_not_read():
    assert tap_behind(r.Device(rating_a=200)).size.value is not None
    unread = tap_behind(r.Device())
    assert unread.size.value is None
    assert any("rests on the device ahead" in text for text in unread.missing)


def test_where_no_device_belongs_none_was_left_unread():
    site = Site()
    site.add(r.UtilitySource, "u", system="120/240", fault_ka=10)
    site.add(r.Meter, "m", "u", {"role": "service", "protected_at": "none", "length_m": 5.0})
    assert not Study(site.project()).equipment("m").ahead_unread


def grounded(conductor="8", joint=False, **conductors):
    """An existing service of 200 A with a small electrode conductor."""
    site = service(main_a=200)
    run = site.runs["T-P"]
    made = r.Conductors() if joint else wires("4/0", "4/0", material="al")
    made = msgspec.structs.replace(made, **conductors)
    site.runs["T-P"] = msgspec.structs.replace(
        run, conductors=made, length_m=0 if joint else run.length_m
    )
    rods = r.Electrode(kind="metal water pipe", length_m=6.0)
    record = r.Grounding(
        id="g", at="P", electrodes=(rods,), conductor=conductor, conductor_material="cu",
        bonding_jumper="8", bonding_jumper_material="cu",
    )  # fmt: skip
    return dataclasses.replace(site.project(), grounding={"g": record})


SIZES_AT_SERVICE = ("electrode-conductor-size", "main-jumper-size")


@pytest.mark.parametrize("rule", SIZES_AT_SERVICE)
@pytest.mark.parametrize("unread", [{"size": None}, {"material": None}])
def test_by_service_conductors_that_were_not_read_nothing_is_sized(rule, unread):
    # 4/0 aluminum: 4 AWG copper (NEC Table 250.66 and 250.102(C)(1))
    broken(grounded(), rule, "P")
    project = grounded(**unread)
    fine(project, rule)
    needs = Study(project).equipment("P").grounding
    assert needs.electrode == needs.jumper == {}
    assert needs.record.id == "g"
    (line,) = needs.worksheet.lines
    assert line.label == "Ungrounded conductors: not known"
    assert [where for where, text in missing(project) if "conductor" in text] == ["T-P"]


@pytest.mark.parametrize("rule", SIZES_AT_SERVICE)
def test_a_service_without_conductors_of_its_own_goes_by_those_it_would_need(rule):
    site_project = grounded(joint=True)
    loaded = altered(site_project, "equipment", "P", main=r.Device(rating_a=400))
    broken(loaded, rule, "P")


def test_a_footing_asks_for_copper_whatever_the_conductors_are():
    project = grounded(conductor="4", size=None)
    aluminum = altered(
        project, "grounding", "g", conductor_material="al",
        electrodes=(r.Electrode(kind="concrete-encased"),),
    )  # fmt: skip
    broken(aluminum, "electrode-conductor-copper", "P")
    assert (
        Review(Study(aluminum)).remedies(of_rule(aluminum, "electrode-conductor-copper")[0]) == ()
    )
