"""Editor of like parts of a record, such as a dwelling's appliances: a few fields for each."""

from typing import Any

import msgspec
from msgspec import Struct
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QFrame,
    QGridLayout,
    QPushButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from ampacre.model.words import field_word
from ampacre.quantity import UnitSystem, unit_word
from ampacre_gui.panels.editors import ChoiceEditor, LineEditor
from ampacre_gui.panels.entries import choice_word
from ampacre_gui.panels.form import FieldSpec, fields_of
from ampacre_gui.panels.references import Choices
from ampacre_gui.phrases import said

__all__ = ["PartsEditor"]


class _Part(QFrame):
    """One part: its fields two by two, and a button that takes it away."""

    changed = Signal(object)
    removed = Signal()
    refused = Signal(str)

    def __init__(self, part: Struct, choices: Choices, units: UnitSystem) -> None:
        super().__init__()
        self._part = part
        self.editors: dict[str, QWidget] = {}
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 8)
        grid.setSpacing(4)
        specs = fields_of(type(part))
        # with an odd number the first one, which says what it is, has a line to itself
        odd = len(specs) % 2
        for place, spec in enumerate(specs, start=odd):
            editor = self._editor(spec, choices, units)
            self.editors[spec.name] = editor
            if odd and place == odd:
                grid.addWidget(editor, 0, 0, 1, 2)
            else:
                grid.addWidget(editor, place // 2, place % 2)
        for column in (0, 1):
            grid.setColumnStretch(column, 1)
        self._remove = remove = QToolButton()
        remove.setText("\u2715")
        remove.setAutoRaise(True)
        remove.setToolTip(self.tr("Remove this entry"))
        remove.setAccessibleName(remove.toolTip())
        remove.clicked.connect(self.removed)
        grid.addWidget(remove, 0, 2)

    def _editor(self, spec: FieldSpec, choices: Choices, units: UnitSystem) -> QWidget:
        value = getattr(self._part, spec.name)
        if spec.choices == (True, False):
            box = QCheckBox(spec.word)
            box.setChecked(value)
            box.clicked.connect(lambda on: self._set(spec.name, on))
            return box
        if spec.editor == "reference":
            editor: ChoiceEditor | LineEditor = ChoiceEditor(choices, optional=False)
        elif spec.editor == "choice":
            words = [(choice_word(spec, choice), choice) for choice in spec.choices]
            editor = ChoiceEditor(words, optional=spec.optional)
        else:
            editor = LineEditor(spec)
        unit = unit_word(spec.unit, units) if spec.unit else ""
        hint = f"{spec.word}, {unit}" if unit else spec.word
        editor.setAccessibleName(hint)
        editor.setToolTip(hint)
        editor.show_value(value, hint, units)
        editor.entered.connect(lambda entered: self._set(spec.name, entered))
        editor.refused.connect(self.refused)
        return editor

    @property
    def stops(self) -> list[QWidget]:
        return [*self.editors.values(), self._remove]

    def _set(self, name: str, value: Any) -> None:
        self.changed.emit(msgspec.structs.replace(self._part, **{name: value}))


class PartsEditor(QWidget):
    """All parts below one another; every change enters the whole list anew."""

    entered = Signal(object)
    refused = Signal(str)

    def __init__(self, spec: FieldSpec, choices: Choices, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        assert spec.part is not None
        self._kind = spec.part
        self._choices = choices
        self._parts: tuple[Struct, ...] | None = None
        self.rows: list[_Part] = []
        self._below = QVBoxLayout()
        self._below.setSpacing(2)
        self._add_button = QPushButton(self.tr("Add"))
        self._add_button.clicked.connect(self.add)
        self._add_button.setAutoDefault(False)
        needs_choice = any(field.editor == "reference" for field in fields_of(self._kind))
        self._add_button.setEnabled(bool(choices) or not needs_choice)
        self._add_button.setAccessibleName(f"{self.tr('Add to')} {said(field_word(spec.name))}")
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addLayout(self._below)
        box.addWidget(self._add_button, 0, Qt.AlignmentFlag.AlignLeft)

    def show_value(self, value: tuple[Struct, ...], _hint: str, units: UnitSystem) -> None:
        if value == self._parts:
            return
        self._parts = value
        for row in self.rows:
            row.hide()
            row.deleteLater()
        self.rows = []
        for index, part in enumerate(value):
            row = _Part(part, self._choices, units)
            row.changed.connect(lambda after, index=index: self._put(index, after))
            row.removed.connect(lambda index=index: self._put(index, None))
            row.refused.connect(self.refused)
            self.rows.append(row)
            self._below.addWidget(row)

    @property
    def stops(self) -> list[QWidget]:
        """Where Tab stops: in each part its fields and what takes it away, at last what adds one."""
        return [stop for row in self.rows for stop in row.stops] + [self._add_button]

    def keep_as_typed(self) -> None:
        """Have the rows built again from the document the next time they are shown."""
        self._parts = None

    def _put(self, index: int, after: Struct | None) -> None:
        present = self._parts or ()
        kept = () if after is None else (after,)
        self.entered.emit((*present[:index], *kept, *present[index + 1 :]))

    def add(self) -> None:
        """Enter the list with one more part, which says the least that it has to."""
        needed: dict[str, Any] = {}
        for field, spec in zip(
            msgspec.structs.fields(self._kind), fields_of(self._kind), strict=True
        ):
            if field.required:
                needed[field.name] = _first(spec, self._choices)
        self.entered.emit((*(self._parts or ()), self._kind(**needed)))


def _first(spec: FieldSpec, choices: Choices) -> Any:
    if spec.editor == "reference":
        return choices[0][1]
    return spec.choices[0] if spec.choices else 0.0
