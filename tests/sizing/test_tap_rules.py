"""Feeder taps and transformer secondaries, NEC 240.21(B) and (C)."""

import pytest

from ampacre.sizing.taps import tap_rule

FEET = 0.3048


@pytest.mark.parametrize(
    ("feet", "least_a", "article", "one_device"),
    # Behind a 400 A device: a tenth to 10 ft, a third to 25 ft.
    [(10, 40, "tap_10", False), (10.1, 400 / 3, "tap_25", True), (25, 400 / 3, "tap_25", True)],
)
def test_taps_by_length(feet, least_a, article, one_device):
    found = tap_rule(feet * FEET, 400, outdoors=False, secondary=False)
    assert found.least_a == pytest.approx(least_a)
    assert (found.cite_key, found.one_device) == (article, one_device)


def test_longer_taps_stay_outdoors():
    assert tap_rule(26 * FEET, 400, outdoors=False, secondary=False) is None
    found = tap_rule(300 * FEET, 400, outdoors=True, secondary=False)
    assert (found.least_a, found.cite_key, found.one_device) == (0, "tap_outside", True)


def test_secondaries_have_articles_of_their_own():
    # A 100 A primary device at 480 V is 200 A seen from 240 V.
    found = tap_rule(20 * FEET, 200, outdoors=False, secondary=True)
    assert found.least_a == pytest.approx(200 / 3)
    assert found.cite_key == "secondary_25"
    assert tap_rule(9 * FEET, 200, outdoors=False, secondary=True).least_a == 20


def test_without_a_length_there_is_no_rule():
    assert tap_rule(None, 400, outdoors=True, secondary=False) is None
