"""Facts joined from parts: what came out equal stays, what changed is named."""

from ampacre.study.joined import Joined, join


def test_only_what_differs_changes():
    shed, barn = {"b": [1], "a": [2]}, {"c": [3]}
    first = join(Joined({}), [shed, barn])
    assert list(first.whole) == ["a", "b", "c"]
    assert first.changed == {"a", "b", "c"}
    again = join(first, [shed, {"c": [3]}])
    assert again.whole is first.whole
    assert not again.changed
    other = join(again, [{"b": [9], "a": [2]}, barn])
    assert other.whole == {"a": [2], "b": [9], "c": [3]}
    assert other.changed == {"b"}
    assert other.whole["a"] is first.whole["a"]


def test_what_comes_and_goes_is_named():
    first = join(Joined({}), [{"a": [1], "b": [2]}, {}])
    moved = join(first, [{"a": [1]}, {"b": [2]}])
    assert moved.whole["b"] is first.whole["b"]
    assert not moved.changed
    fewer = join(moved, [{"a": [1]}, {"c": [3]}])
    assert list(fewer.whole) == ["a", "c"]
    assert fewer.changed == {"b", "c"}
