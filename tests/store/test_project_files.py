"""The project file: what is saved comes back, and nothing that is not a project gets in."""

import json
import os
import stat
import tracemalloc
from contextlib import contextmanager
from pathlib import Path

import msgspec
import pytest
from full_disk import files_limited_to
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import SMALL_SITE, projects

from ampacre.model import records as r
from ampacre.model.project import TABLES, Project
from ampacre.store import file as store
from ampacre.store.file import NotSaved, Unreadable, decode, digest, encode, load, save
from ampacre.store.migrate import STEPS, migrated
from ampacre.store.parse import LARGEST_BYTES


@given(projects())
def test_what_is_encoded_decodes_to_the_same_project(project):
    data = encode(project)
    again = decode(data, "x")
    assert again == project
    assert encode(again) == data


@given(projects())
def test_the_order_in_which_records_came_does_not_show(project):
    turned = Project(**{name: dict(reversed(table.items())) for name, table in project.tables()})
    assert encode(turned) == encode(project)


def test_the_file_is_readable_json_with_its_tables_sorted(tmp_path):
    save(SMALL_SITE, tmp_path / "site.ampacre")
    data = (tmp_path / "site.ampacre").read_bytes()
    assert data.endswith(b"}\n")
    plain = json.loads(data)
    assert list(plain) == ["format", "version", "equipment", "runs", "stages", "project"]
    assert (plain["format"], plain["version"]) == ("ampacre project", 1)
    assert [record["id"] for record in plain["equipment"]] == sorted(SMALL_SITE.equipment)
    assert load(tmp_path / "site.ampacre") == SMALL_SITE


def _file(**changes):
    """Plain JSON of a small sound project with some tables changed (None: left out)."""
    plain = json.loads(encode(Project()))
    plain["equipment"] = [
        {"kind": "panel", "id": "a", "name": "P-1"},
        {"kind": "charger", "id": "b", "name": "C-1"},
        {"kind": "dwelling load", "id": "h", "name": "House", "appliances": [{"kind": "dryer"}]},
    ]
    plain["runs"] = [{"id": "r", "name": "F-3", "source": "a", "target": "b", "length_m": 5}]
    plain |= changes
    return {key: value for key, value in plain.items() if value is not None}


def _with_run(**fields):
    return _file(runs=[_file()["runs"][0] | fields])


def _with_piece(at, **fields):
    equipment = _file()["equipment"]
    equipment[at] |= fields
    return _file(equipment=equipment)


def _text(plain):
    return json.dumps(plain).encode()


RUN = _file()["runs"][0]

