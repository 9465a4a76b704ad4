"""The journal: whatever moment a crash comes at, only the edit in hand is lost."""

import contextlib
import json
import os
import signal
import subprocess
import sys
import tempfile
import threading
from contextlib import closing
from pathlib import Path

import pytest
from full_disk import files_limited_to
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import SMALL_SITE, histories

from ampacre.model import edits
from ampacre.model.project import Project
from ampacre.store.file import NotSaved, digest, encode, load, save
from ampacre.store.journal import Journal, NotRecovered, beside, put_aside, recover


def _journaled(folder, project, steps, *, untitled=False):
    path = folder / "site.ampacre.journal"
    journal = Journal.start(path, encode(project), untitled=untitled)
    for edit, _ in steps:
        journal.write(edit)
    assert journal.trouble == ""
    journal.close()
    return path


@given(histories(4), st.booleans())
@settings(max_examples=12)
def test_cut_at_any_byte_the_journal_gives_the_edits_whose_lines_were_ended(history, untitled):
    first, steps = history
    states = [first, *(project for _, project in steps)]
    with tempfile.TemporaryDirectory() as folder:
        path = _journaled(Path(folder), first, steps, untitled=untitled)
        data, content = path.read_bytes(), b"" if untitled else encode(first)
        for end in range(len(data) + 1):
            path.write_bytes(data[:end])
            ended = data[:end].count(b"\n") - 1
            recovered = recover(path, content)
            assert recovered == (states[ended] if ended > 0 else None)


@given(histories(), st.data())
def test_undone_edits_are_journaled_as_their_inverse(history, data):
    first, steps = history
    with tempfile.TemporaryDirectory() as folder:
        kept = data.draw(st.integers(0, len(steps)))
        journal = Journal.start(Path(folder) / "journal", encode(first))
        for edit, _ in steps:
            journal.write(edit)
        for edit, _ in reversed(steps[kept:]):
            journal.write(edit.inverse())
        journal.close()
        expected = steps[kept - 1][1] if kept else first
        assert recover(journal.path, encode(first)) == (expected if steps else None)


@given(histories(8), st.integers(0, 8), st.integers(1, 20))
@settings(max_examples=30)
def test_a_resumed_journal_goes_on_after_its_last_whole_line(history, done, cut):
    first, steps = history
    done = min(done, len(steps))
    with tempfile.TemporaryDirectory() as folder:
        path = _journaled(Path(folder), first, steps[:done])
        if steps[done:]:
            with path.open("ab") as torn:
                torn.write(b'{"line":"edit","label":"torn"'[:cut])
        journal = Journal.resume(path)
        for edit, _ in steps[done:]:
            journal.write(edit)
        journal.close()
        assert recover(path, encode(first)) == (steps[-1][1] if steps else None)


LOUDER = edits.alter(SMALL_SITE, "equipment", "ev", nameplate_a=48.0)
LOUDEST = edits.alter(SMALL_SITE.apply(LOUDER), "equipment", "ev", nameplate_a=80.0)
AFTER = SMALL_SITE.apply(LOUDER)
LAST = AFTER.apply(LOUDEST)


@pytest.fixture
def started(tmp_path):
    path = tmp_path / "site.ampacre"
    save(SMALL_SITE, path)
    with closing(Journal.start(beside(path), path.read_bytes())) as journal:
        yield path, journal


def test_a_save_starts_the_journal_afresh(started, tmp_path):
    path, journal = started
    journal.write(LOUDER)
    assert recover(journal.path, path.read_bytes()) == AFTER
    journal.save(AFTER, path)
    assert load(path) == AFTER
    assert recover(journal.path, path.read_bytes()) is None
    journal.write(LOUDEST)
    assert recover(journal.path, path.read_bytes()) == LAST
    journal.discard()
    assert list(tmp_path.iterdir()) == [path]


