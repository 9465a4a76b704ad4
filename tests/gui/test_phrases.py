"""Values in translated phrases."""

from ampacre_gui.phrases import filled


def test_values_stand_in_their_places_whatever_the_order():
    assert filled("%2 of %1", "ten", 3) == "3 of ten"


def test_a_value_that_looks_like_a_place_is_left_as_it_is():
    assert filled("%1 and %2 more", "50 %2.pdf", 7) == "50 %2.pdf and 7 more"


def test_a_percent_sign_stands_for_itself():
    assert filled("by %1 %, now by %2 %", 12, 3) == "by 12 %, now by 3 %"
