"""A 240 ft, 70 A feeder in aluminum to a workshop, worked by hand.

The load is 56 A between the legs (13,440 VA at 240 V), none of it on the neutral.

- Ampacity: the device of 70 A may protect 4 AWG, 65 A in the 75 C column of NEC Table 310.16, by
  the next rating up (240.4(B)); 6 AWG, 50 A, may not. The load of 56 A is within its 65 A.
- Drop, 3 % of 240 V is 7.2 V: 2 x 56 A x 0.240 kft = 26.88 A kft, so at most 0.268 ohm per
  1000 ft; Chapter 9 Table 9, aluminum in PVC: 2 AWG 0.32, 1 AWG 0.25: 6.72 V, 2.80 %.
- Grounding: 70 A wants 6 AWG aluminum (Table 250.122), in proportion
  26,240 x 83,690 / 41,740 = 52,612 circular mils: 3 AWG has 52,620, eight more.
- Raceway: XHHW-2, Chapter 9 Table 5A: 2 x 0.1352, and twice 3 AWG, 0.0962 by Table 5.
- Cover: 18 in for plastic in a yard, dug a foot deeper: 30 in.
"""

import pytest
from study.sizing.plan import FEET, facts, feeder, lines

from ampacre.model import records as r

RUN = {
    "length_m": 240 * FEET,
    "device": r.Device(rating_a=70.0),
    "conductors": r.Conductors(material="al"),
}


@pytest.fixture(scope="module")
def workshop():
    return facts(feeder(13_440.0, **RUN), "m-w")


def test_hot(workshop):
    assert workshop.needed == "4"
    assert (workshop.size.value, workshop.sets.value) == ("1", 1)
    assert workshop.upsized_from == "4"
    assert workshop.governs == "voltage drop, 3 % at most"
    assert workshop.drop_pct == pytest.approx(2.80)
    assert workshop.drop_v == pytest.approx(6.72)


def test_grounding_conductor(workshop):
    assert workshop.grounding.value == workshop.grounding_needed == "3"
    line = lines(workshop)["Grounding conductor: 3 AWG or larger"]
    assert line.result == pytest.approx(52_612.0, abs=0.1)
    assert "beyond 4 AWG aluminum (75 C column)" in line.note
    assert "2.0050 times" in line.note


def test_neutral_by_the_device_where_nothing_loads_it(workshop):
    # 215.2(B) (2017: 215.2(A)(2)): not below the grounding conductor of 250.122, enlarged by its (B).
    assert workshop.neutral.value == workshop.neutral_needed == workshop.neutral_enlarged == "3"
    assert "enlarged 2.0050 times" in lines(workshop)["Neutral: 3 AWG or larger"].note


def test_neutral_by_its_load():
    # 50 A on one leg: 6 AWG carries 50 A at 75 C. 26,240 x 167,800 / 41,740 = 105,489 circular mils
    # ask for 1/0 (105,600). The drop on that leg, out and back, is
    # 50 A x 0.240 kft x (Rh + Rn), 3.6 V at most: together 0.30 ohm per 1000 ft. With a neutral
    # like the hots 3/0 (0.13) is the first; beside it 2/0 (0.16) is enough for the neutral.
    found = facts(feeder(6_000.0, one_leg=True, **RUN), "m-w")
    assert found.demand.neutral_a == pytest.approx(50)
    assert found.neutral_needed == "1/0"
    assert (found.size.value, found.neutral.value) == ("3/0", "2/0")
    assert found.drop_pct == pytest.approx(50 * 0.240 * (0.13 + 0.16) / 120 * 100)


def test_raceway(workshop):
    assert workshop.raceway.value == "pvc"
    area = 2 * 0.1352 + 2 * 0.0962
    assert workshop.fill.area_in2 == pytest.approx(area)
    # 40 % of 1 in: 0.333; of 1-1/4 in: 0.582, and in Schedule 80 0.495, with 0.4628 in it.
    assert workshop.trade_size.value == "1-1/4"
    assert workshop.fill_pct == pytest.approx(100 * area / 1.453)


def test_cover(workshop):
    assert workshop.place.value == "yard"
    assert workshop.cover_needed_m == pytest.approx(18 * 0.0254)
    assert workshop.cover.value == pytest.approx(30 * 0.0254)
    assert lines(workshop)["Cover to dig for"].unit == "in"
    assert "value not independently confirmed" in lines(workshop)["Cover to dig for"].note


def test_the_chain_of_limits_stands_in_order(workshop):
    labels = [line.label for line in workshop.worksheet.lines]
    wanted = [
        "Device",
        "Sizing current",
        "Terminations at 75 C, 1 AWG aluminum",
        "Calculated current",
        "Insulation at 90 C, 1 AWG aluminum",
        "Ambient 30 C",
        "2 current-carrying conductors together",
        "Ampacity corrected and adjusted",
        "Largest device for these conductors",
        "Smallest conductor that would do: 4 AWG",
        "Conductors: 1 AWG aluminum",
        "Neutral: 3 AWG or larger",
        "Grounding conductor: 3 AWG or larger",
        "Area of 4 conductors",
        "Fill of trade size 1-1/4 in",
        "Least cover",
        "Cover to dig for",
        "Design drop at calculated current, conductors at 75 C",
    ]
    at = [labels.index(label) for label in wanted]
    assert at == sorted(at)


def test_a_feeder_whose_load_is_not_known_is_built_for_its_device():
    # 2 x 70 A x 0.240 kft = 33.6 A kft: at most 0.214 ohm per 1000 ft, 1/0 with 0.20 (2.80 %).
    # The grounding conductor: 26,240 x 105,600 / 41,740 = 66,386, 26 above 2 AWG (66,360): 1 AWG.
    found = facts(feeder(0.0, **RUN), "m-w")
    assert (found.size.value, found.grounding.value) == ("1/0", "1")
    # The neutral carries 70 A, for which 3 AWG has 75 A at 75 C; as the grounding conductor it is 1.
    assert found.neutral.value == "1"
    assert "no load is known yet" in lines(found)["Conductors: 1/0 AWG aluminum"].note


def test_everything_left_empty_but_load_and_length():
    # The load of 70 A (16,800 VA) asks for a 70 A device, 3 AWG (75 A) at its terminations.
    found = facts(feeder(16_800.0, length_m=240 * FEET), "m-w")
    assert (found.device.value, found.device.how) == (70, "chosen")
    assert (found.material.value, found.insulation.value) == ("al", "XHHW-2")
    assert (found.needed, found.size.value) == ("3", "1/0")
    # 26,240 x 105,600 / 52,620 = 52,660, just above 3 AWG (52,620): 2 AWG.
    assert found.grounding.value == found.neutral.value == "2"
    # 2 x 0.1590 + 2 x 0.1017 = 0.5214: more than the 0.495 of 1-1/4 in in Schedule 80.
    assert found.trade_size.value == "1-1/2"
    assert found.missing == ()
