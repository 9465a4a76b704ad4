"""What a person does in the window of the sheets, for the tests of what comes of it."""

from importlib import resources

from pypdfium2 import PdfDocument
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog, QFrame, QLabel

from ampacre.model.edits import alter
from ampacre.store.file import decode, load
from ampacre_gui.sheets.forms import FORMS

LEFT = Qt.MouseButton.LeftButton
MOST_MS = 120_000


def drawn(window, qtbot):
    qtbot.waitUntil(lambda: window.files.sheets._up_to_date, timeout=MOST_MS)


def idle(sheets, qtbot):
    qtbot.waitUntil(lambda: not sheets._busy, timeout=MOST_MS)


def orchard_bytes():
    return (resources.files("ampacre_samples") / "harrow_orchard.ampacre").read_bytes()


def orchard():
    return decode(orchard_bytes(), "orchard")


def orchard_file(folder):
    path = folder / "orchard.ampacre"
    path.write_bytes(orchard_bytes())
    return path


def warning(sheets):
    """What stands in the strip over the sheets, "" where none is shown."""
    strip = sheets.pages.findChild(QFrame, "infobar")
    return "".join(label.text() for label in strip.findChildren(QLabel) if label.isVisible())


def changed(window, **values):
    assert window.document.do(alter(window.document.project, "equipment", "yp", **values))


def choose_file(monkeypatch, path):
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *args: (str(path), ""))


def choose_folder(monkeypatch, path):
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *args: str(path))


def choose_form(sheets, ending):
    row = [form.ending for form in FORMS].index(ending)
    sheets.side.forms.setFocus()
    QTest.keyClick(sheets.side.forms, Qt.Key.Key_Home)
    for _ in range(row):
        QTest.keyClick(sheets.side.forms, Qt.Key.Key_Down)
    assert sheets.side.form.ending == ending


def left_in(folder):
    return sorted(path.name for path in folder.iterdir() if path.name != "settings")


def words_of(pdf):
    return "\n".join(page.get_textpage().get_text_range() for page in PdfDocument(pdf))


def opened_file(show, path, qtbot):
    window = show(load(path))
    window.document.save_as(path)
    window.commands["sheets"].trigger()
    drawn(window, qtbot)
    return window, window.files.sheets