MALFORMED = {
    "negative length": (_text(_with_run(length_m=-5)), "runs › F-3 › length_m: must be at least 0, found -5"),
    "text for a number": (
        _text(_with_run(length_m="5 m")),
        'runs › F-3 › length_m: must be a number or null, found "5 m"',
    ),
    "null for an object": (
        _text(_with_run(conductors=None)),
        "runs › F-3 › conductors: must be an object in braces, found null",
    ),
    "unknown field": (_text(_with_run(lenght_m=5)), 'runs › F-3: there is no field called "lenght_m"'),
    "missing field": (
        _text(_file(runs=[{"id": "r", "source": "a"}])), 'runs › r: the field "target" is missing',
    ),
    "unknown size": (
        _text(_with_run(conductors={"size": "13"})),
        "runs › F-3 › conductors › size: must be one of 14, 12, 10,",
    ),
    "unknown kind": (_text(_with_piece(0, kind="pannel")), "equipment › P-1 › kind: must be one of utility source,"),
    "unknown choice inside": (
        _text(_with_piece(2, appliances=[{"kind": "dryer", "volts": 241}])),
        "equipment › House › appliances › number 1 › volts: must be one of 120, 208, 240, found 241",
    ),
    "no kind": (_text(_file(equipment=[{"id": "a", "name": "A"}])), 'equipment › A: the field "kind" is missing'),
    "bad space": (
        _text(_with_run(spaces=[1, 200])), "runs › F-3 › spaces › number 2: must be at most 126, found 200",
    ),
    "bad id": (_text(_with_run(id="r r")), 'runs › F-3 › id: may hold only letters, digits, - and _, found "r r"'),
    "name too long": (_text(_with_piece(0, name="x" * 130)), "name: must be at most 120 characters long"),
    "bad position": (
        _text(_file(states=[{"id": "s", "name": "S", "positions": {"r": "opn"}}])),
        "states › S › positions: must be one of normal, standby, open, closed",
    ),
    "record that is none": (_text(_file(runs=[5])), "runs › number 1: must be an object in braces, found 5"),
    "table that is none": (_text(_file(runs={"r": {}})), "runs: must be a list"),
    "unknown table": (_text(_file(cables=[])), 'there is no field called "cables"'),
    "no settings": (_text(_file(project=None)), "table project must hold exactly one record"),
    "no stages": (_text(_file(stages=None)), 'table stages must hold a stage with the id "work"'),
    "doubled id": (_text(_file(runs=[RUN, RUN | {"name": "F-4"}])), "runs › r: two records have this id"),
    "run to nowhere": (_text(_with_run(target="x")), 'run "F-3": its target x does not exist'),
    "cycle": (
        _text(_file(runs=[RUN, {"id": "s", "source": "b", "target": "a"}])), '"P-1" feeds itself',
    ),
    "newer version": (_text(_file(version=2)), "was written by a newer Ampacre (file version 2; this one reads up to 1)"),
    "version zero": (_text(_file(version=0)), '"version" must be a whole number from 1'),
    "version yes": (_text(_file(version=True)), '"version" must be a whole number from 1'),
    "another format": (_text(_file(format="other")), "is not an Ampacre project"),
    "a list": (b"[]", "is not an Ampacre project"),
    "NaN": (_text(_with_run(length_m=float("nan"))), "holds NaN"),
    "infinity": (_text(_with_run(length_m=float("inf"))), "holds Infinity"),
    "overflow": (_text(_file()).replace(b'"length_m": 5', b'"length_m": 1e999'), "holds 1e999..., which is too large"),
    "endless integer": (_text(_file()).replace(b'"length_m": 5', b'"length_m": ' + b"9" * 9999), "too large a number"),
    "doubled key": (
        _text(_file()).replace(b'"length_m": 5', b'"length_m": 5, "length_m": 6'), '"length_m" stands twice in F-3',
    ),
    "deep lists": (b"[" * 10_000 + b"]" * 10_000, "is nested more than 40 levels deep"),
    "deep unclosed": (b"[" * 10_000, "is nested more than 40 levels deep"),
    "deep objects": (b'{"a":' * 10_000, "is nested more than 40 levels deep"),
    "many brackets": (b"[" + b"[]," * 3_000_000 + b"[]]", "more records than any project"),
    "many quotes": (b'"' + b'\\"' * 3_000_000, "it is not JSON: line 1"),
    "empty": (b"", "is empty"),
    "blank": (b" \n", "is empty"),
    "not UTF-8": ('{"name": "caf\u00e9"}'.encode("latin-1"), "is not a text file in UTF-8"),
    "binary": (b"\x7fELF\x02\x01\x01" + bytes(range(256)), "is not a text file in UTF-8"),
    "zeros": (b"\0" * 100, "it is not JSON: line 1, column 1"),
    "cut short": (_text(_file())[:-3], "it is not JSON: line 1"),
    "half a character": (_text(_with_run(name="\ud800")), "holds half of a character"),
}  # fmt: skip


def test_the_file_that_the_malformed_ones_are_made_from_is_sound():
    assert decode(_text(_file()), "x").runs["r"].length_m == 5.0


