"""Properties of the project: the property, the code edition, units and limits, the permit."""

from typing import Any

import msgspec
from PySide6.QtWidgets import (
    QDialog,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.model.project import Refused, StaleEdit
from ampacre_gui.dialogs.live import close_button, press_nothing_on_enter, tabs_of
from ampacre_gui.document import Document
from ampacre_gui.panels.entries import sentence
from ampacre_gui.panels.fields import Field, FieldGrid
from ampacre_gui.panels.form import form_of
from ampacre_gui.panels.hints import hint
from ampacre_gui.phrases import filled, said

__all__ = ["PropertiesDialog"]

_FIRST = {
    "name": "The Property",
    "edition": "Code, Units and Limits",
    "permit_number": "Permit and Utility",
}
"""The field that each tab begins with, and what the tab is called."""


class PropertiesDialog(QDialog):
    """Each field is entered at once, as one step that can be undone."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self.setWindowTitle(self.tr("Project Properties"))
        self._fields: list[Field] = []
        tabs = tabs_of(self)
        for place, spec in enumerate(form_of(r.Settings)[0].fields):
            field = Field(spec, [])
            field.entered.connect(lambda value, field=field: self._enter(field, value))
            if spec.name in _FIRST:
                grid = FieldGrid()
                title = said(_FIRST[spec.name])
                tabs.addTab(_page(grid, title), title)
            grid.add(field, place)
            self._fields.append(field)
        box = QVBoxLayout(self)
        box.setContentsMargins(14, 10, 14, 14)
        box.addWidget(tabs)
        box.addWidget(close_button(self))
        press_nothing_on_enter(self)
        self.resize(560, 520)
        # a method and no lambda: the connection ends with the dialog
        document.changed.connect(self._show)
        self._show()

    def _show(self) -> None:
        settings = self._document.project.settings
        for field in self._fields:
            value: Any = getattr(settings, field.spec.path[0])
            field.show_value(
                value, hint(field.spec, settings, None, settings.units), settings.units
            )

    def _enter(self, field: Field, value: Any) -> None:
        edit = alter(self._document.project, "project", "project", **{field.spec.path[0]: value})
        label = filled(self.tr("Change %1 of the project"), field.spec.word)
        try:
            self._document.make(msgspec.structs.replace(edit, label=label))
        except (Refused, StaleEdit) as error:
            field.refuse(sentence(str(error)))
            return
        self._show()


def _page(content: QWidget, name: str) -> QScrollArea:
    holder = QWidget()
    box = QVBoxLayout(holder)
    box.setContentsMargins(10, 14, 10, 10)
    box.addWidget(content)
    box.addStretch(1)
    area = QScrollArea()
    area.setAccessibleName(name)
    area.setWidgetResizable(True)
    area.setFrameShape(QScrollArea.Shape.NoFrame)
    area.setWidget(holder)
    return area
