"""What a place amends, and which section of which edition a working cites."""

import pytest
from study.sizing.plan import FEET, facts, feeder, lines

from ampacre.codebook.articles import EDITIONS
from ampacre.model import records as r
from ampacre.model.amendments import AMENDABLE, amended
from ampacre.model.words import field_word


def run(settings=None, **fields):
    return facts(feeder(16_800.0, length_m=240 * FEET, settings=settings or {}, **fields), "m-w")


def test_a_stricter_drop_limit():
    assert run({"feeder_drop_pct": 1.5}).size.value == "4/0"
    assert run().size.value == "1/0"


def test_a_local_cover():
    found = run({"least_cover_m": 0.75})
    assert found.cover_needed_m == 0.75
    assert found.cover.value == pytest.approx(0.75 + 0.3048)
    assert lines(found)["Least cover"].cite == "local amendment"
    assert run({"least_cover_m": 0.75}, place="under building").cover_needed_m == 0


def test_required_conductors():
    found = run({"required_material": "cu", "required_insulation": "THWN-2"})
    assert (found.material.value, found.material.why) == ("cu", "local amendment")
    assert found.insulation.value == "THWN-2"


def test_what_is_amended_is_listed():
    assert amended(r.Settings(id="project")) == ()
    settings = r.Settings(id="project", least_cover_m=0.9, feeder_drop_pct=2.0, name="Orchard")
    assert amended(settings) == ("feeder_drop_pct", "least_cover_m")
    for name in AMENDABLE:
        assert field_word(name) != name


@pytest.mark.parametrize(
    ("edition", "table", "bundling"),
    [
        ("2017", "NEC 2017 Table 310.15(B)(16)", "NEC 2017 Table 310.15(B)(3)(a)"),
        ("2020", "NEC 2020 Table 310.16", "NEC 2020 Table 310.15(C)(1)"),
        ("2023", "NEC 2023 Table 310.16", "NEC 2023 Table 310.15(C)(1)"),
    ],
)
def test_citations_follow_the_edition(edition, table, bundling):
    found = lines(run({"edition": edition}))
    assert found["Insulation at 90 C, 1/0 AWG aluminum"].cite == table
    assert found["2 current-carrying conductors together"].cite == bundling
    for line in found.values():
        assert all(f"NEC {other}" not in line.cite for other in EDITIONS if other != edition)


def test_2017_measures_an_enlargement_from_the_uncorrected_size():
    # At 50 C 70 A need 2 AWG (100 A x 0.82 = 82 A) and 3 AWG (85 A x 0.82 = 69.7 A) no longer
    # carries the load; 2017 counts that growth from 3 AWG, later editions do not.
    hot = {"ambient_c": 50.0}
    before = facts(feeder(16_800.0, length_m=5.0, settings={"edition": "2017"}, **hot), "m-w")
    after = facts(feeder(16_800.0, length_m=5.0, settings={"edition": "2023"}, **hot), "m-w")
    assert before.needed == after.needed == "2"
    # 26,240 x 66,360 / 52,620 = 33,092: 4 AWG.
    assert before.grounding_needed == "4"
    assert after.grounding_needed == "6"


WORDS = ("common practice", "local amendment", "project policy")


@pytest.mark.parametrize("edition", EDITIONS)
def test_no_line_cites_a_bare_key(edition):
    settings = {"edition": edition}
    parallel = run(settings, device=r.Device(rating_a=600.0))
    steep = run(settings, place="on roof", conductors=r.Conductors(insulation="THWN-2"))
    buried = run(settings, raceway="direct burial")
    for found in (run(settings), parallel, steep, buried):
        for line in found.worksheet.lines:
            assert not line.cite or line.cite.startswith(("NEC ", *WORDS)), line
