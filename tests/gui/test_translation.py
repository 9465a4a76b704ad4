"""Words that stand as data are translated like all others; Qt's own follow the system."""

import os
import subprocess
import sys

import pytest
from PySide6.QtCore import QTranslator
from PySide6.QtWidgets import QTreeWidget

from ampacre_gui.dialogs.keys import KeysDialog
from ampacre_gui.panels.form import form_of
from ampacre_gui.replace_menu import ReplaceMenu


class Loud(QTranslator):
    """A language that shouts what English says."""

    def translate(self, context, text, disambiguation=None, n=-1):
        return text.upper() if context == "words" else None

    def isEmpty(self):
        return False


@pytest.fixture
def loud(qapp):
    words = Loud()
    form_of.cache_clear()
    qapp.installTranslator(words)
    yield
    qapp.removeTranslator(words)
    form_of.cache_clear()


def test_kinds_fields_and_lists_of_words_are_translated(loud, window, qtbot):
    window.selection.only("panel")
    labels = {field.spec.name: field.label.text() for field in window.details.fields}
    assert labels["bus_a"] == "BUS RATING"
    menu = ReplaceMenu(window.document, window.selection)
    qtbot.addWidget(menu)
    menu.aboutToShow.emit()
    assert "TRANSFER SWITCH" in {action.text().replace("&", "") for action in menu.actions()}
    keys = KeysDialog(window.commands.all(), window)
    qtbot.addWidget(keys)
    lines = keys.findChild(QTreeWidget)
    texts = [lines.topLevelItem(row).text(0) for row in range(lines.topLevelItemCount())]
    assert "ZOOM AT THE POINTER" in texts
    assert "Select All" in texts


@pytest.mark.parametrize(("language", "word"), [("de_DE", "Abbrechen"), ("xx_XX", "Cancel")])
def test_words_of_qt_follow_the_system(language, word):
    script = (
        "from ampacre_gui.app import make_application\n"
        "application = make_application(['ampacre'])\n"
        "print(application.translate('QPlatformTheme', 'Cancel'), application.layoutDirection().name)"
    )
    surroundings = {**os.environ, "LC_ALL": f"{language}.UTF-8", "LANGUAGE": language}
    ran = subprocess.run(
        [sys.executable, "-c", script], env=surroundings, capture_output=True, text=True, check=True
    )
    assert ran.stdout.split() == [word, "LeftToRight"]