def test_killed_between_the_steps_of_a_save_nothing_is_lost(started, monkeypatch):
    path, journal = started
    journal.write(LOUDER)
    old = path.read_bytes()
    monkeypatch.setattr(journal, "_begin", lambda *args: None)
    journal.save(AFTER, path)
    new = path.read_bytes()
    assert old != new
    # the new digest is written, the file renamed or not, the journal not yet begun afresh
    assert recover(journal.path, old) == AFTER
    assert recover(journal.path, new) is None
    # and the same where work went on because the journal could not be begun afresh
    journal.write(LOUDEST)
    assert recover(journal.path, old) == LAST
    assert recover(journal.path, new) == LAST


def test_a_save_that_fails_keeps_the_journal_of_the_old_file(started, monkeypatch):
    path, journal = started
    journal.write(LOUDER)
    with monkeypatch.context() as patch, pytest.raises(NotSaved):
        patch.setattr(Path, "replace", _no_space)
        journal.save(AFTER, path)
    journal.write(LOUDEST)
    assert load(path) == SMALL_SITE
    assert recover(journal.path, path.read_bytes()) == LAST


def _no_space(*args, **kwargs):
    raise OSError(28, "No space left on device")


def test_an_untitled_project_is_recovered_and_moves_to_its_file(tmp_path):
    hidden = tmp_path / "untitled.journal"
    with closing(Journal.start(hidden, encode(SMALL_SITE), untitled=True)) as journal:
        assert recover(hidden, b"") is None
        journal.write(LOUDER)
        assert recover(hidden, b"") == AFTER
        path = tmp_path / "site.ampacre"
        journal.save(AFTER, path)
        assert journal.path == beside(path)
        assert not hidden.exists()
        journal.write(LOUDEST)
        assert recover(beside(path), path.read_bytes()) == LAST


def test_a_journal_of_another_version_of_the_file_is_told_and_can_be_put_aside(started):
    path, journal = started
    journal.write(LOUDER)
    save(Project(), path)
    with pytest.raises(NotRecovered, match=r"site\.ampacre\.journal: belongs to another version"):
        recover(journal.path, path.read_bytes())
    with pytest.raises(NotRecovered, match="belongs to another version"):
        recover(journal.path, b"")
    assert load(path) == Project()
    kept = [put_aside(journal.path)]
    Journal.start(beside(path), path.read_bytes()).close()
    kept.append(put_aside(journal.path))
    assert [name.name for name in kept] == ["site.ampacre.journal.1", "site.ampacre.journal.2"]


HEAD = {
    "line": "journal",
    "format": "ampacre project",
    "version": 1,
    "digest": digest(encode(SMALL_SITE)),
}
EDIT = {"line": "edit", "label": "", "changes": [["runs", "to-ev", None]]}


def _lines(*lines):
    return b"".join(json.dumps(line).encode() + b"\n" for line in lines)


BROKEN = {
    "damaged head": (b"\0\0\0\n" + _lines(EDIT), "is damaged at line 1"),
    "damaged line": (_lines(HEAD, EDIT) + b"{\n" + _lines(EDIT), "is damaged at line 3"),
    "empty line": (_lines(HEAD) + b"\n" + _lines(EDIT), "is damaged at line 2"),
    "deep line": (_lines(HEAD) + b"[" * 9999 + b"\n", "is damaged at line 2"),
    "no head": (_lines(EDIT), "is not the journal of a project"),
    "another format": (_lines(HEAD | {"format": "x"}, EDIT), "is not the journal of a project"),
    "newer": (_lines(HEAD | {"version": 2}, EDIT), "was written by a newer Ampacre"),
    "unknown table": (
        _lines(HEAD, EDIT | {"changes": [["cables", "x", {"id": "x"}]]}), 'no field called "cables"',
    ),
    "unsound": (
        _lines(HEAD, EDIT | {"changes": [["equipment", "ev", None]]}), "its target ev does not exist",
    ),
    "out of bounds": (
        _lines(HEAD, EDIT | {"changes": [["runs", "to-ev", {"id": "to-ev", "length_m": -1}]]}),
        "runs › to-ev",
    ),
    "base that is none": (_lines(HEAD | {"base": {}}, EDIT), "is not an Ampacre project"),
    "base with a bad table": (
        _lines(HEAD | {"base": {"format": "ampacre project", "version": 1, "runs": 5}}, EDIT),
        "does not fit the file",
    ),
}  # fmt: skip


