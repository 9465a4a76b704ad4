"""Lists of choices, opened: every choice can be seen at once where there is room."""

import pytest
from PySide6.QtWidgets import QComboBox

from ampacre_gui.style import style_sheet


@pytest.fixture
def chooser(qapp, qtbot):
    qapp.setStyleSheet(style_sheet())
    chooser = QComboBox()
    chooser.addItems(["PDF", "DXF", "SVG", "XLSX", "CSV", "All of these"])
    qtbot.addWidget(chooser)
    chooser.show()
    yield chooser
    qapp.setStyleSheet("")


def test_no_choice_is_cut_off(chooser):
    chooser.showPopup()
    view = chooser.view()
    last = view.visualRect(view.model().index(chooser.count() - 1, 0))
    assert view.viewport().rect().contains(last)
    assert last.height() >= 24
