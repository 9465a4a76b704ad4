"""Kinds of raceway by the names of the trade: cover, fill, and what may serve as ground."""

import typing

import pytest
from rules.build import altered, broken, feeder, fine, message, service, wires

from ampacre.codebook.raceways import RACEWAYS
from ampacre.model import records as r
from ampacre.model.records.bounds import RacewayKind
from ampacre.model.words import value_word
from ampacre.sheets.run_labels import run_words
from ampacre.sheets.wording import way_words
from ampacre.study.study import Study


def buried(kind, cover_m=0.2, **run):
    site = service()
    fields = feeder(90, wires("2", "2", "6", material="al"), place="yard", cover_m=cover_m)
    site.add(r.Panel, "Q", "P", fields | {"raceway": kind} | run, bus_a=100)
    return site.project()


@pytest.mark.parametrize(("kind", "fits"), [("steel", True), ("imc", True), ("emt", False)])
def test_eight_inches_do_for_rigid_and_not_for_thin_wall(kind, fits):
    if fits:
        fine(buried(kind), "cover-deep-enough")
        return
    broken(buried(kind), "cover-deep-enough", "P-Q")
    assert value_word(kind) in message(buried(kind), "cover-deep-enough")


def test_each_kind_is_filled_by_its_own_inside():
    # three 2 AWG and a 6 AWG of compact aluminum in 1-1/4 in
    full = {}
    for kind in RACEWAYS:
        full[kind] = Study(buried(kind, trade_size="1-1/4")).run("P-Q").fill_pct
    assert full["imc"] < full["steel"] < full["emt"] < full["pvc"] < full["pvc 80"]
    assert full["steel"] == full["aluminum"]


@pytest.mark.parametrize("kind", RACEWAYS)
def test_every_kind_can_be_drawn_and_has_words_on_screen_and_paper(kind):
    assert kind in typing.get_args(RacewayKind)
    assert value_word(kind) != kind
    study = Study(buried(kind, trade_size="1"))
    run, facts = study.project.runs["P-Q"], study.run("P-Q")
    assert way_words(run, facts).endswith(" 1 in")
    assert "1 in" in run_words(run, facts, "us")[1].text


@pytest.mark.parametrize(
    ("kind", "device_a", "length_m", "trade_size", "may"),
    [
        ("emt", 90, 50.0, "1-1/4", True),
        ("pvc 80", 20, 1.0, "1", False),
        ("ent", 20, 1.0, "1", False),
        ("lfnc", 20, 1.0, "1", False),
        ("fmc", 20, 1.5, "1", True),
        ("fmc", 30, 1.5, "1", False),
        ("fmc", 20, 3.0, "1", False),
        ("lfmc", 60, 1.5, "1", True),
        ("lfmc", 60, 1.5, "1-1/2", False),
        ("lfmc", 70, 1.5, "1", False),
    ],
)
def test_which_may_be_the_grounding_conductor(kind, device_a, length_m, trade_size, may):
    project = buried(
        kind, place="indoors", cover_m=None, length_m=length_m, trade_size=trade_size,
        device=r.Device(rating_a=device_a), conductors=wires("2", "2", "raceway"),
    )  # fmt: skip
    if may:
        fine(project, "raceway-can-ground")
    else:
        broken(project, "raceway-can-ground", "P-Q")


def test_what_is_not_known_of_flexible_conduit_breaks_nothing():
    project = buried("fmc", length_m=None, conductors=wires("2", "2", "raceway"))
    fine(altered(project, "runs", "P-Q", device=None), "raceway-can-ground")


def test_rigid_conduit_mends_the_cover_of_any_other():
    project = buried("emt")
    finding = broken(project, "cover-deep-enough", "P-Q")
    after = altered(project, "runs", finding.where, raceway="steel")
    fine(after, "cover-deep-enough")


def test_a_trade_size_that_a_kind_is_not_made_in_is_asked_for():
    assert Study(buried("emt", trade_size="4")).run("P-Q").missing == ()
    (asked,) = Study(buried("emt", trade_size="5")).run("P-Q").missing
    assert asked == "trade size: thin-wall tubing (EMT) is made from 1/2 to 4 in"
