"""Tables that are alike: the same keys, and records of the same shape."""

from hypothesis import given
from hypothesis import strategies as st

from ampacre.study.alike import Alike, alike

TABLES = st.dictionaries(st.sampled_from("abc"), st.integers(0, 5), max_size=3)


def parity(number):
    return number % 2


@given(TABLES, TABLES)
def test_tables_are_alike_where_their_shapes_are_equal(old, new):
    expected = {k: n % 2 for k, n in old.items()} == {k: n % 2 for k, n in new.items()}
    assert alike(old, new, parity) == expected
    assert (Alike(old, parity) == Alike(new, parity)) == expected


def test_tables_compared_by_other_shapes_are_not_equal():
    assert Alike({}, parity) != Alike({}, str)
    assert Alike({}, parity) != {}
