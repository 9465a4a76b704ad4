"""A fault behind wires that are not known is bounded: that is said, and is no violation."""

import pytest
from rules.build import altered, broken, feeder, fine, message, remedied, service, wires

from ampacre.model import records as r
from ampacre.study.study import Study

SAID = "is, as conductors or length on the way are not known, at most"


def barn(conductors=None, length_m=90.0, **panel):
    """A panel with a 10 kA main far away from a strong service, by a feeder as given."""
    site = service()
    known = wires("4/0", "4/0", "4", material="al")
    run = feeder(100, known if conductors is None else conductors, length_m)
    main = {"main": r.Device(rating_a=100, interrupting_ka=10)} | panel
    site.add(r.Panel, "Q", "P", run, bus_a=200, **main)
    return altered(site.project(), "runs", "T-P", length_m=1.0)


UNKNOWN = [{"conductors": r.Conductors()}, {"length_m": None}]


@pytest.mark.parametrize("unknown", UNKNOWN)
def test_behind_an_unknown_run_the_rating_may_be_exceeded(unknown):
    fine(barn(), "main-interrupts")
    project = barn(**unknown)
    assert broken(project, "main-interrupts", "Q").severity == "warning"
    assert SAID in message(project, "main-interrupts")
    fault = Study(project).equipment("Q").fault
    assert fault.at_most
    assert fault.greatest.greatest_ka > 10


def test_what_is_known_to_exceed_a_rating_is_a_violation():
    project = barn(length_m=2.0)
    assert broken(project, "main-interrupts", "Q").severity == "violation"
    assert SAID not in message(project, "main-interrupts")
    assert not Study(project).equipment("Q").fault.at_most


def test_a_bound_within_the_rating_needs_nothing():
    fine(barn(length_m=None, main=r.Device(rating_a=100, interrupting_ka=22)), "main-interrupts")


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("gear-withstands-fault", {"short_circuit_ka": 10}),
        ("surge-withstands-fault", {"surge": "type 2", "surge_short_circuit_ka": 5}),
        ("unmarked-main-interrupts", {"main": r.Device(rating_a=100, unmarked=True)}),
    ],
)
def test_every_rating_against_a_bound_is_a_warning(rule, fields):
    project = barn(r.Conductors(), **fields)
    assert broken(project, rule, "Q").severity == "warning"
    assert SAID in message(project, rule)


def test_devices_of_runs_from_there_too():
    site_project = barn(r.Conductors(), main_lugs=True, main=None)
    for rule, device in (
        ("run-device-interrupts", r.Device(rating_a=20, interrupting_ka=10)),
        ("unmarked-device-interrupts", r.Device(rating_a=20, unmarked=True)),
    ):
        project = _with_load(site_project, device)
        assert broken(project, rule, "Q-L").severity == "warning"
        assert SAID in message(project, rule)


def _with_load(project, device):
    run = r.Run(id="Q-L", source="Q", target="L", role="branch", length_m=5.0, device=device)
    load = r.Load(id="L", name="L", va=1000)
    equipment, runs = {**project.equipment, "L": load}, {**project.runs, "Q-L": run}
    return project.__class__(equipment=equipment, runs=runs, project=project.project)


def test_whether_a_series_rating_is_relied_on_is_not_known_behind_it():
    device = r.Device(rating_a=20, interrupting_ka=10, series_ka=22)
    lugs = {"main_lugs": True, "main": None}
    fine(_with_load(barn(r.Conductors(), **lugs), device), "series-rating-stated")
    broken(_with_load(barn(length_m=2.0, **lugs), device), "series-rating-stated", "Q-L")


def test_the_bound_is_told_as_an_assumption_and_goes_on_behind_a_transformer():
    project = barn(r.Conductors())
    assert any("at most" in text for text in Study(project).equipment("Q").assumptions)
    assert not any("at most" in text for text in Study(barn()).equipment("Q").assumptions)
    site = service()
    site.add(r.Transformer, "X", "P", feeder(60, r.Conductors()), kva=10, system="120/240")
    secondary = feeder(60, wires("6", "6", "8"), 5.0) | {"role": "transformer secondary"}
    site.add(r.Panel, "Q", "X", secondary, bus_a=100)
    assert Study(site.project()).equipment("Q").fault.at_most


def test_a_stronger_main_settles_it_as_well():
    remedied(barn(length_m=None), "main-interrupts", "Fit a main of 18 kA in Q")


def test_a_primary_of_unknown_length_bounds_nothing():
    site = service()
    site.runs["line-T"] = r.Run(
        id="line-T", source="line", target="T", role="utility", owner="utility",
        protected_at="none",
    )  # fmt: skip
    assert not Study(site.project()).equipment("P").fault.at_most
