"""Where a run lies: ambient, sun, company in raceways, cover, and what it shares."""

import pytest
from study.sizing.plan import NEW, altered, branch, facts, feeder, lines, plan

from ampacre.model import records as r
from ampacre.model.soundness import problems
from ampacre.study.study import Study


def test_ambient_of_the_run_or_of_the_project():
    warm = facts(feeder(16_800.0, length_m=20.0, ambient_c=45.0), "m-w")
    place = facts(feeder(16_800.0, length_m=20.0, settings={"ambient_c": 45.0}), "m-w")
    # XHHW-2 aluminum 3 AWG: 85 A at 90 C, 0.87 at 45 C: 73.95 A; the terminals have 75 A.
    for found in (warm, place):
        assert found.hottest_c == 45
        assert found.ampacity.corrected_a == pytest.approx(85 * 0.87)
        assert found.ampacity.allowed_a == pytest.approx(73.95)


def test_sun_on_a_roof():
    # THWN-2 close to a roof: 30 + 33 C, 0.65 in the 90 C column; XHHW-2 is exempt (310.15(B)(2)).
    wires = r.Conductors(material="cu", insulation="THWN-2")
    found = facts(feeder(16_800.0, length_m=20.0, place="on roof", conductors=wires), "m-w")
    assert found.hottest_c == 63
    assert lines(found)["Roof adder"].result == 33
    exempt = facts(feeder(16_800.0, length_m=20.0, place="on roof"), "m-w")
    assert exempt.hottest_c == 30
    assert lines(exempt)["Roof adder"].note == "XHHW-2 is exempt"


TRENCH = r.Raceway(id="duct", name="Duct", kind="pvc", place="yard")
ALONG = {"segments": (r.Segment(raceway="duct", length_m=40.0),)}


def duct(*devices_a, raceway=TRENCH, extra=None, **run):
    """New feeders m-w0, m-w1 ... of these devices, all for 40 m in one raceway."""
    pieces = []
    for number, device_a in enumerate(devices_a):
        pieces.append(
            (r.Panel, f"w{number}", "m",
             {**NEW, "length_m": 40.0, "device": r.Device(rating_a=device_a),
              "conductors": r.Conductors(material="al"), **ALONG, **run,
              **((extra or {}).get(number, {}))},
             {**NEW, "structure": "shop"})
        )  # fmt: skip
        pieces.append(
            (r.Load, f"l{number}", f"w{number}", {**NEW, "role": "branch", "legs": "AB"},
             {**NEW, "va": 1_000.0, "continuous": False})
        )  # fmt: skip
    return plan(pieces, raceways=[raceway])


def test_company_in_a_raceway_lowers_ampacity():
    # Three 120/240 V feeders: two counted conductors each, six together, 0.8 of the 90 C column.
    found = facts(duct(100.0, 100.0, 100.0), "m-w0")
    assert found.current_carrying == 6
    # 1 AWG: 115 x 0.8 = 92 A, next rating 100 A: it still does.
    assert found.needed == "1"
    assert found.ampacity.corrected_a == pytest.approx(92)
    assert found.companions == ("m-w1", "m-w2")
    alone = facts(duct(100.0), "m-w0")
    assert alone.current_carrying == 2


def test_a_short_way_together_does_not_count():
    # 3 m of 40 m, no more than 10 ft and a tenth of the rest (NEC 310.14(A)(2) exception).
    short = {"segments": (r.Segment(raceway="duct", length_m=3.0),)}
    found = facts(duct(100.0, 100.0, 100.0, **short), "m-w0")
    assert found.current_carrying == 2
    longer = {"segments": (r.Segment(raceway="duct", length_m=4.0),)}
    assert facts(duct(100.0, 100.0, 100.0, **longer), "m-w0").current_carrying == 6


def test_one_grounding_conductor_for_all():
    study = Study(duct(100.0, 60.0, 30.0))
    duct_facts = study.raceway("duct")
    # 100 A: 6 AWG aluminum (NEC 250.122(C)).
    assert (duct_facts.grounding_needed, duct_facts.grounding_material) == ("6", "al")
    for run in ("m-w0", "m-w1", "m-w2"):
        found = study.run(run)
        assert (found.grounding.value, found.grounding.why) == ("6", "shared in Duct")
    # It counts once in the fill: 2 x 3 line conductors, three neutrals, one grounding conductor.
    line = next(
        line for line in duct_facts.worksheet.lines if line.label.startswith("Fill of trade size")
    )
    assert line.note.startswith("10 conductors")
    assert duct_facts.fill.fits
    assert duct_facts.trade_size.how == "chosen"
    assert duct_facts.cover_needed_m == pytest.approx(18 * 0.0254)


