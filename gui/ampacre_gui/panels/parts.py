"""Editor of like parts of a record, such as a dwelling's appliances: a few fields for each."""

from typing import Any

import msgspec
from msgspec import Struct
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QFrame,
    QGridLayout,
    QHBoxLayout,
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


_WIDE = 18
"""Letters from which on a box and its words take a line to themselves."""


class _Part(QFrame):
    """One part: what it is and a button that takes it away, below them its other fields.

    They stand two by two, so that the narrowest panel has room for them, but for names and boxes
    with many words.
    """

    changed = Signal(object)
    removed = Signal()
    refused = Signal(str)

    def __init__(self, part: Struct, choices: Choices, units: UnitSystem) -> None:
        super().__init__()
        self._part = part
        self._units = units
        self._specs = fields_of(type(part))
        self.editors: dict[str, QWidget] = {}
        first, *others = self._specs
        head = QHBoxLayout()
        head.setSpacing(4)
        head.addWidget(self._editor(first, choices), 1)
        self._remove = remove = QToolButton()
        remove.setText("\u2715")
        remove.setAutoRaise(True)
        remove.setToolTip(self.tr("Remove this entry"))
        remove.setAccessibleName(remove.toolTip())
        remove.clicked.connect(self.removed)
        head.addWidget(remove)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 8)
        grid.setSpacing(4)
        grid.addLayout(head, 0, 0, 1, 2)
        row, column = 1, 0
        for spec in others:
            wide = _is_wide(spec)
            row, column = (row + 1, 0) if wide and column else (row, column)
            grid.addWidget(self._editor(spec, choices), row, column, 1, 2 if wide else 1)
            row, column = (row + 1, 0) if wide or column else (row, 1)
        for column in (0, 1):
            grid.setColumnStretch(column, 1)

    def show_part(self, part: Struct) -> None:
        """Show what the part is now; what is just being typed is left alone."""
        self._part = part
        for spec in self._specs:
            editor, value = self.editors[spec.name], getattr(part, spec.name)
            if isinstance(editor, QCheckBox):
                editor.setChecked(value)
            elif isinstance(editor, (ChoiceEditor, LineEditor)):
                editor.show_value(value, self._hint(spec), self._units)

    def _hint(self, spec: FieldSpec) -> str:
        unit = unit_word(spec.unit, self._units) if spec.unit else ""
        return f"{spec.word}, {unit}" if unit else spec.word

    def _editor(self, spec: FieldSpec, choices: Choices) -> QWidget:
        value = getattr(self._part, spec.name)
        if _is_box(spec):
            box = QCheckBox(spec.word)
            box.setChecked(value)
            box.clicked.connect(lambda on: self._set(spec.name, on))
            self.editors[spec.name] = box
            return box
        if spec.editor == "reference":
            editor: ChoiceEditor | LineEditor = ChoiceEditor(choices, optional=False)
        elif spec.editor == "choice":
            words = [(choice_word(spec, choice), choice) for choice in spec.choices]
            editor = ChoiceEditor(words, optional=spec.optional)
        else:
            editor = LineEditor(spec)
        hint = self._hint(spec)
        editor.setAccessibleName(hint)
        editor.setToolTip(hint)
        editor.show_value(value, hint, self._units)
        editor.entered.connect(lambda entered: self._set(spec.name, entered))
        editor.refused.connect(self.refused)
        self.editors[spec.name] = editor
        return editor

    @property
    def stops(self) -> list[QWidget]:
        return [*self.editors.values(), self._remove]

    def _set(self, name: str, value: Any) -> None:
        self.changed.emit(msgspec.structs.replace(self._part, **{name: value}))


def _is_box(spec: FieldSpec) -> bool:
    return spec.choices == (True, False)


def _is_wide(spec: FieldSpec) -> bool:
    return len(spec.word) > _WIDE if _is_box(spec) else spec.name == "name"


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
        self._adding = False
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
        # rows stay where they are, with the focus, unless one of them went
        if self._parts is None or len(value) < len(self._parts):
            self._clear()
        self._parts = value
        for row, part in zip(self.rows, value, strict=False):
            row.show_part(part)
        for index in range(len(self.rows), len(value)):
            self._add_row(index, _Part(value[index], self._choices, units))
        if self._adding:
            self._adding = False
            self.rows[-1].stops[0].setFocus()

    def _clear(self) -> None:
        for row in self.rows:
            row.hide()
            row.deleteLater()
        self.rows = []

    def _add_row(self, index: int, row: _Part) -> None:
        row.changed.connect(lambda after: self._put(index, after))
        row.removed.connect(lambda: self._put(index, None))
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
        self._adding = False

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
        self._adding = True
        self.entered.emit((*(self._parts or ()), self._kind(**needed)))


def _first(spec: FieldSpec, choices: Choices) -> Any:
    if spec.editor == "reference":
        return choices[0][1]
    return spec.choices[0] if spec.choices else 0.0
