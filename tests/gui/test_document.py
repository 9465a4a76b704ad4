"""The document: edits, undo, files, journal, and what happens when something fails."""

import msgspec
import pytest

from ampacre.model import records as r
from ampacre.model.edits import alter, put, remove
from ampacre.model.history import History
from ampacre.model.project import Change, Edit, Project, StaleEdit
from ampacre.rules.review import Review
from ampacre.store.file import NotSaved, Unreadable, load, save
from ampacre.store.journal import beside, recover
from ampacre.study.study import Study
from ampacre_gui.document import Document
from ampacre_gui.filing import open_document
from ampacre_gui.journaling import left_untitled
from ampacre_gui.locks import InUse


def rename(project, key, name):
    return alter(project, "equipment", key, name=name)


def die(document):
    """Let go of journal and locks as the end of a process does, without closing the document."""
    document._journal._journal.close()
    for lock in (document._lock, document._journal._lock):
        if lock:
            lock.unlock()


def test_an_edit_is_done_undone_and_redone(document):
    before = document.project
    assert document.do(rename(document.project, "panel", "Main panel"))
    after = document.project
    assert document.project.equipment["panel"].name == "Main panel"
    document.undo()
    assert document.project == before
    document.redo()
    assert document.project == after


def test_study_and_findings_are_current_when_the_change_is_told(document):
    seen = []
    document.changed.connect(
        lambda news: seen.append(
            (news, document.study.project is document.project, document.review.study)
        )
    )
    document.do(alter(document.project, "equipment", "charger", nameplate_a=40.0))
    ((news, current, study),) = seen
    assert current
    assert study is document.study
    assert news.altered == {"charger"}
    assert not news.added
    assert not news.removed
    fresh = Review(Study(document.project))
    assert [f.key for f in document.review.findings] == [f.key for f in fresh.findings]


def test_what_was_added_and_removed_is_told(document):
    told = []
    document.changed.connect(told.append)
    document.do(put("Add", "equipment", r.Motor(id="pump", name="Pump")))
    document.do(remove(document.project, ["barn"]))
    assert told[0].added == {"pump"}
    assert "barn" in told[1].removed
    assert told[0].topology
    assert told[1].topology


def test_a_refused_edit_changes_nothing_and_says_why(document, qtbot):
    before, history = document.project, list(document.history.edits)
    bad = r.Run(id="bad", source="panel", target="nowhere")
    with qtbot.waitSignal(document.trouble) as told:
        assert not document.do(put("Add", "runs", bad))
    assert "nowhere does not exist" in told.args[0]
    assert document.project is before
    assert document.history.edits == history
    assert document.study.project is before


def test_a_stale_edit_changes_nothing(document):
    stale = rename(document.project, "panel", "A")
    document.do(rename(document.project, "panel", "B"))
    before = document.project
    with pytest.raises(StaleEdit):
        document.make(stale)
    assert document.project is before


def test_an_edit_without_changes_is_no_step(document):
    assert document.do(Edit("Nothing", ()))
    assert document.history.peek_undo() is None


def test_a_study_that_fails_leaves_the_document_as_it_was(
    document, monkeypatch, no_faults, request
):
    request.keywords["deliberate_fault"] = True
    before = document.project
    findings = [f.key for f in document.review.findings]

    def fail(self, project):
        self.project = None
        raise ZeroDivisionError

    monkeypatch.setattr(Study, "follow", fail)
    assert not document.do(rename(document.project, "panel", "X"))
    monkeypatch.undo()
    assert document.project is before
    assert document.study.project is before
    assert [f.key for f in document.review.findings] == findings
    assert no_faults
    assert document.do(rename(document.project, "panel", "Y"))


def test_preview_leaves_the_document_alone(document):
    before, study = document.project, document.study
    edit = alter(document.project, "equipment", "panel", bus_a=100.0)
    forked, review = document.preview(edit)
    assert forked.project.equipment["panel"].bus_a == 100.0
    assert document.project is before
    assert document.study is study
    assert study.project is before
    assert review.study is forked


def test_edits_of_one_gesture_are_one_step(document):
    for length in (10.0, 20.0):
        run = next(iter(document.project.runs))
        document.do(alter(document.project, "runs", run, gesture="drag", length_m=length))
    assert len(document.history.edits) == 1


def test_modified_follows_the_saved_mark(document, tmp_path):
    document.save_as(tmp_path / "place.ampacre")
    assert not document.modified
    document.do(rename(document.project, "panel", "X"))
    assert document.modified
    document.undo()
    assert not document.modified


def test_save_and_load_give_the_same_project(document, tmp_path):
    path = tmp_path / "place.ampacre"
    document.do(rename(document.project, "panel", "X"))
    document.save_as(path)
    assert load(path) == document.project
    assert document.title == "place"


def test_a_failed_save_as_keeps_the_old_path(document, tmp_path):
    path = tmp_path / "place.ampacre"
    document.save_as(path)
    document.do(rename(document.project, "panel", "X"))
    with pytest.raises(NotSaved):
        document.save_as(tmp_path / "no such folder" / "place.ampacre")
    assert document.path == path
    assert document.modified
    assert load(path) != document.project


def test_unreadable_file_says_so(tmp_path):
    path = tmp_path / "place.ampacre"
    path.write_bytes(b"\x00\xff not json")
    with pytest.raises(Unreadable):
        Document.load(path)
    assert path.read_bytes() == b"\x00\xff not json"


