"""Dialogs that follow the document stop doing so when they are closed."""

import pytest
from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from ampacre.model.edits import alter


@pytest.mark.parametrize("command", ["properties", "lists"])
def test_a_closed_dialog_follows_nothing_any_more(window, qapp, command):
    seen = []

    def close():
        dialog = QApplication.activeModalWidget()
        seen.append(dialog.windowTitle())
        QTest.keyClick(dialog, Qt.Key.Key_Escape)

    QTimer.singleShot(0, close)
    window.commands[command].trigger()
    qapp.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert len(seen) == 1
    document = window.document
    document.do(alter(document.project, "project", "project", name="Renamed", ambient_c=35.0))
    assert document.project.settings.name == "Renamed"