@pytest.mark.parametrize(("data", "words"), MALFORMED.values(), ids=MALFORMED)
def test_malformed_files_get_one_clear_line_and_stay_as_they_are(data, words, tmp_path):
    path = tmp_path / "site.ampacre"
    path.write_bytes(data)
    with pytest.raises(Unreadable) as caught:
        load(path)
    message = str(caught.value)
    assert words in message
    assert message.startswith("site.ampacre: ")
    assert "\n" not in message
    assert len(message) < 450
    assert path.read_bytes() == data


def test_what_is_no_file_is_said(tmp_path):
    with pytest.raises(Unreadable, match="there is no such file"):
        load(tmp_path / "none.ampacre")
    with pytest.raises(Unreadable, match="is a folder"):
        load(tmp_path)
    with pytest.raises(Unreadable, match=r"^\.: is a folder"):
        load(Path())
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(Unreadable, match="not an ordinary file"):
        load(tmp_path / "pipe")
    with pytest.raises(Unreadable, match="cannot be read"):
        load(tmp_path / ("x" * 300))
    with pytest.raises(Unreadable, match="cannot be read"):
        load(tmp_path / "\0")


@contextmanager
def _without_privilege():
    """Run as nobody where the tests run as root, whom permissions do not bind."""
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(65534)
    try:
        yield
    finally:
        os.seteuid(0)


def test_a_file_without_permission_is_said(tmp_path):
    path = tmp_path / "site.ampacre"
    save(SMALL_SITE, path)
    path.chmod(0)
    for folder in [tmp_path, *tmp_path.parents][:-2]:
        folder.chmod(folder.stat().st_mode | stat.S_IXOTH)
    with _without_privilege(), pytest.raises(Unreadable, match="you have no permission to read it"):
        load(path)


def test_a_huge_file_is_refused_without_reading_it_whole(tmp_path):
    path = tmp_path / "site.ampacre"
    with path.open("wb") as sparse:
        sparse.truncate(16 * LARGEST_BYTES)
    tracemalloc.start()
    try:
        with pytest.raises(Unreadable, match="is larger than 64 MB"):
            load(path)
        assert tracemalloc.get_traced_memory()[1] < 3 * LARGEST_BYTES
    finally:
        tracemalloc.stop()


def _decoded(data):
    try:
        assert isinstance(decode(data, "x"), Project)
    except Unreadable as error:
        assert "\n" not in str(error)


@given(st.binary(max_size=300))
def test_any_bytes_are_a_project_or_unreadable(data):
    _decoded(data)


_json = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(
            st.text(max_size=3) | st.sampled_from([*r.Run.__struct_fields__, "kind", "members"]),
            inner,
            max_size=4,
        )
    ),
    max_leaves=12,
)


@given(st.dictionaries(st.sampled_from([*TABLES, "version"]), _json))
@settings(max_examples=300)
def test_any_json_in_the_tables_is_a_project_or_unreadable(tables):
    _decoded(json.dumps({"format": "ampacre project", "version": 1} | tables).encode())


@given(projects(), st.data())
@settings(max_examples=300)
def test_a_project_file_with_a_value_replaced_is_a_project_or_unreadable(project, data):
    plain = json.loads(encode(project))
    at, places = plain, []
    while isinstance(at, (dict, list)) and at:
        step = data.draw(st.sampled_from(list(at) if isinstance(at, dict) else range(len(at))))
        places.append((at, step))
        at = at[step]
    where, step = data.draw(st.sampled_from(places))
    where[step] = data.draw(_json)
    _decoded(json.dumps(plain).encode())


@given(projects(4), st.data())
def test_a_project_file_with_bytes_replaced_is_a_project_or_unreadable(project, data):
    content = bytearray(encode(project))
    start = data.draw(st.integers(0, len(content) - 1))
    end = data.draw(st.integers(start, min(len(content), start + 20)))
    content[start:end] = data.draw(
        st.binary(max_size=8) | st.sampled_from([b"{", b"]", b'"', b"-"])
    )
    _decoded(bytes(content))


