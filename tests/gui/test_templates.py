"""A new project from a template: the dialog, the command, and the button of an empty drawing."""

import itertools

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton

from ampacre.model.project import Project
from ampacre.model.templates import TEMPLATES
from ampacre_gui.app import Program
from ampacre_gui.dialogs.templates import TemplateDialog


@pytest.fixture
def dialog(qtbot):
    dialog = TemplateDialog()
    qtbot.addWidget(dialog)
    dialog.show()
    qtbot.waitExposed(dialog)
    return dialog


def colours(widget):
    image = widget.grab().toImage()
    spots = ((x, y) for x in range(0, image.width(), 3) for y in range(0, image.height(), 3))
    return {image.pixel(x, y) for x, y in spots}


def test_every_starting_point_is_listed_described_and_drawn(dialog):
    pictures = []
    for row, template in enumerate(TEMPLATES):
        dialog.list.setCurrentRow(row)
        assert dialog.list.currentItem().text() == template.name
        assert dialog.sentence.text() == template.sentence
        assert template.name in dialog.preview.accessibleName()
        assert len(colours(dialog.preview)) > 1
        pictures.append(dialog.preview.grab().toImage())
        assert dialog.project().settings.name
    assert all(a != b for a, b in itertools.pairwise(pictures))


def in_dialog(act):
    """Have something done in the dialog that is about to open."""

    def when_open():
        opened = QApplication.activeModalWidget()
        assert isinstance(opened, TemplateDialog)
        act(opened)

    QTimer.singleShot(0, when_open)


def test_choosing_with_keys_alone_makes_a_project(window):
    def choose(opened):
        QTest.keyClick(opened.list, Qt.Key.Key_Down)
        QTest.keyClick(opened.list, Qt.Key.Key_Return)

    in_dialog(choose)
    window.commands["new from template"].trigger()
    (project,) = window.files._opener.asked
    assert isinstance(project, Project)
    assert project.settings.name == "House and outbuilding"


def test_giving_up_makes_nothing(window):
    in_dialog(lambda opened: QTest.keyClick(opened, Qt.Key.Key_Escape))
    window.commands["new from template"].trigger()
    assert window.files._opener.asked == []


def test_an_empty_drawing_offers_templates(empty_window):
    buttons = empty_window.welcome.findChildren(QPushButton)
    button = next(button for button in buttons if "Template" in button.text())
    in_dialog(lambda opened: opened.accept())
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    assert len(empty_window.files._opener.asked) == 1


def test_the_new_project_takes_the_place_of_an_untouched_window(qapp, qtbot):
    program = Program()
    program.show_new()
    first = program.windows[0]
    in_dialog(lambda opened: opened.accept())
    first.commands["new from template"].trigger()
    qtbot.waitUntil(lambda: len(program.windows) == 1 and program.windows[0] is not first)
    (window,) = program.windows
    assert window.document.title == "House with one panel"
    assert window.document.path is None
    assert not window.document.modified
    window.close()
