"""Faults of our own code inside calls from Qt leave the program running."""

import importlib
import inspect
import pkgutil
import subprocess
import sys
import textwrap
from typing import Any

from shibokensupport.signature import get_signature

import ampacre_gui
from ampacre_gui.guard import _ANSWERS, Guarded, overrides


def our_classes():
    for module_info in pkgutil.walk_packages(ampacre_gui.__path__, "ampacre_gui."):
        module = importlib.import_module(module_info.name)
        for _, cls in inspect.getmembers(module, inspect.isclass):
            if cls.__module__ == module.__name__:
                yield cls


def unguarded(cls):
    return [name for name, method in overrides(cls).items() if not hasattr(method, "is_guarded")]


def test_every_override_of_ours_is_guarded():
    seen = 0
    for cls in our_classes():
        assert not unguarded(cls), f"{cls.__qualname__} overrides Qt methods without the guard"
        seen += bool(overrides(cls))
    assert seen > 10


def test_the_check_finds_a_class_without_the_guard(qapp):
    from PySide6.QtWidgets import QWidget

    class Careless(QWidget):
        def paintEvent(self, event):
            pass

    assert unguarded(Careless) == ["paintEvent"]


def test_overrides_that_must_give_something_have_an_answer():
    """Qt would complain about None where a method has to return a value of its own."""
    for cls in our_classes():
        for name in overrides(cls):
            theirs = next(
                vars(base)[name]
                for base in cls.__mro__
                if base.__module__.startswith("PySide6.") and name in vars(base)
            )
            given = get_signature(theirs)
            for overload in given if isinstance(given, list) else [given]:
                needed = overload.return_annotation
                if needed not in (None, type(None), inspect.Signature.empty, Any, object):
                    assert name in _ANSWERS, f"{cls.__qualname__}.{name} must give {needed}"


def test_guard_answers_and_tells(qapp, no_faults, request):
    request.keywords["deliberate_fault"] = True
    from PySide6.QtWidgets import QGraphicsItem

    class Faulty(Guarded, QGraphicsItem):
        def boundingRect(self):
            return 1 / 0

    assert Faulty().boundingRect().isNull()
    assert "ZeroDivisionError" in no_faults[0]


def test_a_fault_is_told_once_per_place(qapp, no_faults, request):
    request.keywords["deliberate_fault"] = True
    from PySide6.QtWidgets import QWidget

    class Faulty(Guarded, QWidget):
        def mousePressEvent(self, event):
            int("x")

    faulty = Faulty()
    for _ in range(5):
        faulty.mousePressEvent(None)
    assert len(no_faults) == 1


PROGRAM = """
import os, sys
os.environ["QT_QPA_PLATFORM"] = "offscreen"
from PySide6.QtCore import QPoint, QStandardPaths, Qt, QTimer, QSettings
from PySide6.QtTest import QTest
from ampacre.model import records as r
from ampacre.model.edits import put
from ampacre_gui import app as program_module
from ampacre_gui.canvas.items import ElementItem
from ampacre_gui.canvas.view import View
from ampacre_gui.guard import faults

QStandardPaths.setTestModeEnabled(True)

class BadItem(ElementItem):
    def paint(self, painter, colours, scale):
        1 / 0

class BadView(View):
    def mousePressEvent(self, event):
        int("x")

program_module.Window.__init__.__globals__["View"] = BadView
sys.modules["ampacre_gui.canvas.scene"].ElementItem = BadItem
application = program_module.make_application(["test"])
QSettings.setPath(QSettings.Format.NativeFormat, QSettings.Scope.UserScope, sys.argv[1])
program = program_module.Program()
program.show_new()
window = program.windows[0]
told = []
faults.happened.connect(lambda sentence, details: told.append(sentence))
window.document.make(put("Add", "equipment", r.Panel(id="p", name="P")))
application.processEvents()
window.canvas.viewport().repaint()
QTest.mouseClick(window.canvas.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(50, 50))
application.processEvents()
assert [sentence.split(":")[0] for sentence in told] == ["ZeroDivisionError", "ValueError"], told
assert window._infobar.isVisible() and "document is safe" in window._infobar.text
window.document.make(put("Add", "equipment", r.Panel(id="q", name="Q")))
window.document.undo()
assert list(window.document.project.equipment) == ["p"]
window.document.close()
print("still running")
"""


def test_faults_in_paint_and_mouse_events_do_not_end_the_program(tmp_path):
    script = tmp_path / "program.py"
    script.write_text(textwrap.dedent(PROGRAM))
    done = subprocess.run(
        [sys.executable, str(script), str(tmp_path)],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "still running" in done.stdout