def test_the_journal_that_the_broken_ones_are_made_from_is_sound(tmp_path):
    (tmp_path / "journal").write_bytes(_lines(HEAD, EDIT))
    recovered = recover(tmp_path / "journal", encode(SMALL_SITE))
    assert recovered.runs.keys() == SMALL_SITE.runs.keys() - {"to-ev"}


@pytest.mark.parametrize(("data", "words"), BROKEN.values(), ids=BROKEN)
def test_broken_journals_are_told_and_stay_as_they_are(tmp_path, data, words):
    path = tmp_path / "journal"
    path.write_bytes(data)
    with pytest.raises(NotRecovered) as caught:
        recover(path, encode(SMALL_SITE))
    assert words in str(caught.value)
    assert path.read_bytes() == data


@given(st.binary(max_size=200), st.booleans())
def test_any_bytes_after_the_head_recover_or_are_told(tail, headed):
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "journal"
        path.write_bytes(_lines(HEAD) * headed + tail)
        with contextlib.suppress(NotRecovered):
            assert recover(path, encode(SMALL_SITE)) is None


def test_no_journal_is_nothing_to_recover(tmp_path):
    assert recover(tmp_path / "none", b"") is None
    with pytest.raises(NotRecovered, match="cannot be read"):
        recover(tmp_path, b"")


def test_a_full_disk_loses_nothing_once_there_is_room_again(started):
    path, journal = started
    journal.write(LOUDER)
    size = journal.path.stat().st_size
    with files_limited_to(size + 10):
        journal.write(LOUDEST)
        assert journal.trouble == "Changes are not kept in the journal: File too large"
        assert recover(journal.path, path.read_bytes()) == AFTER
        assert journal.path.stat().st_size == size
    journal.write(LOUDEST.inverse())
    assert journal.trouble == ""
    assert recover(journal.path, path.read_bytes()) == AFTER
    assert journal.path.read_bytes().count(b"\n") == 4


def test_a_journal_that_cannot_be_begun_is_begun_later(tmp_path):
    place = tmp_path / "state"
    with closing(Journal.start(place / "journal", encode(SMALL_SITE))) as journal:
        journal.write(LOUDER)
        assert journal.trouble.startswith("Changes are not kept in the journal: ")
        place.mkdir()
        journal.write(LOUDEST)
        assert journal.trouble == ""
    assert recover(place / "journal", encode(SMALL_SITE)) == LAST


def test_syncing_from_another_thread_does_not_mind_a_closed_journal(started):
    _, journal = started
    journal.sync()
    workers = [threading.Thread(target=journal.sync) for _ in range(4)]
    for worker in workers:
        worker.start()
    journal.close()
    for worker in workers:
        worker.join()
    journal.sync()


KILLED = """
import sys
from pathlib import Path
from ampacre.model import edits, records as r
from ampacre.store.file import load
from ampacre.store.journal import Journal, beside

path = Path(sys.argv[1])
project = load(path)
journal = Journal.start(beside(path), path.read_bytes())
number = 0
while True:
    number += 1
    edit = edits.put("", "structures", r.Structure(id=f"s{number}", name=str(number)))
    project = project.apply(edit)
    journal.write(edit)
    print(number, flush=True)
    if number % 7 == 0:
        journal.save(project, path)
"""


@pytest.mark.parametrize("lines", [1, 6, 7, 15, 40])
def test_a_killed_program_loses_at_most_the_edit_in_hand(tmp_path, lines):
    path = tmp_path / "site.ampacre"
    save(SMALL_SITE, path)
    program = subprocess.Popen(
        [sys.executable, "-c", KILLED, str(path)], stdout=subprocess.PIPE, text=True
    )
    with program:
        for _ in range(lines):
            program.stdout.readline()
        os.kill(program.pid, signal.SIGKILL)
        rest = program.stdout.read().splitlines()
    said = int(rest[-1]) if rest else lines
    project = recover(beside(path), path.read_bytes()) or load(path)
    assert len(project.structures) in (said, said + 1)
    assert project.structures.keys() == {f"s{at + 1}" for at in range(len(project.structures))}