def test_the_largest_enlargement_decides_a_shared_one():
    # The 40 A circuit would do with 8 AWG and is laid in 1/0; its 8 AWG grounding conductor grows
    # as much: 16,510 x 105,600 / 16,510 = 105,600, which is 1/0.
    big = {2: {"conductors": r.Conductors(material="al", size="1/0", neutral="1/0")}}
    study = Study(duct(100.0, 60.0, 40.0, extra=big))
    assert study.raceway("duct").grounding_needed == "1/0"
    assert study.run("m-w1").grounding.value == "1/0"


def test_a_stated_one_serves_all_and_is_checked():
    stated = r.Raceway(
        id="duct", name="Duct", kind="pvc", place="yard", trade_size="3", grounding="8",
        grounding_material="al",
    )  # fmt: skip
    study = Study(duct(100.0, 60.0, raceway=stated))
    found = study.run("m-w1")
    assert (found.grounding.value, found.grounding.how) == ("8", "entered")
    assert study.raceway("duct").grounding_needed == "6"
    assert study.raceway("duct").trade_size.how == "entered"


def test_a_run_with_a_grounding_conductor_of_its_own_keeps_it():
    own = {1: {"conductors": r.Conductors(material="al", grounding="4", grounding_material="al")}}
    study = Study(duct(100.0, 60.0, extra=own))
    assert study.run("m-w1").grounding == ("4", "entered", "")


def test_a_run_in_shared_raceways_alone_has_no_raceway_of_its_own():
    found = facts(duct(100.0, 60.0), "m-w0")
    assert found.fill is None
    assert found.trade_size.why == "lies in shared raceways"
    assert found.missing == ()


@pytest.mark.parametrize(
    ("place", "raceway", "needed_in", "dug_in"),
    [
        ("yard", "pvc", 18, 30),
        ("yard", "steel", 6, 18),
        ("yard", "direct burial", 24, 36),
        ("under road", "pvc", 24, 36),
        ("under driveway", "pvc", 18, 30),
        ("under building", "pvc", 0, 0),
    ],
)
def test_cover(place, raceway, needed_in, dug_in):
    found = facts(feeder(12_000.0, length_m=20.0, place=place, raceway=raceway), "m-w")
    assert found.cover_needed_m == pytest.approx(needed_in * 0.0254)
    assert found.cover.value == pytest.approx(dug_in * 0.0254)


def test_above_ground_there_is_none():
    found = facts(feeder(12_000.0, length_m=20.0, place="outdoors"), "m-w")
    assert (found.cover.value, found.cover_needed_m) == (None, None)


def test_the_place_follows_from_the_structures():
    assert facts(feeder(12_000.0, length_m=20.0), "m-w").place.value == "yard"
    within = facts(feeder(12_000.0, panel={"structure": "yard"}, length_m=20.0), "m-w")
    assert within.place.value == "indoors"
    assert within.wet is False
    assert within.cover_needed_m is None


def test_cable_by_its_place():
    indoors = {"raceway": "cable", "place": "indoors"}
    small = facts(branch(r.Load, va=2_400.0, run=indoors), "m-x")
    assert (small.insulation.value, small.trade_size.value) == ("NM-B", None)
    ground = facts(branch(r.Load, va=2_400.0, run={"raceway": "cable", "place": "yard"}), "m-x")
    assert ground.insulation.value == "UF-B"
    feed = facts(feeder(16_800.0, length_m=20.0, **indoors), "m-w")
    assert feed.insulation.value == "SER"
    buried = facts(feeder(16_800.0, length_m=20.0, raceway="direct burial"), "m-w")
    assert (buried.insulation.value, buried.trade_size.value) == ("USE-2", None)
    assert buried.missing == ()


def test_cable_for_a_charger_is_of_the_60_degree_column():
    # 48 A continuous: 60 A. 6 AWG copper carries 55 A at 60 C, 4 AWG 70 A (NEC 334.80, 340.80).
    for place, insulation in (("indoors", "NM-B"), ("yard", "UF-B")):
        run = {"raceway": "cable", "place": place}
        found = facts(branch(r.Charger, nameplate_a=48.0, run=run), "m-x")
        assert (found.insulation.value, found.size.value) == (insulation, "4")
        assert found.governs == f"60 C limit of {insulation} carrying 60.0 A"


def test_three_conductors_that_may_jam_are_said():
    # Three 250 kcmil compact XHHW-2 in 2 in: 2.047 / 0.660 = 3.10.
    wires = r.Conductors(size="250", material="al", neutral="250", grounding="none")
    found = facts(feeder(16_800.0, length_m=20.0, conductors=wires, trade_size="2"), "m-w")
    assert found.fill.jam_ratio == pytest.approx(3.10, abs=0.005)
    assert "Three conductors may jam side by side" in lines(found)


def test_a_nipple_may_be_sixty_per_cent_full():
    found = facts(feeder(16_800.0, length_m=0.5), "m-w")
    assert found.fill.limit_pct == 60


def test_a_segment_longer_than_its_run_is_unsound():
    project = duct(100.0)
    longer = altered(project, "m-w0", segments=(r.Segment(raceway="duct", length_m=41.0),))
    assert any("more than its length" in text for text in problems(longer))
