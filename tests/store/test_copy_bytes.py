"""What is put on the clipboard comes back, and nothing else gets through."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import SMALL_SITE, projects

from ampacre.model.copying import branch
from ampacre.model.pasting import paste
from ampacre.model.project import Refused
from ampacre.model.soundness import problems
from ampacre.store import clipping
from ampacre.store.clipping import decode_copy, encode_copy
from ampacre.store.file import encode
from ampacre.store.parse import Unreadable


@given(projects(), st.data())
def test_a_copy_comes_back_as_it_was(project, data):
    keys = data.draw(st.lists(st.sampled_from(sorted(project.equipment) or ["none"]), max_size=3))
    fragment = branch(project, keys)
    assert decode_copy(encode_copy(fragment)) == fragment


@given(st.binary())
def test_any_bytes_give_a_message(data):
    with pytest.raises(Unreadable):
        decode_copy(data)


@given(st.data())
def test_a_damaged_copy_gives_a_message_or_a_copy(data):
    whole = bytearray(encode_copy(branch(SMALL_SITE, ["main"])))
    at = data.draw(st.integers(0, len(whole) - 1))
    whole[at] = data.draw(st.integers(0, 255))
    try:
        decode_copy(bytes(whole))
    except Unreadable as error:
        assert str(error)


def _strings(plain, path=()):
    """Places of all texts in plain JSON but for format and kinds."""
    pairs = plain.items() if isinstance(plain, dict) else enumerate(plain)
    for key, value in pairs:
        if isinstance(value, (dict, list)):
            yield from _strings(value, (*path, key))
        elif isinstance(value, str) and key not in ("format", "kind"):
            yield (*path, key)


@given(st.data())
def test_a_copy_whose_records_do_not_fit_is_refused_or_pasted_soundly(data):
    plain = json.loads(encode_copy(branch(SMALL_SITE, ["main"])))
    places = list(_strings(plain))
    for _ in range(data.draw(st.integers(1, 3))):
        *way, last = data.draw(st.sampled_from(places))
        record = plain
        for step in way:
            record = record[step]
        record[last] = data.draw(
            st.sampled_from(["main", "barn", "ev", "to-ev", "nowhere", "work"])
        )
    try:
        fragment = decode_copy(json.dumps(plain).encode())
        pasted = paste(SMALL_SITE, fragment, data.draw(st.sampled_from([None, "main", "barn"])))
        after = SMALL_SITE.apply(pasted.edit)
    except (Unreadable, Refused) as refused:
        assert str(refused)
        return
    assert problems(after) == []
    assert pasted.tops


def _plain():
    return json.loads(encode_copy(branch(SMALL_SITE, ["barn"])))


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"format": "ampacre project"}, "is not equipment that was copied"),
        ({"version": 99}, "newer Ampacre"),
        ({"version": "1"}, "whole number"),
        ({"extra": 1}, "is damaged"),
        ({"equipment": [{"kind": "kettle", "id": "a", "name": "K"}]}, "is damaged"),
        ({"feeds": [{"run": {"id": "x"}}]}, "is damaged"),
    ],
)
def test_what_is_wrong_is_said(changes, words):
    with pytest.raises(Unreadable, match=words):
        decode_copy(json.dumps(_plain() | changes).encode())


def test_a_project_file_is_no_copy():
    with pytest.raises(Unreadable, match="is not equipment that was copied"):
        decode_copy(encode(SMALL_SITE))


def test_size_is_limited(monkeypatch):
    monkeypatch.setattr(clipping, "LARGEST_BYTES", 100)
    with pytest.raises(Unreadable, match="larger than"):
        decode_copy(encode_copy(branch(SMALL_SITE, ["main"])))
