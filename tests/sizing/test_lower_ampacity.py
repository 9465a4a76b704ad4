"""The portion of a run whose ampacity counts, NEC 310.14(A)(2) and its exception."""

from hypothesis import given
from hypothesis import strategies as st

from ampacre.codebook.conductors import ambient_factor, bundling_factor
from ampacre.sizing.portions import Portion, adjusted, governing

COOL = Portion("cool", 60.0, 30.0, 3)


def test_the_hottest_part_governs():
    hot = Portion("roof", 12.0, 50.0, 3)
    assert governing([COOL, hot], 90) == hot


def test_a_short_part_may_be_left_out():
    # To 10 ft and to a tenth of the rest: 3 m of 60 m, but not 3.1 m, nor 3 m of 20 m.
    short = Portion("roof", 3.0, 50.0, 3)
    assert governing([COOL, short], 90) == COOL
    longer = short._replace(length_m=3.1)
    assert governing([COOL, longer], 90) == longer
    assert governing([COOL._replace(length_m=20.0), short], 90) == short


def test_short_parts_of_one_ampacity_count_together():
    short = Portion("roof", 2.0, 50.0, 3)
    assert governing([COOL, short, short._replace(name="other roof")], 90) == short


def test_after_a_short_part_the_next_lower_governs():
    short = Portion("oven", 1.0, 60.0, 3)
    warm = Portion("attic", 30.0, 45.0, 3)
    assert governing([COOL, short, warm], 90) == warm


def test_where_the_length_is_not_known_nothing_is_left_out():
    short = Portion("roof", 1.0, 50.0, 3)
    assert governing([COOL._replace(length_m=None), short], 90) == short


def test_a_nipple_is_not_adjusted_for_company():
    nipple = Portion("nipple", 0.6, 30.0, 9)
    assert adjusted(nipple).current_carrying == 3
    assert adjusted(nipple._replace(length_m=0.7)).current_carrying == 9
    assert governing([COOL, nipple], 90) == COOL


portions = st.lists(
    st.builds(
        Portion,
        name=st.just(""),
        length_m=st.floats(min_value=0.1, max_value=200),
        ambient_c=st.floats(min_value=-10, max_value=80),
        current_carrying=st.integers(1, 12),
    ),
    min_size=1,
    max_size=5,
)


@given(portions)
def test_all_that_is_lower_is_short(parts):
    def factor(part):
        return (
            ambient_factor(part.ambient_c, 90).value
            * bundling_factor(adjusted(part).current_carrying).value
        )

    found = governing(parts, 90)
    lower = [part for part in parts if factor(part) < factor(found) - 1e-12]
    if lower:
        rest = sum(part.length_m for part in parts if part not in lower)
        assert sum(part.length_m for part in lower) <= min(3.048, rest / 10) + 1e-9