def test_a_save_that_fails_leaves_the_old_file_and_nothing_else(tmp_path):
    path = tmp_path / "site.ampacre"
    save(Project(), path)
    with files_limited_to(100), pytest.raises(NotSaved, match=r"site.ampacre could not be saved: "):
        save(SMALL_SITE, path)
    assert load(path) == Project()
    assert list(tmp_path.iterdir()) == [path]
    with pytest.raises(NotSaved, match="there is no folder"):
        save(SMALL_SITE, tmp_path / "none" / "site.ampacre")


def test_a_read_only_file_is_left_as_it_is(tmp_path):
    path = tmp_path / "site.ampacre"
    save(Project(), path)
    path.chmod(0o444)
    with pytest.raises(NotSaved, match="it is read-only"):
        save(SMALL_SITE, path)
    assert load(path) == Project()


@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_a_save_that_fails_late_leaves_the_old_file_and_nothing_else(tmp_path, monkeypatch, step):
    def fails(*args, **kwargs):
        raise OSError(28, "No space left on device")

    path = tmp_path / "site.ampacre"
    save(Project(), path)
    monkeypatch.setattr(*{"fsync": (os, "fsync"), "replace": (type(path), "replace")}[step], fails)
    with pytest.raises(NotSaved, match="No space left on device"):
        save(SMALL_SITE, path)
    assert load(path) == Project()
    assert list(tmp_path.iterdir()) == [path]


def test_a_save_keeps_access_rights_and_follows_links(tmp_path):
    path, link = tmp_path / "site.ampacre", tmp_path / "link.ampacre"
    save(Project(), path)
    path.chmod(0o640)
    link.symlink_to(path)
    save(SMALL_SITE, link)
    assert link.is_symlink()
    assert load(path) == SMALL_SITE
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_digests_tell_files_apart():
    assert digest(encode(SMALL_SITE)) == digest(encode(decode(encode(SMALL_SITE), "x")))
    assert digest(encode(SMALL_SITE)) != digest(encode(Project()))


def test_migration_goes_step_by_step_and_no_further_than_asked():
    steps = {
        1: lambda plain: {"version": 1, "pieces": plain["things"]},
        2: lambda plain: {"version": 2, "equipment": [{"id": key} for key in plain["pieces"]]},
    }
    old = {"version": 1, "things": ["a"]}
    assert migrated(old, 2, steps) == {"version": 2, "pieces": ["a"]}
    assert migrated(old, 3, steps) == {"version": 3, "equipment": [{"id": "a"}]}
    assert migrated({"version": 3}, 3, steps) == {"version": 3}
    assert old == {"version": 1, "things": ["a"]}


def test_an_older_file_is_migrated_before_it_is_decoded(monkeypatch):
    def renamed(plain):
        runs = [{"length_m": run.pop("metres"), **run} for run in plain.pop("cables")]
        return {**plain, "runs": runs}

    old = _file(runs=None, cables=[{"id": "r", "source": "a", "target": "b", "metres": 7}])
    monkeypatch.setattr(store, "VERSION", 2)
    monkeypatch.setattr(
        store, "_File", msgspec.defstruct("File2", [("format", str), ("version", int), *store._FIELDS[2:]])
    )  # fmt: skip
    monkeypatch.setitem(STEPS, 1, renamed)
    assert decode(_text(old), "x").runs["r"].length_m == 7.0


def test_the_schema_describes_every_table_and_its_bounds():
    schema = store.schema()
    parts = schema["$defs"]
    assert schema["$ref"] == "#/$defs/ProjectFile"
    assert set(parts["ProjectFile"]["properties"]) == {"format", "version", *TABLES}
    assert parts["ProjectFile"]["additionalProperties"] is False
    length = parts["Run"]["properties"]["length_m"]["anyOf"]
    assert {"type": "number", "minimum": 0, "maximum": 100_000} in length
    json.dumps(schema, allow_nan=False)
