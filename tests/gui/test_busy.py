"""While a file is opened the pointer says that the program is at work."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication

from ampacre.store.file import save
from ampacre_gui import filing
from ampacre_gui.document import Document
from ampacre_gui.samples import ORCHARD, sample_project


def shape():
    cursor = QGuiApplication.overrideCursor()
    return cursor and cursor.shape()


def test_the_pointer_waits_while_a_file_is_read_and_no_longer(program, monkeypatch, tmp_path):
    path = tmp_path / "orchard.ampacre"
    save(sample_project(ORCHARD), path)
    load, seen = Document.load, []

    def watched(path):
        seen.append(shape())
        return load(path)

    monkeypatch.setattr(filing.Document, "load", watched)
    program.show_file(path)
    assert seen == [Qt.CursorShape.WaitCursor]
    assert shape() is None
    assert program.windows[-1].document.path == path


def test_the_pointer_is_itself_again_when_a_file_cannot_be_opened(program, monkeypatch, tmp_path):
    path = tmp_path / "notes.ampacre"
    path.write_text("no project")
    told = []
    monkeypatch.setattr(filing, "show_problem", lambda *about: told.append((about, shape())))
    program.show_file(path)
    ((_, pointer),) = told
    assert pointer is None
    assert not program.windows
