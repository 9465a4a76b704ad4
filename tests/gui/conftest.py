"""Documents and windows for the tests of the desktop program."""

from importlib import resources

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QSettings, QStandardPaths, Qt
from shiboken6 import isValid

from ampacre.model import records as r
from ampacre.model.edits import connect, put
from ampacre.model.project import Project
from ampacre.store.file import decode
from ampacre_gui.app import Program
from ampacre_gui.document import Document
from ampacre_gui.guard import faults
from ampacre_gui.style import style_sheet
from ampacre_gui.window import Window


@pytest.fixture(autouse=True)
def _own_places(tmp_path, monkeypatch):
    """Keep settings and journals of the test away from the user's own."""
    QCoreApplication.setOrganizationName("Ampacre tests")
    QCoreApplication.setApplicationName("Ampacre tests")
    QStandardPaths.setTestModeEnabled(True)
    QSettings.setDefaultFormat(QSettings.Format.IniFormat)
    QSettings.setPath(
        QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path / "settings")
    )
    monkeypatch.setattr("ampacre_gui.journaling.place_for_untitled", lambda: tmp_path / "unsaved")
    monkeypatch.setattr("ampacre_gui.filing._folder", lambda: str(tmp_path))


@pytest.fixture(autouse=True)
def no_faults(request):
    """Fail a test during which code of ours failed inside a call from Qt."""
    happened = []
    faults.happened.connect(lambda sentence, details: happened.append(details))
    faults._told.clear()
    yield happened
    faults.happened.disconnect()
    if "deliberate_fault" not in request.keywords:
        assert not happened, happened[0]


def small_project():
    """A utility source, a meter, a main panel P with a charger, a barn panel and a spare panel."""
    project = Project()

    def add(piece):
        nonlocal project
        project = project.apply(put("", "equipment", piece))
        return piece

    def feed(source, target, **values):
        nonlocal project
        edit = connect(project, source, target)
        project = project.apply(edit)
        return edit.changes[0].key

    source = add(r.UtilitySource(id="utility", name="Utility", system="120/240", since="work"))
    meter = add(r.Meter(id="meter", name="M1", class_a=200.0, since="work"))
    panel = add(
        r.Panel(id="panel", name="P", bus_a=200.0, main=r.Device(rating_a=200.0), since="work")
    )
    charger = add(r.Charger(id="charger", name="C1", nameplate_a=48.0, since="work"))
    barn = add(r.Panel(id="barn", name="Barn", bus_a=100.0))
    add(r.Panel(id="spare", name="Spare", since="work"))
    for start, end in ((source, meter), (meter, panel), (panel, charger), (panel, barn)):
        feed(start, end)
    return project


@pytest.fixture
def project():
    return small_project()


@pytest.fixture
def document(qapp, project):
    document = Document(project)
    yield document
    document.close()


def orchard_project():
    data = (resources.files("ampacre_samples") / "harrow_orchard.ampacre").read_bytes()
    return decode(data, "orchard")


class Opener:
    """Stands in for the program: remembers what a window asked of it."""

    def __init__(self):
        self.asked = []

    def show_new(self):
        self.asked.append("new")

    def show_file(self, path, instead_of=None):
        self.asked.append(path)

    def show_sample(self, instead_of=None, file="harrow_orchard.ampacre"):
        self.asked.append(file)

    def show_project(self, project, instead_of=None):
        self.asked.append(project)

    def quit(self):
        self.asked.append("quit")


def _let_go(window):
    """Close the journal, which a window that was closed before has done already."""
    if isValid(window.document._journal):
        window.document.close()


@pytest.fixture
def show(qtbot, qapp, monkeypatch):
    """Give a function that opens a window on a project, as it is after the first moment."""
    # windows of tests before are deleted only where an event loop runs
    qapp.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    if qapp.styleSheet() != style_sheet():
        qapp.setStyle("Fusion")
        qapp.setStyleSheet(style_sheet())
    monkeypatch.setattr("ampacre_gui.window.ask_to_keep", lambda document, parent: True)

    def shown(project):
        window = Window(Document(project), Opener())
        window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, on=False)
        qtbot.addWidget(window, before_close_func=_let_go)
        window.place()
        window.setWindowState(Qt.WindowState.WindowNoState)
        window.resize(1280, 720)
        window.show()
        qtbot.waitExposed(window)
        qapp.processEvents()
        return window

    return shown


@pytest.fixture
def window(show, project):
    return show(project)


@pytest.fixture
def orchard(show):
    return show(orchard_project())


@pytest.fixture
def empty_window(show):
    return show(Project())


@pytest.fixture
def program(qtbot, monkeypatch):
    """The running program; windows that are left open are closed without asking."""
    program = Program()
    yield program
    monkeypatch.setattr("ampacre_gui.window.ask_to_keep", lambda document, parent: True)
    for window in list(program.windows):
        window.close()
