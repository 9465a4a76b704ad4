"""Names of what is added and of what is one more of something."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ampacre.model.naming import another_name, is_tag, next_tag
from ampacre.model.words import KINDS


@pytest.mark.parametrize(
    ("used", "name", "other"),
    [
        ((), "Barn", "Barn"),
        (("Barn",), "Barn", "Barn 2"),
        (("Barn", "Barn 2"), "Barn", "Barn 3"),
        (("Barn 2",), "Barn 2", "Barn 3"),
        (("EV3", "EV4"), "EV3", "EV5"),
        (("Bay 09",), "Bay 09", "Bay 10"),
        (("1",), "1", "2"),
    ],
)
def test_one_more_is_counted_on(used, name, other):
    assert another_name(used, name) == other


@given(st.text(min_size=1, max_size=120), st.integers(1, 30))
def test_names_of_more_and_more_differ_and_fit_their_field(name, count):
    used = {name}
    for _ in range(count):
        used.add(another_name(used, name))
    assert len(used) == count + 1
    assert all(len(each) <= 120 for each in used)


@pytest.mark.parametrize("kind", KINDS)
def test_tags_of_a_kind_are_known_as_such(kind):
    used = set()
    for _ in range(3):
        tag = next_tag(used, kind)
        assert tag not in used
        assert is_tag(tag, kind)
        used.add(tag)
    assert not is_tag("Press barn", kind)


def test_a_tag_of_another_kind_is_a_name():
    assert not is_tag("P-1", "charger")
    assert not is_tag("P-01", "panel")
    assert not is_tag("T", "transformer")