def test_the_journal_holds_what_was_not_saved(qapp, project, tmp_path):
    """As after a kill: the document is never closed, and its edits are in the journal."""
    path = tmp_path / "place.ampacre"
    save(project, path)
    document = Document.load(path)
    document.do(rename(document.project, "panel", "X"))
    document.do(rename(document.project, "panel", "Y"))
    document.undo()
    die(document)
    assert recover(beside(path), path.read_bytes()) == document.project


def test_looking_at_a_file_leaves_nothing_beside_it(qapp, project, tmp_path):
    path = tmp_path / "place.ampacre"
    save(project, path)
    document = Document.load(path)
    document.close()
    assert [entry.name for entry in tmp_path.iterdir() if entry.is_file()] == ["place.ampacre"]


def test_a_file_is_open_in_one_program_at_a_time(qapp, project, tmp_path):
    path = tmp_path / "place.ampacre"
    save(project, path)
    document = Document.load(path)
    with pytest.raises(InUse, match=r"place\.ampacre is open in another window"):
        Document.load(path)
    document.save_as(tmp_path / "other.ampacre")
    again = Document.load(path)
    with pytest.raises(InUse):
        document.save_as(path)
    assert document.path == tmp_path / "other.ampacre"
    again.close()
    document.close()


def test_the_journal_of_an_open_untitled_project_is_not_offered(qapp, tmp_path):
    document = Document()
    document.do(put("Add", "equipment", r.Panel(id="p", name="P")))
    assert left_untitled() == []
    die(document)
    assert len(left_untitled()) == 1


def test_closing_removes_the_journal(qapp, project, tmp_path):
    path = tmp_path / "place.ampacre"
    save(project, path)
    document = Document.load(path)
    document.do(rename(document.project, "panel", "X"))
    assert beside(path).exists()
    document.close()
    assert not beside(path).exists()


def test_recovered_changes_can_be_undone_and_stay_in_the_journal(qapp, project, tmp_path):
    path = tmp_path / "place.ampacre"
    save(project, path)
    lost = Document.load(path)
    lost.do(rename(lost.project, "panel", "X"))
    die(lost)
    found = recover(beside(path), path.read_bytes())
    document = Document.load(path)
    document.recover(beside(path), found)
    assert document.project == lost.project
    assert document.modified
    document.do(rename(document.project, "panel", "Z"))
    assert recover(beside(path), path.read_bytes()) == document.project
    document.undo()
    document.undo()
    assert document.project == project
    assert recover(beside(path), path.read_bytes()) == project
    document.close()


def test_an_untitled_project_is_kept_in_a_journal_of_its_own(qapp, tmp_path):
    document = Document()
    document.do(put("Add", "equipment", r.Panel(id="p", name="P")))
    (journal,) = (tmp_path / "unsaved").glob("*.journal")
    assert recover(journal, b"") == document.project
    document.save_as(tmp_path / "named.ampacre")
    assert not journal.exists()
    document.close()


def test_a_journal_that_cannot_be_written_is_told_and_the_edit_stands(
    qapp, project, tmp_path, qtbot, monkeypatch
):
    path = tmp_path / "place.ampacre"
    save(project, path)
    document = Document.load(path)
    monkeypatch.setattr("ampacre.store.journal.write", _no_room)
    with qtbot.waitSignal(document.not_kept) as told:
        document.do(rename(document.project, "panel", "X"))
    assert "not kept" in told.args[0]
    assert document.project.equipment["panel"].name == "X"
    monkeypatch.undo()
    document.do(rename(document.project, "panel", "Y"))
    assert recover(beside(path), path.read_bytes()) == document.project
    document.close()


def test_where_no_journal_can_be_begun_an_untitled_project_is_drawn_all_the_same(
    qapp, tmp_path, qtbot, monkeypatch
):
    in_the_way = tmp_path / "file"
    in_the_way.write_text("")
    monkeypatch.setattr("ampacre_gui.journaling.place_for_untitled", lambda: in_the_way / "unsaved")
    document = Document()
    with qtbot.waitSignal(document.not_kept) as told:
        assert document.do(put("Add", "equipment", r.Panel(id="p", name="P")))
    assert "not kept" in told.args[0]
    assert document.history.peek_undo().label == "Add"
    document.save_as(tmp_path / "named.ampacre")
    assert document.do(rename(document.project, "p", "X"))
    assert recover(beside(document.path), document.path.read_bytes()) == document.project
    document.close()


def _no_room(data, path):
    raise NotSaved("no space left on device")


def test_a_new_document_is_empty_and_sound(qapp):
    document = Document()
    assert document.project == Project()
    assert isinstance(document.history, History)
    assert not document.modified
    change = Change("project", "project", document.project.settings, None)
    assert not document.do(Edit("Remove the settings", (change,)))
    assert msgspec.structs.asdict(document.project.settings)["id"] == "project"


def test_no_changes_are_offered_where_all_was_undone(qapp, project, tmp_path, monkeypatch):
    path = tmp_path / "place.ampacre"
    save(project, path)
    document = Document.load(path)
    document.do(rename(document.project, "panel", "X"))
    document.undo()
    die(document)
    asked = []
    monkeypatch.setattr("ampacre_gui.filing.ask", lambda *words: asked.append(words) or 2)
    again = open_document(path, None)
    assert again.project == project
    assert not asked
    assert not beside(path).exists()
    again.do(rename(again.project, "panel", "X"))
    die(again)
    open_document(path, None).close()
    assert len(asked) == 1
