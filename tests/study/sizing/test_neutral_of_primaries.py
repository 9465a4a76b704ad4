"""The feeder of a transformer: it brings a neutral only to a primary that has one."""

import pytest
from study.build import Site, wires

from ampacre.model import records as r
from ampacre.rules.review import Review
from ampacre.study.study import Study


def primary(system, kva, secondary="120/240", **run):
    """A new transformer behind a panel, with a panel of its own."""
    site = Site()
    site.add(r.UtilitySource, "grid", system=system, fault_ka=20.0)
    service = {"role": "service", "protected_at": "none", "length_m": 0.0}
    site.add(r.Panel, "p", "grid", service, bus_a=200.0, main=r.Device(rating_a=200.0))
    feeder = {"role": "feeder", "length_m": 10.0, "since": "work"} | run
    site.add(r.Transformer, "t", "p", feeder, system=secondary, kva=kva, since="work")
    second = {"role": "transformer secondary", "protected_at": "none", "length_m": 2.0}
    site.add(
        r.Panel, "q", "t", second | {"since": "work"}, bus_a=225.0, since="work",
        main=r.Device(rating_a=150.0),
    )  # fmt: skip
    site.add(r.Load, "l", "q", {"role": "branch", "length_m": 5.0, "since": "work"}, va=1000.0)
    return Study(site.project())


@pytest.mark.parametrize(
    ("system", "legs", "kva", "secondary"),
    [
        ("277/480", "", 45, "120/208"),
        ("277/480", "AB", 25, "120/240"),
        ("240/480", "", 25, "120/240"),
    ],
)
def test_a_primary_in_delta_or_across_two_legs_gets_none(system, legs, kva, secondary):
    study = primary(system, kva, secondary, legs=legs)
    run = study.run("p-t")
    assert run.neutral == ("none", "chosen", "nothing uses it")
    assert run.size.value is not None
    assert study.run("t-q").neutral.value not in (None, "none")
    assert study.equipment("q").fault.greatest.line_neutral_ka


def test_a_primary_between_a_leg_and_the_neutral_gets_one():
    run = primary("277/480", 10, legs="A").run("p-t")
    assert run.neutral.value == run.size.value


def test_of_an_existing_one_no_neutral_is_missing():
    conductors = wires("3", None, "8")
    study = primary("277/480", 45, "120/208", since=None, conductors=conductors)
    assert "neutral" not in [m.text for m in Review(study).missing if m.where == "p-t"]


def test_a_neutral_that_was_drawn_stays():
    conductors = r.Conductors(neutral="8")
    assert primary("277/480", 45, "120/208", conductors=conductors).run("p-t").neutral.value == "8"
